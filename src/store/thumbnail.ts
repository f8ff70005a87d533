import type { Photo } from '../domain/records';

/** Longer side of a thumbnail, px: sharp on a list at two device px per CSS px. */
const THUMBNAIL_PX = 480;

/** A small JPEG of a photo for lists; null where the browser cannot show the photo, for then a list shows a plain card. */
export const thumbnailOf = async (bytes: ArrayBuffer, mime: string): Promise<Photo['thumbnail']> => {
  try {
    const bitmap = await createImageBitmap(new Blob([bytes], { type: mime }));
    const scale = Math.min(1, THUMBNAIL_PX / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const context = canvas.getContext('2d');
    if (!context) return null;
    context.imageSmoothingQuality = 'high';
    context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', 0.82));
    return blob && { mime: blob.type, bytes: await blob.arrayBuffer() };
  } catch {
    return null;
  }
};
