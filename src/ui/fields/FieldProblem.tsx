import { useEffect, useRef } from 'react';

interface Props {
  readonly id?: string;
  /** One sentence; nothing is shown while there is none. */
  readonly sentence: string | null;
}

/** What is wrong with what was typed. On a small screen it would stand out of sight, so it comes into view. */
export const FieldProblem = ({ id, sentence }: Props) => {
  const element = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    if (sentence) element.current?.scrollIntoView?.({ block: 'nearest' });
  }, [sentence]);
  return sentence ? (
    <p ref={element} id={id} className="problem" role="alert">
      {sentence}
    </p>
  ) : null;
};
