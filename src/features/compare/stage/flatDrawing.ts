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
 * Shows a picture in a canvas that nothing is drawn into. A canvas with a drawing context may be copied for every frame that is put
 * on the screen; of this kind the browser knows that its picture stays what it is.
 */
const showIn = (canvas: HTMLCanvasElement, drawn: OffscreenCanvas): void => {
  const picture = drawn.transferToImageBitmap();
  canvas.width = picture.width;
  canvas.height = picture.height;
  canvas.getContext('bitmaprenderer', { alpha: false })?.transferFromImageBitmap(picture);
};

const sheetOf = (width: number, height: number) => {
  const sheet = new OffscreenCanvas(width, height);
  return { sheet, context: sheet.getContext('2d', { alpha: false }) };
};

const stillOf = (picture: HTMLCanvasElement): HTMLCanvasElement => {
  const { sheet, context } = sheetOf(picture.width, picture.height);
  context?.drawImage(picture, 0, 0);
  const still = document.createElement('canvas');
  showIn(still, sheet);
  return still;
};

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
  const { sheet, context } = sheetOf(1, 1);
  const { sheet: bare, context: photo } = sheetOf(1, 1);
  const copy = image.copies.at(-1);
  const smallest = copy && stillOf(copy);
  if (smallest) behind.replaceChildren(smallest);
  let lines: Painter | null = null;
  let drawn: ViewState | null = null;
  let [dx, dy] = [0, 0];

  const place = ({ stage, view }: ViewState): void => {
    const d = density();
    [dx, dy] = [Math.round(stage.width * BEYOND * d) / d, Math.round(stage.height * BEYOND * d) / d];
    bare.width = Math.round((stage.width + 2 * dx) * d);
    bare.height = Math.round((stage.height + 2 * dy) * d);
    Object.assign(canvas.style, {
      left: `${-dx}px`,
      top: `${-dy}px`,
      width: `${bare.width / d}px`,
      height: `${bare.height / d}px`,
    });
    if (!smallest) return;
    Object.assign(smallest.style, {
      left: `${view.x + view.scale * box.x}px`,
      top: `${view.y + view.scale * box.y}px`,
      width: `${view.scale * box.width}px`,
      height: `${view.scale * box.height}px`,
    });
  };
  const inUnits = (target: OffscreenCanvasRenderingContext2D, { view }: ViewState): void => {
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
    sheet.width = bare.width;
    sheet.height = bare.height;
    context.drawImage(bare, 0, 0);
    if (lines) {
      inUnits(context, drawn);
      lines(context, drawn.view, density());
    }
    showIn(canvas, sheet);
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
