import { type RefObject, useCallback, useEffect, useLayoutEffect, useRef, useState } from 'react';
import { initialView, reduceView, type Size, type ViewSample, type ViewState } from './viewport';
import { wheelSample } from './wheel';

export interface LiveView {
  readonly state: ViewState;
  /** The newest state, also between two renderings. */
  readonly current: RefObject<ViewState>;
  readonly send: (sample: ViewSample) => void;
}

/** Keeps the view of one stage element: its size, its wheel, and whatever samples are sent. */
export const useView = (element: RefObject<HTMLElement | null>, photo: Size): LiveView => {
  const [state, setState] = useState(() => initialView({ width: 320, height: 320 }, photo));
  const current = useRef(state);

  const send = useCallback((sample: ViewSample) => {
    const next = reduceView(current.current, sample);
    if (next === current.current) return;
    current.current = next;
    setState(next);
  }, []);

  useEffect(() => {
    if (current.current.photo.width === photo.width && current.current.photo.height === photo.height) return;
    send({ kind: 'photo', photo: { width: photo.width, height: photo.height } });
  }, [photo.width, photo.height, send]);

  useLayoutEffect(() => {
    const stage = element.current;
    if (!stage) return;
    const measure = (): void => {
      const { clientWidth: width, clientHeight: height } = stage;
      if (width > 0 && height > 0) send({ kind: 'resize', stage: { width, height } });
    };
    measure();
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const box = stage.getBoundingClientRect();
      send(wheelSample(event, event.clientX - box.left, event.clientY - box.top));
    };
    // React listens to wheels passively; the page must not scroll or zoom below the photo.
    stage.addEventListener('wheel', wheel, { passive: false });
    const observer = new ResizeObserver(measure);
    observer.observe(stage);
    return () => {
      stage.removeEventListener('wheel', wheel);
      observer.disconnect();
    };
  }, [element, send]);

  return { state, current, send };
};
