import { type PointerEvent, type RefObject, useCallback, useEffect, useRef, useState } from 'react';
import type { PhotoPoint } from '../../domain/coordinates';
import { type PressEvent, type PressOutcome, type PressState, stepPress } from './pressTool';
import type { LiveView } from './useView';
import { toPhotoPoint } from './viewport';

/** How long a finger rests before it aims, ms. */
const HOLD_MS = 420;
/** How far a pointer may tremble during a tap, CSS px. */
const SLACK_PX = { mouse: 4, pen: 6, touch: 10 } as const;
/** How near to a thing a pointer must come down to hold it, CSS px. */
const REACH_PX = { mouse: 12, pen: 16, touch: 24 } as const;

type Pointer = keyof typeof SLACK_PX;
const kindOf = (type: string): Pointer => (type === 'touch' || type === 'pen' ? type : 'mouse');

export interface PressHandlers {
  readonly onPointerDown: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerMove: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerUp: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerCancel: (event: PointerEvent<HTMLElement>) => void;
}

export interface Press<T> {
  readonly state: PressState<T>;
  readonly pointer: Pointer;
  readonly handlers: PressHandlers;
  /** Drops whatever is being pressed or dragged; true when there was something. */
  readonly bail: () => boolean;
}

/** Turns pointer events into samples for the view and named events for the tool. Nothing is decided here. */
export const usePress = <T>(
  element: RefObject<HTMLElement | null>,
  view: LiveView,
  hitAt: (at: PhotoPoint, reachPhotoPx: number) => T | null,
  onOutcome: (outcome: NonNullable<PressOutcome<T>>) => void,
): Press<T> => {
  const [state, setState] = useState<PressState<T>>({ kind: 'idle' });
  const [pointer, setPointer] = useState<Pointer>('mouse');
  const current = useRef(state);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const owner = useRef(onOutcome);
  owner.current = onOutcome;

  const tell = useCallback((event: PressEvent<T>) => {
    const step = stepPress(current.current, event);
    if (step.state !== current.current) {
      current.current = step.state;
      setState(step.state);
    }
    if (step.outcome) owner.current(step.outcome);
  }, []);

  useEffect(() => () => clearTimeout(timer.current), []);

  const sampleOf = (event: PointerEvent<HTMLElement>): { x: number; y: number; at: PhotoPoint } => {
    const box = element.current?.getBoundingClientRect() ?? { left: 0, top: 0 };
    const x = event.clientX - box.left;
    const y = event.clientY - box.top;
    return { x, y, at: toPhotoPoint(view.current.current.view, { x, y }) };
  };

  const lift = (event: PointerEvent<HTMLElement>, kind: 'release' | 'cancel'): void => {
    if (!view.current.current.fingers.some((finger) => finger.id === event.pointerId)) return;
    clearTimeout(timer.current);
    const { at } = sampleOf(event);
    view.send({ kind: 'up', id: event.pointerId });
    if (view.current.current.fingers.length > 0) return;
    tell(kind === 'release' ? { kind, at } : { kind });
  };

  const handlers: PressHandlers = {
    onPointerDown: (event) => {
      if (event.pointerType === 'mouse' && event.button !== 0) return;
      const kind = kindOf(event.pointerType);
      const { x, y, at } = sampleOf(event);
      element.current?.setPointerCapture(event.pointerId);
      view.send({ kind: 'down', id: event.pointerId, x, y });
      clearTimeout(timer.current);
      if (view.current.current.fingers.length > 1) {
        tell({ kind: 'secondFinger' });
        return;
      }
      setPointer(kind);
      tell({ kind: 'press', at, target: hitAt(at, REACH_PX[kind] / view.current.current.view.scale) });
      timer.current = setTimeout(() => tell({ kind: 'hold' }), HOLD_MS);
    },
    onPointerMove: (event) => {
      if (!view.current.current.fingers.some((finger) => finger.id === event.pointerId)) return;
      const { x, y, at } = sampleOf(event);
      if (view.current.current.fingers.length === 1) {
        const slack = SLACK_PX[kindOf(event.pointerType)] / view.current.current.view.scale;
        tell({ kind: 'move', at, slack });
      }
      view.send({ kind: 'move', id: event.pointerId, x, y, pans: current.current.kind === 'panning' });
      if (current.current.kind !== 'pressing') clearTimeout(timer.current);
    },
    onPointerUp: (event) => lift(event, 'release'),
    onPointerCancel: (event) => lift(event, 'cancel'),
  };

  const bail = useCallback((): boolean => {
    if (current.current.kind === 'idle' || current.current.kind === 'panning') return false;
    tell({ kind: 'escape' });
    return true;
  }, [tell]);

  return { state, pointer, handlers, bail };
};
