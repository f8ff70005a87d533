import type { Photo } from '../domain/records';
import { scaledCanvas, wholeOf } from './scaledCanvas';

/** Longer side of a thumbnail, px: sharp on a list at two device px per CSS px. */
const THUMBNAIL_PX = 480;

/** A small JPEG of a photo for lists; null where the browser cannot show the photo, for then a list shows a plain card. */
export const thumbnailOf = async (bytes: ArrayBuffer, mime: string): Promise<Photo['thumbnail']> => {
  try {
    const bitmap = await createImageBitmap(new Blob([bytes], { type: mime }));
    const made = scaledCanvas(wholeOf(bitmap), THUMBNAIL_PX);
    if (!made) return null;
    made.context.drawImage(bitmap, 0, 0);
    bitmap.close();
    const blob = await new Promise<Blob | null>((done) => made.canvas.toBlob(done, 'image/jpeg', 0.82));
    return blob && { mime: blob.type, bytes: await blob.arrayBuffer() };
  } catch {
    return null;
  }
};
