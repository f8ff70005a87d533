import type { RefObject } from 'react';
import type { LiveView } from '../../../ui/stage/useView';
import {
  initialView,
  reduceView,
  type Size,
  type ViewSample,
  type ViewState,
} from '../../../ui/stage/viewport';

/** Adds a listener; what comes back takes it away again. */
type Subscribe = (listener: () => void) => () => void;

/** One view for all pictures: whatever moves one moves them all. */
export interface SharedView {
  /** The view as wanted, to the last sample. */
  readonly current: RefObject<ViewState>;
  /** The view as shown since the last frame, at whole px of the screen, so that moving a drawing never blurs it. */
  readonly shown: () => ViewState;
  /** The view that the pictures are drawn for: the one that was shown when it last rested. */
  readonly rested: () => ViewState;
  /** Whether the pictures are drawn for the view that is wanted. */
  readonly settled: () => boolean;
  readonly send: (sample: ViewSample) => void;
  /** Told of every change that is wanted, at once. */
  readonly onWish: Subscribe;
  /** Told when the shown view has changed: once a frame at most. */
  readonly onFrame: Subscribe;
  /** Told when the view has come to rest elsewhere, or the stage has changed its size. */
  readonly onRest: Subscribe;
  /** The same for the part of the stage that turns pointers into samples. */
  readonly live: LiveView;
}

/** How long the view stays where it is before the pictures are drawn for it, ms; until then the old drawings are moved. */
const REST_MS = 110;

const snapped = (state: ViewState): ViewState => {
  const density = window.devicePixelRatio || 1;
  const { scale, x, y } = state.view;
  const whole = (value: number): number => Math.round(value * density) / density;
  return { ...state, view: { scale, x: whole(x), y: whole(y) } };
};

const sameView = (a: ViewState, b: ViewState): boolean =>
  a.view.x === b.view.x && a.view.y === b.view.y && a.view.scale === b.view.scale && sameStage(a, b);

const sameStage = (a: ViewState, b: ViewState): boolean =>
  a.stage.width === b.stage.width && a.stage.height === b.stage.height;

const listeners = (): { readonly add: Subscribe; readonly tell: () => void } => {
  const all = new Set<() => void>();
  return {
    add: (listener) => {
      all.add(listener);
      return () => all.delete(listener);
    },
    tell: () => {
      for (const listener of all) listener();
    },
  };
};

/** Makes the view over a sheet of the given size. It is not settled before the stage has told its size. */
export const createSharedView = (sheet: Size): SharedView => {
  const current = { current: initialView({ width: 320, height: 320 }, sheet) };
  let shown = snapped(current.current);
  let rested = shown;
  let measured = false;
  let frame = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const [wishes, frames, rests] = [listeners(), listeners(), listeners()];

  const rest = (): void => {
    if (sameView(shown, rested)) return;
    rested = shown;
    rests.tell();
  };
  const show = (): void => {
    frame = 0;
    const next = snapped(current.current);
    if (sameView(next, shown)) return;
    shown = next;
    frames.tell();
    clearTimeout(timer);
    if (sameStage(shown, rested)) timer = setTimeout(rest, REST_MS);
    else rest();
  };
  const send = (sample: ViewSample): void => {
    measured ||= sample.kind === 'resize';
    const next = reduceView(current.current, sample);
    if (next === current.current) return;
    current.current = next;
    wishes.tell();
    if (frame === 0) frame = requestAnimationFrame(show);
  };
  return {
    current,
    shown: () => shown,
    rested: () => rested,
    settled: () => measured && sameView(snapped(current.current), rested),
    send,
    onWish: wishes.add,
    onFrame: frames.add,
    onRest: rests.add,
    live: { state: current.current, current, send },
  };
};
