import type { Decode } from './decoded';

/** Context of a canvas that is read back often and therefore kept in ordinary memory. */
const bandContext = (widthPx: number, heightPx: number): OffscreenCanvasRenderingContext2D => {
  const context = new OffscreenCanvas(widthPx, heightPx).getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('This browser gives no canvas to read pixels from.');
  context.imageSmoothingEnabled = false;
  context.fillStyle = '#ffffff';
  return context;
};

/**
 * Decodes a photo with what the browser has. The browser turns it upright by its orientation tag; pixels are drawn and read a
 * band at a time, because some browsers cap the size of a canvas far below that of a photo.
 */
export const decodeInBrowser: Decode = async (bytes) => {
  const bitmap = await createImageBitmap(new Blob([new Uint8Array(bytes)]), {
    imageOrientation: 'from-image',
  });
  const { width, height } = bitmap;
  let context: OffscreenCanvasRenderingContext2D | null = null;
  return {
    widthPx: width,
    heightPx: height,
    rows: (from, count) => {
      if (!context || context.canvas.height < count) context = bandContext(width, count);
      context.fillRect(0, 0, width, count);
      context.drawImage(bitmap, 0, -from);
      return context.getImageData(0, 0, width, count).data;
    },
    close: () => bitmap.close(),
  };
};
