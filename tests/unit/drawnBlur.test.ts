import { describe, expect, it } from 'vitest';
import { blurPlanes } from '../builders/scene-lens';

const size = { width: 60, height: 40 } as const;

/** One channel, each pixel from its column and row. */
const drawn = (valueAt: (x: number, y: number) => number): Float32Array =>
  Float32Array.from({ length: size.width * size.height }, (_, i) =>
    valueAt(i % size.width, Math.floor(i / size.width)),
  );

const blurred = (picture: Float32Array, sigmaPx: number): Float32Array => {
  const data = Float32Array.from(picture);
  blurPlanes(data, size.width, size.height, 1, sigmaPx);
  return data;
};

describe('the blur of drawn photos', () => {
  for (const sigmaPx of [0.6, 1.5, 2.3, 4.2]) {
    it(`leaves an even picture as it was, ${sigmaPx} px wide`, () => {
      for (const value of blurred(
        drawn(() => 0.7),
        sigmaPx,
      ))
        expect(value).toBeCloseTo(0.7, 5);
    });

    it(`carries nothing from one edge to the other, ${sigmaPx} px wide`, () => {
      const left = blurred(
        drawn((x) => (x < 3 ? 1 : 0)),
        sigmaPx,
      );
      const top = blurred(
        drawn((_, y) => (y < 3 ? 1 : 0)),
        sigmaPx,
      );
      for (let y = 0; y < size.height; y++) expect(left[y * size.width + size.width - 1]).toBeCloseTo(0, 6);
      for (let x = 0; x < size.width; x++) expect(top[(size.height - 1) * size.width + x]).toBeCloseTo(0, 6);
    });

    it(`spreads a point by its width, ${sigmaPx} px wide`, () => {
      const data = blurred(
        drawn((x, y) => (x === 30 && y === 20 ? 1 : 0)),
        sigmaPx,
      );
      let sum = 0;
      let spread = 0;
      data.forEach((value, i) => {
        sum += value;
        spread += value * ((i % size.width) - 30) ** 2;
      });
      expect(sum).toBeCloseTo(1, 3);
      expect(Math.sqrt(spread / sum)).toBeGreaterThan(0.8 * sigmaPx);
      expect(Math.sqrt(spread / sum)).toBeLessThan(1.25 * sigmaPx);
    });
  }
});
