import { type KeyboardEvent, useEffect, useState } from 'react';
import { type PhotoPoint, photoPoint } from '../../../domain/coordinates';
import type { ScaleReference } from '../../../domain/measurement';
import type { Held, HeldHandle } from '../../../ui/marks/held';
import type { PressOutcome } from '../../../ui/stage/pressTool';

export interface ScaleTool {
  /** The handles as they stand, also in the middle of a drag. */
  readonly handles: readonly PhotoPoint[];
  /** The one that is held, or that the arrow keys move. */
  readonly active: number | null;
  readonly hitAt: (at: PhotoPoint, reachPhotoPx: number) => HeldHandle | null;
  readonly onOutcome: (outcome: NonNullable<PressOutcome<Held>>) => void;
  readonly onKey: (event: KeyboardEvent<HTMLElement>) => boolean;
}

const moved = (points: readonly PhotoPoint[], index: number, dx: number, dy: number): PhotoPoint[] =>
  points.map((p, i) => (i === index ? photoPoint(p.x + dx, p.y + dy) : p));

const arrowSteps: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Photo px that an arrow key moves a handle; Shift makes it one. */
const KEY_STEP_PX = 8;

/** Dragging the handles of a reference, by finger, mouse or keys (H goes from handle to handle, arrows move it). */
export const useScaleTool = (
  reference: ScaleReference | null,
  correct: (handles: readonly PhotoPoint[]) => void,
): ScaleTool => {
  const [trial, setTrial] = useState<readonly PhotoPoint[] | null>(null);
  const [active, setActive] = useState<number | null>(null);
  const handles = trial ?? reference?.handles ?? [];

  // biome-ignore lint/correctness/useExhaustiveDependencies: a new reference ends whatever was tried on the old one
  useEffect(() => {
    setTrial(null);
  }, [reference]);

  const hitAt = (at: PhotoPoint, reachPhotoPx: number): HeldHandle | null => {
    const near = handles
      .map((p, index) => ({ index, distancePx: Math.hypot(p.x - at.x, p.y - at.y) }))
      .sort((a, b) => a.distancePx - b.distancePx)[0];
    return near && near.distancePx <= reachPhotoPx ? { kind: 'handle', index: near.index } : null;
  };

  const onOutcome = (outcome: NonNullable<PressOutcome<Held>>): void => {
    if (outcome.kind === 'bail') {
      setTrial(null);
      return;
    }
    if (outcome.kind === 'tap') {
      setActive(outcome.target?.kind === 'handle' ? outcome.target.index : null);
      return;
    }
    const base = reference?.handles ?? [];
    const { target, from, to } = outcome;
    if (target.kind !== 'handle') return;
    const next = moved(base, target.index, to.x - from.x, to.y - from.y);
    setActive(target.index);
    setTrial(next);
    if (outcome.kind === 'drop') correct(next);
  };

  const onKey = (event: KeyboardEvent<HTMLElement>): boolean => {
    if (event.ctrlKey || event.metaKey || event.altKey || handles.length === 0) return false;
    if (event.key.toLowerCase() === 'h') {
      setActive((index) => ((index ?? -1) + 1) % handles.length);
      return true;
    }
    if (active === null) return false;
    const step = arrowSteps[event.key];
    if (step) {
      const by = event.shiftKey ? 1 : KEY_STEP_PX;
      setTrial(moved(handles, active, step[0] * by, step[1] * by));
      return true;
    }
    if (event.key === 'Escape') {
      setTrial(null);
      setActive(null);
      return true;
    }
    if (event.key !== 'Enter') return false;
    if (trial) correct(trial);
    setActive(null);
    return true;
  };

  return { handles, active, hitAt, onOutcome, onKey };
};
