import type { CountWindow } from '../../../domain/grid';
import { colourWord, meanColour, toHex } from '../../../domain/plainColour';
import type { Id, Photo, Swatch } from '../../../domain/records';
import { createDeriver } from '../../../store/measureSessionGrid';
import { scaledCanvas, wholeOf } from '../../../store/scaledCanvas';

/** A colour for reading and as #rrggbb. */
export interface SeenColour {
  readonly word: string;
  readonly hex: string;
}

/** Longest side of the picture that is averaged, px: thousands of samples are plenty for a mean. */
const SIDE_PX = 320;

/**
 * Mean colour of a photo inside the counted window; null when the browser cannot show the photo or the window has no area.
 * @param window corners in px of the upright photo.
 */
export const colourInWindow = async (
  photo: Pick<Photo, 'bytes' | 'mime'>,
  { corners }: CountWindow,
): Promise<SeenColour | null> => {
  const bitmap = await createImageBitmap(new Blob([photo.bytes], { type: photo.mime })).catch(() => null);
  if (!bitmap) return null;
  const made = scaledCanvas(wholeOf(bitmap), SIDE_PX, { isRead: true });
  if (made) {
    made.context.beginPath();
    for (const { x, y } of corners) made.context.lineTo(x, y);
    made.context.clip();
    made.context.drawImage(bitmap, 0, 0);
  }
  bitmap.close();
  const mean =
    made && meanColour(made.context.getImageData(0, 0, made.canvas.width, made.canvas.height).data);
  return mean ? { word: colourWord(mean), hex: toHex(mean) } : null;
};

interface Source {
  readonly readSwatch: (id: Id) => Promise<Swatch | null>;
  readonly getPhoto: (id: Id) => Promise<Photo | null>;
}

/** The colour of the first of these swatches whose photo has a counted window; null when none has. */
export const colourOfSwatches = async (
  storage: Source,
  swatchIds: readonly Id[],
): Promise<SeenColour | null> => {
  for (const id of swatchIds) {
    const swatch = await storage.readSwatch(id);
    const window = swatch && createDeriver().derive(swatch, null).window;
    const photo = swatch?.photoId && window ? await storage.getPhoto(swatch.photoId) : null;
    const seen = photo && window ? await colourInWindow(photo, window) : null;
    if (seen) return seen;
  }
  return null;
};
