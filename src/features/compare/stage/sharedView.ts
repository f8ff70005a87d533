import type { RefObject } from 'react';
import type { LiveView } from '../../../ui/stage/useView';
import {
  initialView,
  reduceView,
  type Size,
  type ViewSample,
  type ViewState,
} from '../../../ui/stage/viewport';

/** One view for all pictures: whatever moves one moves them all. */
export interface SharedView {
  readonly current: RefObject<ViewState>;
  readonly get: () => ViewState;
  readonly send: (sample: ViewSample) => void;
  /** Told once a frame at most, and only after changes. */
  readonly subscribe: (listener: () => void) => () => void;
  /** The same for the part of the stage that turns pointers into samples. */
  readonly live: LiveView;
}

/** Makes the view over a sheet of the given size. */
export const createSharedView = (sheet: Size): SharedView => {
  const current = { current: initialView({ width: 320, height: 320 }, sheet) };
  /** The state that listeners have been told of: it stays the same between two frames. */
  let told = current.current;
  let waiting = 0;
  const listeners = new Set<() => void>();
  const tell = (): void => {
    waiting = 0;
    told = current.current;
    for (const listener of listeners) listener();
  };
  const send = (sample: ViewSample): void => {
    const next = reduceView(current.current, sample);
    if (next === current.current) return;
    current.current = next;
    if (waiting === 0) waiting = requestAnimationFrame(tell);
  };
  return {
    current,
    get: () => told,
    send,
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    live: { state: current.current, current, send },
  };
};
