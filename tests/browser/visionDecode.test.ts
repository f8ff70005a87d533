import { describe, expect, it } from 'vitest';
import { decodeInBrowser } from '../../workers/photo/decodeInBrowser';
import { readHeader } from '../../workers/photo/header';
import { openPhoto } from '../../workers/photo/openPhoto';
import { jpegWithExif, quarters, storedPixels } from '../builders/exif';

const upright = quarters(320, 240);

const encoded = async (
  picture: { data: Uint8ClampedArray<ArrayBuffer>; width: number; height: number },
  type: string,
): Promise<Uint8Array> => {
  const canvas = new OffscreenCanvas(picture.width, picture.height);
  canvas.getContext('2d')!.putImageData(new ImageData(picture.data, picture.width, picture.height), 0, 0);
  return new Uint8Array(await (await canvas.convertToBlob({ type, quality: 0.95 })).arrayBuffer());
};

const meanDifference = (a: Uint8ClampedArray, b: Uint8ClampedArray): number =>
  a.reduce((sum, value, i) => sum + Math.abs(value - b[i]!), 0) / a.length;

describe('decoding in the browser', () => {
  for (const orientation of [1, 2, 3, 4, 5, 6, 7, 8]) {
    it(`turns a photo with orientation ${orientation} upright, once`, async () => {
      const jpeg = await encoded(storedPixels(upright, orientation), 'image/jpeg');
      const { facts, work } = await openPhoto(jpegWithExif(jpeg, { orientation }), decodeInBrowser);
      expect([facts.widthPx, facts.heightPx]).toEqual([320, 240]);
      expect(meanDifference(work.image.data, upright.data)).toBeLessThan(2);
    });
  }

  for (const type of ['image/jpeg', 'image/png', 'image/webp']) {
    it(`reads ${type} as the header says`, async () => {
      const bytes = await encoded(storedPixels(upright, 1), type);
      const { facts, work } = await openPhoto(bytes, decodeInBrowser);
      expect(facts).toMatchObject({ widthPx: 320, heightPx: 240, mime: type });
      expect(meanDifference(work.image.data, upright.data)).toBeLessThan(2);
    });
  }

  it('hands out any band of rows', async () => {
    const bytes = await encoded(storedPixels(upright, 1), 'image/png');
    const photo = await decodeInBrowser(bytes, readHeader(bytes, 'png')!);
    for (const [from, count] of [
      [0, 10],
      [100, 40],
      [230, 10],
    ] as const) {
      const band = photo.rows(from, count);
      expect(band).toEqual(upright.data.slice(from * 320 * 4, (from + count) * 320 * 4));
    }
    photo.close();
  });
});
