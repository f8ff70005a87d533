import { type KeyboardEvent, type PointerEvent, useRef } from 'react';

interface Props {
  /** Share of the width that shows the first picture. */
  readonly share: number;
  readonly onShare: (share: number) => void;
  readonly names: readonly [string, string];
}

const within = (share: number): number => Math.min(1, Math.max(0, share));
const STEP = 0.04;

/** The line that wipes one picture over the other. */
export const Divider = ({ share, onShare, names }: Props) => {
  const held = useRef(false);
  const follow = (event: PointerEvent<HTMLElement>): void => {
    const box = event.currentTarget.parentElement?.getBoundingClientRect();
    if (held.current && box) onShare(within((event.clientX - box.left) / box.width));
  };
  const onKey = (event: KeyboardEvent<HTMLElement>): void => {
    const to: Readonly<Record<string, number>> = {
      ArrowLeft: share - STEP,
      ArrowRight: share + STEP,
      Home: 0,
      End: 1,
    };
    const next = to[event.key];
    if (next === undefined) return;
    event.preventDefault();
    onShare(within(next));
  };
  return (
    <div
      className="divider"
      style={{ left: `${share * 100}%` }}
      role="slider"
      tabIndex={0}
      aria-label={`Divider: ${names[0]} to the left, ${names[1]} to the right`}
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round(share * 100)}
      onKeyDown={onKey}
      onPointerDown={(event) => {
        held.current = true;
        event.currentTarget.setPointerCapture(event.pointerId);
      }}
      onPointerMove={follow}
      onPointerUp={() => {
        held.current = false;
      }}
      onPointerCancel={() => {
        held.current = false;
      }}
    >
      <span className="divider-grip" aria-hidden="true">
        ‹ ›
      </span>
    </div>
  );
};
