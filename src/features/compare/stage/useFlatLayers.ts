import { type RefObject, useLayoutEffect } from 'react';
import type { Box } from '../../../domain/compareViewFlat';
import type { Painter } from '../../../ui/stage/painter';
import type { Viewport } from '../../../ui/stage/viewport';
import type { SharedView } from './sharedView';
import type { FlatImage } from './warp';

interface Layers {
  readonly view: SharedView;
  readonly host: RefObject<HTMLDivElement | null>;
  readonly lines: RefObject<HTMLCanvasElement | null>;
  readonly image: FlatImage | null;
  /** Where the picture lies on the sheet. */
  readonly box: Box;
  /** Lines over the picture, in units of the sheet; null for none. */
  readonly paint: Painter | null;
}

/** How long the view rests before the lines are drawn anew, ms; until then the old drawing moves along. */
const REST_MS = 110;
/** The lines are drawn this much beyond the stage on every side, as a share of it, so that a short pan shows no gap. */
const BEYOND = 0.3;

const transformOf = ({ x, y, scale }: Viewport): string => `translate(${x}px, ${y}px) scale(${scale})`;

/**
 * Moves picture and lines with the view without drawing either: two transforms a frame. The lines are drawn sharp again
 * as soon as the view rests.
 */
export const useFlatLayers = ({ view, host, lines, image, box, paint }: Layers): void => {
  useLayoutEffect(() => {
    const element = host.current;
    if (!element || !image) return;
    const { canvas } = image;
    canvas.className = 'flat-photo';
    canvas.style.left = `${box.x}px`;
    canvas.style.top = `${box.y}px`;
    canvas.style.width = `${box.width}px`;
    canvas.style.height = `${box.height}px`;
    element.replaceChildren(canvas);
    const move = (): void => {
      element.style.transform = transformOf(view.get().view);
    };
    move();
    return view.subscribe(move);
  }, [view, host, image, box]);

  useLayoutEffect(() => {
    const canvas = lines.current;
    const context = canvas?.getContext('2d');
    if (!canvas || !context) return;
    let drawnAt: Viewport = view.get().view;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const draw = (): void => {
      const { view: at, stage } = view.get();
      drawnAt = at;
      const density = Math.min(2, window.devicePixelRatio || 1);
      const [dx, dy] = [stage.width * BEYOND, stage.height * BEYOND];
      const width = stage.width + 2 * dx;
      const height = stage.height + 2 * dy;
      canvas.width = Math.round(width * density);
      canvas.height = Math.round(height * density);
      canvas.style.width = `${width}px`;
      canvas.style.height = `${height}px`;
      canvas.style.left = `${-dx}px`;
      canvas.style.top = `${-dy}px`;
      canvas.style.transformOrigin = `${dx}px ${dy}px`;
      canvas.style.transform = '';
      if (!paint) return;
      const k = density * at.scale;
      context.setTransform(k, 0, 0, k, density * (at.x + dx), density * (at.y + dy));
      paint(context, at, density);
    };
    const follow = (): void => {
      const { view: at } = view.get();
      const ratio = at.scale / drawnAt.scale;
      canvas.style.transform = transformOf({
        scale: ratio,
        x: at.x - ratio * drawnAt.x,
        y: at.y - ratio * drawnAt.y,
      });
      clearTimeout(timer);
      timer = setTimeout(draw, REST_MS);
    };
    draw();
    const end = view.subscribe(follow);
    return () => {
      end();
      clearTimeout(timer);
    };
  }, [view, lines, paint]);
};
