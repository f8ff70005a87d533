import { useEffect, useRef } from 'react';

interface Props {
  readonly canvas: HTMLCanvasElement;
  readonly label: string;
  readonly className: string;
}

/** A painted picture in its place on the page. */
export const Picture = ({ canvas, label, className }: Props) => {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    place.current?.replaceChildren(canvas);
  }, [canvas]);
  return <div ref={place} className={className} role="img" aria-label={label} />;
};
