import type { SheetPicture } from '../../../domain/compareViewFlat';
import { type Size, warpByMesh, warpByShader } from './warp';

/** One photo laid flat, and how many of its px make a unit of the sheet. */
export interface FlatImage {
  /** The picture in full. */
  readonly canvas: HTMLCanvasElement;
  /** The picture in full, then copies of half the size each, down to one that is cheap to have on the page. */
  readonly copies: readonly HTMLCanvasElement[];
  readonly pxPerUnit: number;
}

/** The largest picture that is made, px: phones give up beyond 16.7 million for one canvas, and several lie side by side. */
const MOST_PX = 7_000_000;
const LONGEST_PX = 4096;
/** The longest side of a photo that a texture surely takes. */
const TEXTURE_PX = 4096;
/** The smallest copy has no more px than this. */
const SMALLEST_PX = 400_000;

/** How many px of the flat picture make one unit of the sheet: as many as the photo has, as far as the page can hold them. */
const flatDensity = ({ box, pxPerUnit }: SheetPicture): number =>
  Math.min(
    pxPerUnit,
    Math.sqrt(MOST_PX / (box.width * box.height)),
    LONGEST_PX / Math.max(box.width, box.height),
  );

const canvasOf = (width: number, height: number): HTMLCanvasElement => {
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(width));
  canvas.height = Math.max(1, Math.round(height));
  return canvas;
};

/** Halving again and again keeps every thread of the yarn in the average; a reduction in one go would drop some. */
const withCopies = (full: HTMLCanvasElement): HTMLCanvasElement[] => {
  const copies = [full];
  for (let last = full; last.width * last.height > SMALLEST_PX; ) {
    const half = canvasOf(last.width / 2, last.height / 2);
    half.getContext('2d')?.drawImage(last, 0, 0, half.width, half.height);
    copies.push(half);
    last = half;
  }
  return copies;
};

/**
 * Lays a photo flat, once and for all: afterwards it is only scaled and moved. `size`: the photo's own, px.
 * @returns null when the browser cannot draw the photo.
 */
export const flatImage = async (
  photo: Blob,
  size: Size,
  picture: SheetPicture,
): Promise<FlatImage | null> => {
  const shrink = Math.min(1, TEXTURE_PX / Math.max(size.width, size.height));
  const bitmap = await createImageBitmap(
    photo,
    shrink < 1
      ? {
          resizeWidth: Math.round(size.width * shrink),
          resizeHeight: Math.round(size.height * shrink),
          resizeQuality: 'high',
        }
      : {},
  ).catch(() => null);
  if (!bitmap) return null;
  const { sheetToPhoto, box } = picture;
  const density = Math.min(flatDensity(picture), picture.pxPerUnit * shrink);
  const canvas = canvasOf(box.width * density, box.height * density);
  const drawn =
    warpByShader(bitmap, size, sheetToPhoto, box, canvas) ||
    warpByMesh(bitmap, size, sheetToPhoto, box, canvas);
  bitmap.close();
  return drawn ? { canvas, copies: withCopies(canvas), pxPerUnit: density } : null;
};
