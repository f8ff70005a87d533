import { distance, type PhotoPoint } from '../../domain/coordinates';

/**
 * What a finger, pen or mouse is doing on the photo. `T` names the thing that was under it (a handle, a line), `null` for
 * the bare photo. A drag that began on bare photo belongs to the view and is not the tool's.
 */
export type PressState<T> =
  | { readonly kind: 'idle' }
  | {
      readonly kind: 'pressing';
      readonly target: T | null;
      readonly from: PhotoPoint;
      /** It has rested on a thing for a while: from now on the slightest movement drags that. */
      readonly rested: boolean;
    }
  | {
      readonly kind: 'dragging';
      readonly target: T;
      readonly from: PhotoPoint;
      readonly to: PhotoPoint;
    }
  /** Held still on bare photo: the loupe stays and the finger aims; letting go taps where it aims. */
  | { readonly kind: 'aiming'; readonly to: PhotoPoint }
  /** The photo itself is being moved. */
  | { readonly kind: 'panning' };

export type PressEvent<T> =
  | { readonly kind: 'press'; readonly at: PhotoPoint; readonly target: T | null }
  /** `slack`: how far, in photo px, a finger may tremble and still tap. */
  | { readonly kind: 'move'; readonly at: PhotoPoint; readonly slack: number }
  | { readonly kind: 'hold' }
  | { readonly kind: 'release'; readonly at: PhotoPoint }
  /** The system took the pointer away; counts as letting go without having done anything. */
  | { readonly kind: 'cancel' }
  | { readonly kind: 'secondFinger' }
  | { readonly kind: 'escape' };

/** What the event amounts to for the one who owns the tool. */
export type PressOutcome<T> =
  | { readonly kind: 'tap'; readonly at: PhotoPoint; readonly target: T | null }
  | { readonly kind: 'drag'; readonly target: T; readonly from: PhotoPoint; readonly to: PhotoPoint }
  | { readonly kind: 'drop'; readonly target: T; readonly from: PhotoPoint; readonly to: PhotoPoint }
  /** A drag that leaves no trace. */
  | { readonly kind: 'bail' }
  | null;

export interface PressStep<T> {
  readonly state: PressState<T>;
  readonly outcome: PressOutcome<T>;
}

const idle = { kind: 'idle' } as const;
const to = <T>(state: PressState<T>, outcome: PressOutcome<T> = null): PressStep<T> => ({ state, outcome });

/** Shares of the slack that are left where something was pressed, and where the press has rested on it. */
const SLACK_ON_THING = 0.6;
const SLACK_AFTER_REST = 0.1;

const slackOf = <T>(
  { target, rested }: Extract<PressState<T>, { kind: 'pressing' }>,
  slack: number,
): number => {
  if (target === null) return slack;
  return slack * (rested ? SLACK_AFTER_REST : SLACK_ON_THING);
};

const whilePressing = <T>(
  state: Extract<PressState<T>, { kind: 'pressing' }>,
  event: PressEvent<T>,
): PressStep<T> => {
  switch (event.kind) {
    case 'move':
      if (distance(state.from, event.at) <= slackOf(state, event.slack)) return to(state);
      return state.target === null
        ? to<T>({ kind: 'panning' })
        : to<T>(
            { kind: 'dragging', target: state.target, from: state.from, to: event.at },
            { kind: 'drag', target: state.target, from: state.from, to: event.at },
          );
    case 'hold':
      return state.target === null
        ? to<T>({ kind: 'aiming', to: state.from })
        : to<T>({ ...state, rested: true });
    case 'release':
      return to<T>(idle, { kind: 'tap', at: state.from, target: state.target });
    case 'secondFinger':
      return to<T>({ kind: 'panning' });
    case 'cancel':
    case 'escape':
      return to<T>(idle);
    case 'press':
      return to(state);
  }
};

const whileDragging = <T>(
  state: Extract<PressState<T>, { kind: 'dragging' }>,
  event: PressEvent<T>,
): PressStep<T> => {
  switch (event.kind) {
    case 'move':
      return to<T>({ ...state, to: event.at }, { ...state, kind: 'drag', to: event.at });
    case 'release':
      return to<T>(idle, { ...state, kind: 'drop', to: event.at });
    case 'secondFinger':
      return to<T>({ kind: 'panning' }, { kind: 'bail' });
    case 'cancel':
    case 'escape':
      return to<T>(idle, { kind: 'bail' });
    case 'press':
    case 'hold':
      return to(state);
  }
};

/** One step of the tool: idle → pressing → dragging, aiming or panning → idle. Pure. */
export const stepPress = <T>(state: PressState<T>, event: PressEvent<T>): PressStep<T> => {
  switch (state.kind) {
    case 'idle':
      return event.kind === 'press'
        ? to<T>({ kind: 'pressing', target: event.target, from: event.at, rested: false })
        : to(state);
    case 'pressing':
      return whilePressing(state, event);
    case 'dragging':
      return whileDragging(state, event);
    case 'aiming':
      if (event.kind === 'move') return to<T>({ kind: 'aiming', to: event.at });
      if (event.kind === 'release') return to<T>(idle, { kind: 'tap', at: state.to, target: null });
      if (event.kind === 'secondFinger') return to<T>({ kind: 'panning' });
      return event.kind === 'cancel' || event.kind === 'escape' ? to<T>(idle) : to(state);
    case 'panning':
      return event.kind === 'release' || event.kind === 'cancel' ? to<T>(idle) : to(state);
  }
};

/** Where the loupe looks, or null when there is nothing to look at. */
export const loupeAt = <T>(state: PressState<T>): PhotoPoint | null => {
  if (state.kind === 'dragging' || state.kind === 'aiming') return state.to;
  return state.kind === 'pressing' ? state.from : null;
};
