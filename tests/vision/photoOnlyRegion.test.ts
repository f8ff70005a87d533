import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { onlyRegion } from '../../workers/photo/onlyRegion';

const widthPx = 40;
const heightPx = 30;
const picture = {
  widthPx,
  heightPx,
  data: Uint8ClampedArray.from({ length: widthPx * heightPx * 4 }, (_, i) =>
    i % 4 === 3 ? 255 : (i * 37) % 256,
  ),
};

const keptIn = (result: Uint8ClampedArray, flat: readonly number[]): boolean[] =>
  Array.from({ length: widthPx * heightPx }, (_, i) =>
    flat.some((value, channel) => result[4 * i + channel] !== value),
  );

describe('a region of the photo', () => {
  it('keeps exactly the pixels whose centres lie inside, in photo pixels, and paints the rest in one colour', () => {
    const polygon = [
      [20, 4],
      [72, 30],
      [40, 56],
      [10.5, 33],
    ].map(([x, y]) => photoPoint(x!, y!));
    const { image, photoPxPerWorkPx } = onlyRegion({ image: picture, photoPxPerWorkPx: 2 }, polygon);
    expect(photoPxPerWorkPx).toBe(2);
    const flat = [...image.data.subarray(0, 3)];
    const inside = (x: number, y: number): boolean =>
      polygon.every((a, i) => {
        const b = polygon[(i + 1) % polygon.length]!;
        return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x) > 0;
      });
    keptIn(image.data, flat).forEach((kept, i) => {
      const x = 2 * ((i % widthPx) + 0.5);
      const y = 2 * (Math.floor(i / widthPx) + 0.5);
      expect(kept, `pixel at ${x}, ${y}`).toBe(inside(x, y));
      if (kept) expect(image.data.slice(4 * i, 4 * i + 4)).toEqual(picture.data.slice(4 * i, 4 * i + 4));
    });
  });

  it('leaves the photo that it was given as it was', () => {
    const before = picture.data.slice();
    const corner = [
      [5, 5],
      [9, 5],
      [5, 9],
    ].map(([x, y]) => photoPoint(x!, y!));
    onlyRegion({ image: picture, photoPxPerWorkPx: 1 }, corner);
    expect(picture.data).toEqual(before);
  });
});
