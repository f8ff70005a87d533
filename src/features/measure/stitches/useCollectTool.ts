import { type KeyboardEvent, useState } from 'react';
import { type PhotoPoint, photoPoint } from '../../../domain/coordinates';
import type { Held } from '../../../ui/marks/held';
import type { PressOutcome } from '../../../ui/stage/pressTool';

/** Some places to be tapped one after the other, and what happens then. */
export interface Collecting {
  readonly prompts: readonly string[];
  readonly done: (points: readonly PhotoPoint[]) => void;
}

export interface CollectTool {
  readonly active: boolean;
  /** What to tap next. */
  readonly prompt: string;
  readonly points: readonly PhotoPoint[];
  /** A cross that the arrow keys move, for collecting without a pointer. */
  readonly cross: PhotoPoint | null;
  readonly begin: (collecting: Collecting, middle: PhotoPoint) => void;
  readonly cancel: () => void;
  readonly onOutcome: (outcome: NonNullable<PressOutcome<Held>>) => void;
  readonly onKey: (event: KeyboardEvent<HTMLElement>) => boolean;
}

interface State extends Collecting {
  readonly points: readonly PhotoPoint[];
  readonly cross: PhotoPoint | null;
  readonly middle: PhotoPoint;
}

const steps: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};
const STEP_PX = 12;

/** Collects taps (or places chosen with arrow keys and Enter) until all that were asked for are there. */
export const useCollectTool = (): CollectTool => {
  const [state, setState] = useState<State | null>(null);

  const add = (at: PhotoPoint): void => {
    if (!state) return;
    const points = [...state.points, at];
    if (points.length < state.prompts.length) setState({ ...state, points, cross: state.cross && at });
    else {
      setState(null);
      state.done(points);
    }
  };

  const onKey = (event: KeyboardEvent<HTMLElement>): boolean => {
    if (!state || event.ctrlKey || event.metaKey || event.altKey) return false;
    const cross = state.cross ?? state.middle;
    const step = steps[event.key];
    if (step) {
      const by = event.shiftKey ? 1 : STEP_PX;
      setState({ ...state, cross: photoPoint(cross.x + step[0] * by, cross.y + step[1] * by) });
      return true;
    }
    if (event.key === 'Enter') add(cross);
    else if (event.key === 'Backspace') setState({ ...state, points: state.points.slice(0, -1) });
    else if (event.key === 'Escape') setState(null);
    else return false;
    return true;
  };

  return {
    active: state !== null,
    prompt: state?.prompts[state.points.length] ?? '',
    points: state?.points ?? [],
    cross: state?.cross ?? null,
    begin: (collecting, middle) => setState({ ...collecting, points: [], cross: null, middle }),
    cancel: () => setState(null),
    onOutcome: (outcome) => {
      if (outcome.kind === 'tap') add(outcome.at);
    },
    onKey,
  };
};
