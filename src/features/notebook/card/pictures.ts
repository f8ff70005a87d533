import type { CountWindow } from '../../../domain/grid';
import type { PhotoDot } from '../../../domain/machineRecords';
import type { Photo, Swatch } from '../../../domain/records';
import { createDeriver, pitchOnPhoto } from '../../../store/measureSessionGrid';
import { type PicturePart, type ScaledCanvas, scaledCanvas, wholeOf } from '../../../store/scaledCanvas';
import { gridPainter, lineColours } from '../../../ui/marks/paintGrid';

/*
 * Pictures for paper and for others. They are painted anew from the pixels, so that nothing that a camera wrote beside the pixels (place,
 * date, serial numbers) can leave with them.
 */

type PhotoFile = Pick<Photo, 'bytes' | 'mime'>;

const opened = ({ bytes, mime }: PhotoFile): Promise<ImageBitmap | null> =>
  createImageBitmap(new Blob([bytes], { type: mime })).catch(() => null);

/** How much of the fabric around the counted window stays in sight, as a share of the window's longer side. */
const MARGIN = 0.12;

/** Usual width of a card's picture on a screen or on paper, CSS px. */
const SHOWN_PX = 560;

const roundWindow = ({ corners }: CountWindow, photo: { width: number; height: number }): PicturePart => {
  const xs = corners.map(({ x }) => x);
  const ys = corners.map(({ y }) => y);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const margin = MARGIN * Math.max(right - left, bottom - top);
  const x = Math.max(0, left - margin);
  const y = Math.max(0, top - margin);
  return {
    x,
    y,
    width: Math.min(photo.width, right + margin) - x,
    height: Math.min(photo.height, bottom + margin) - y,
  };
};

/** A part of a bitmap on a canvas of its own, at most `sidePx` long and twice its own size. */
const cutOut = (bitmap: ImageBitmap, part: PicturePart, sidePx: number): ScaledCanvas | null => {
  const made = scaledCanvas(part, sidePx, { mostScale: 2 });
  made?.context.drawImage(bitmap, 0, 0);
  return made;
};

/** The counted part of a swatch's photo with the lines over it; the whole photo when nothing was counted. Null when it cannot be shown. */
export const swatchPicture = async (
  photo: PhotoFile,
  swatch: Swatch,
  sidePx: number,
): Promise<HTMLCanvasElement | null> => {
  const bitmap = await opened(photo);
  if (!bitmap) return null;
  const derived = createDeriver().derive(swatch, null);
  const { grid, window } = derived;
  const made = cutOut(bitmap, window ? roundWindow(window, bitmap) : wholeOf(bitmap), sidePx);
  bitmap.close();
  if (!made) return null;
  const paint = gridPainter({
    grid,
    window,
    active: null,
    chosen: null,
    ghost: null,
    pitchPx: pitchOnPhoto(derived),
    colours: lineColours(document.documentElement),
  });
  // Pen widths as for a picture of half a screen's width, where cards are mostly looked at.
  const shrunk = Math.max(1, made.canvas.width / SHOWN_PX);
  paint(made.context, { scale: made.scale / shrunk, x: 0, y: 0 }, 1);
  return made.canvas;
};

/** The photo of a landmark with its two points, numbered. Null when it cannot be shown. */
export const landmarkPicture = async (
  photo: PhotoFile,
  dots: readonly PhotoDot[],
  sidePx: number,
): Promise<HTMLCanvasElement | null> => {
  const bitmap = await opened(photo);
  if (!bitmap) return null;
  const made = cutOut(bitmap, wholeOf(bitmap), sidePx);
  bitmap.close();
  if (!made) return null;
  const { context, canvas } = made;
  const radius = Math.max(9, canvas.width / 26);
  context.resetTransform();
  context.font = `700 ${1.2 * radius}px system-ui, sans-serif`;
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  dots.forEach(({ x, y }, i) => {
    const at = [x * canvas.width, y * canvas.height] as const;
    context.beginPath();
    context.arc(...at, radius, 0, 2 * Math.PI);
    context.fillStyle = '#a63f17';
    context.fill();
    context.lineWidth = 2;
    context.strokeStyle = '#fffaf3';
    context.stroke();
    context.fillStyle = '#fffaf3';
    context.fillText(String(i + 1), ...at);
  });
  return canvas;
};
