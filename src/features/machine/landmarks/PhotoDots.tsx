import { type KeyboardEvent, type PointerEvent, useRef, useState } from 'react';
import type { PhotoDot } from '../../../domain/machineRecords';
import '../../../ui/photoIn/photoDots.css';

interface Props {
  readonly url: string;
  readonly dots: readonly PhotoDot[];
  readonly onChange: (dots: readonly PhotoDot[]) => void;
}

const START: readonly PhotoDot[] = [
  { x: 0.35, y: 0.5 },
  { x: 0.65, y: 0.5 },
];
const STEP = 0.01;
const moves: Readonly<Record<string, readonly [x: number, y: number]>> = {
  ArrowLeft: [-STEP, 0],
  ArrowRight: [STEP, 0],
  ArrowUp: [0, -STEP],
  ArrowDown: [0, STEP],
};

const within = (value: number): number => Math.min(1, Math.max(0, value));
const nearest = (dots: readonly PhotoDot[], to: PhotoDot): number => {
  const [a, b] = dots.map(({ x, y }) => Math.hypot(x - to.x, y - to.y));
  return (b ?? Number.POSITIVE_INFINITY) < (a ?? 0) ? 1 : 0;
};

/** A photo with two dots where the caliper's points go: dragged, tapped into place, or moved by the arrow keys. */
export const PhotoDots = ({ url, dots, onChange }: Props) => {
  const frame = useRef<HTMLDivElement>(null);
  const [held, setHeld] = useState<number | null>(null);

  const placeOf = ({ clientX, clientY }: PointerEvent): PhotoDot => {
    const box = frame.current?.getBoundingClientRect();
    if (!box || box.width === 0 || box.height === 0) return { x: 0.5, y: 0.5 };
    return { x: within((clientX - box.left) / box.width), y: within((clientY - box.top) / box.height) };
  };
  const put = (index: number, place: PhotoDot): void =>
    onChange(dots.map((dot, other) => (other === index ? place : dot)));
  const press = (event: PointerEvent): void => {
    if (dots.length === 0) return;
    const place = placeOf(event);
    const index = nearest(dots, place);
    frame.current?.setPointerCapture?.(event.pointerId);
    setHeld(index);
    put(index, place);
  };
  const key = (event: KeyboardEvent, index: number): void => {
    const move = moves[event.key];
    const dot = dots[index];
    if (!move || !dot) return;
    event.preventDefault();
    put(index, { x: within(dot.x + move[0]), y: within(dot.y + move[1]) });
  };

  return (
    <div className="stack">
      <div
        ref={frame}
        className="photo-dots"
        data-placing={dots.length > 0}
        onPointerDown={press}
        onPointerMove={(event) => {
          if (held !== null) put(held, placeOf(event));
        }}
        onPointerUp={() => setHeld(null)}
        onPointerCancel={() => setHeld(null)}
      >
        <img src={url} alt="The landmark" draggable={false} />
        {dots.length === 2 && (
          <svg viewBox="0 0 1 1" preserveAspectRatio="none" aria-hidden="true">
            <path d={`M${dots.map(({ x, y }) => `${x} ${y}`).join('L')}`} vectorEffect="non-scaling-stroke" />
          </svg>
        )}
        {dots.map((dot, index) => (
          <button
            // biome-ignore lint/suspicious/noArrayIndexKey: the two dots are told apart by their place in the list alone.
            key={index}
            type="button"
            className="photo-dot"
            style={{ left: `${100 * dot.x}%`, top: `${100 * dot.y}%` }}
            aria-label={`Point ${index + 1}: arrow keys move it`}
            onKeyDown={(event) => key(event, index)}
          >
            {index + 1}
          </button>
        ))}
      </div>
      <div className="row">
        {dots.length === 0 ? (
          <button type="button" className="button" onClick={() => onChange(START)}>
            Mark the two points
          </button>
        ) : (
          <button type="button" className="button button--quiet" onClick={() => onChange([])}>
            Take the points off
          </button>
        )}
      </div>
    </div>
  );
};
