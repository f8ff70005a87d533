import { type RefObject, useLayoutEffect, useRef } from 'react';
import type { Box } from '../../../domain/compareViewFlat';
import type { Painter } from '../../../ui/stage/painter';
import { createFlatDrawing, type FlatDrawing } from './flatDrawing';
import type { FlatImage } from './flatImage';
import type { SharedView } from './sharedView';

interface Props {
  readonly view: SharedView;
  /** Carries the mark that says whether its drawing is the one that is wanted. */
  readonly pane: RefObject<HTMLElement | null>;
  readonly canvas: RefObject<HTMLCanvasElement | null>;
  readonly behind: RefObject<HTMLDivElement | null>;
  readonly image: FlatImage | null;
  /** Where the picture lies on the sheet. */
  readonly box: Box;
  /** Lines over the picture, in units of the sheet; null for none. */
  readonly paint: Painter | null;
}

/** Draws picture and lines whenever the view has come to rest; `data-settled` on the pane says whether that is so. */
export const useFlatDrawing = ({ view, pane, canvas, behind, image, box, paint }: Props): void => {
  const drawing = useRef<FlatDrawing>(null);
  useLayoutEffect(() => {
    const section = pane.current;
    if (!section) return;
    drawing.current =
      image && canvas.current && behind.current
        ? createFlatDrawing(canvas.current, behind.current, image, box)
        : null;
    const tellSettled = (): void => {
      section.dataset.settled = String(drawing.current !== null && view.settled());
    };
    const draw = (): void => {
      drawing.current?.drawFor(view.rested());
      tellSettled();
    };
    draw();
    const ends = [view.onRest(draw), view.onFrame(tellSettled), view.onWish(tellSettled)];
    return () => {
      for (const end of ends) end();
      drawing.current = null;
    };
  }, [view, pane, canvas, behind, image, box]);

  // A new drawing begins without lines.
  // biome-ignore lint/correctness/useExhaustiveDependencies: the drawing is new whenever one of these is
  useLayoutEffect(() => drawing.current?.setLines(paint), [paint, view, image, box]);
};
