import type { Box } from '../../../domain/compareViewFlat';
import type { Painter } from '../../../ui/stage/painter';
import type { ViewState } from '../../../ui/stage/viewport';
import type { FlatImage } from './flatImage';

/** A canvas of about twice the stage's size that shows one flat picture, drawn for one view and moved about until the next. */
export interface FlatDrawing {
  /** Draws the picture for this view, with its lines. */
  readonly drawFor: (state: ViewState) => void;
  /** Draws other lines over the same picture; null for none. */
  readonly setLines: (paint: Painter | null) => void;
}

/** The drawing reaches this much beyond the stage on every side, as a share of it, so that a pan finds something there. */
const BEYOND = 0.5;
/** The stage's own colour, where a photo does not reach. */
const GROUND = '#1d2226';

/** Px of the drawing to a CSS px; more than two would cost memory that a phone lacks. */
const density = (): number => Math.min(2, window.devicePixelRatio || 1);

/** The smallest copy that still has a px for each px of the drawing, or the full picture. */
const copyFor = ({ copies }: FlatImage, widthPx: number): HTMLCanvasElement | undefined =>
  copies.findLast(({ width }) => width >= widthPx) ?? copies[0];

/**
 * Draws into `canvas`, and puts the picture's smallest copy into `behind`, where it shows wherever the drawing does not reach.
 * `box`: where the picture lies on the sheet.
 */
export const createFlatDrawing = (
  canvas: HTMLCanvasElement,
  behind: HTMLElement,
  image: FlatImage,
  box: Box,
): FlatDrawing => {
  // What lies below an opaque drawing need not be put on the screen at all.
  const context = canvas.getContext('2d', { alpha: false });
  const bare = document.createElement('canvas');
  const photo = bare.getContext('2d', { alpha: false });
  const smallest = image.copies.at(-1);
  if (smallest) behind.replaceChildren(smallest);
  let lines: Painter | null = null;
  let drawn: ViewState | null = null;
  let [dx, dy] = [0, 0];

  const place = ({ stage, view }: ViewState): void => {
    const d = density();
    [dx, dy] = [Math.round(stage.width * BEYOND * d) / d, Math.round(stage.height * BEYOND * d) / d];
    canvas.width = Math.round((stage.width + 2 * dx) * d);
    canvas.height = Math.round((stage.height + 2 * dy) * d);
    bare.width = canvas.width;
    bare.height = canvas.height;
    Object.assign(canvas.style, {
      left: `${-dx}px`,
      top: `${-dy}px`,
      width: `${canvas.width / d}px`,
      height: `${canvas.height / d}px`,
    });
    if (!smallest) return;
    Object.assign(smallest.style, {
      left: `${view.x + view.scale * box.x}px`,
      top: `${view.y + view.scale * box.y}px`,
      width: `${view.scale * box.width}px`,
      height: `${view.scale * box.height}px`,
    });
  };
  const inUnits = (target: CanvasRenderingContext2D, { view }: ViewState): void => {
    const d = density();
    const k = d * view.scale;
    target.setTransform(k, 0, 0, k, d * (view.x + dx), d * (view.y + dy));
  };
  const drawPhoto = (state: ViewState): void => {
    const copy = copyFor(image, box.width * density() * state.view.scale);
    if (!photo || !copy) return;
    photo.fillStyle = GROUND;
    photo.fillRect(0, 0, bare.width, bare.height);
    inUnits(photo, state);
    photo.drawImage(copy, box.x, box.y, box.width, box.height);
  };
  const compose = (): void => {
    if (!context || !drawn) return;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.drawImage(bare, 0, 0);
    if (!lines) return;
    inUnits(context, drawn);
    lines(context, drawn.view, density());
  };
  return {
    drawFor: (state) => {
      drawn = state;
      place(state);
      drawPhoto(state);
      compose();
    },
    setLines: (paint) => {
      if (paint === lines) return;
      lines = paint;
      compose();
    },
  };
};
