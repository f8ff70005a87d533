import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DecodedPhoto } from '../../workers/photo/decoded';
import { workImageOf } from '../../workers/photo/workImage';

/** A photo whose pixels are given by a function of their centre. */
const painted = (
  widthPx: number,
  heightPx: number,
  value: (x: number, y: number) => number,
): DecodedPhoto => ({
  widthPx,
  heightPx,
  rows: (from, count) => {
    const band = new Uint8ClampedArray(widthPx * count * 4).fill(255);
    for (let y = 0; y < count; y += 1) {
      for (let x = 0; x < widthPx; x += 1) {
        band.fill(value(x + 0.5, from + y + 0.5), 4 * (y * widthPx + x), 4 * (y * widthPx + x) + 3);
      }
    }
    return band;
  },
  close: () => undefined,
});

describe('the work image', () => {
  it('is the photo itself when the photo is small enough', () => {
    const work = workImageOf(
      painted(300, 200, (x) => x % 256),
      100_000,
    );
    expect(work.photoPxPerWorkPx).toBe(1);
    expect([work.image.widthPx, work.image.heightPx]).toEqual([300, 200]);
    expect(work.image.data[4 * 77]).toBe(78);
  });

  it('keeps to its size and keeps every place where it was, whatever the sizes', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 200, max: 700 }),
        fc.integer({ min: 200, max: 700 }),
        fc.integer({ min: 4_000, max: 39_000 }),
        (width, height, maxPx) => {
          // A slope that is linear in x and y averages to its value at the middle of each work pixel.
          const slope = (x: number, y: number): number => 20 + 100 * (x / width) + 120 * (y / height);
          const { image, photoPxPerWorkPx: step } = workImageOf(painted(width, height, slope), maxPx);
          expect(image.widthPx * image.heightPx).toBeLessThanOrEqual(maxPx);
          expect(image.widthPx).toBe(Math.floor(width / step));
          for (const [u, v] of [
            [0, 0],
            [image.widthPx - 1, 0],
            [image.widthPx >> 1, image.heightPx >> 1],
            [image.widthPx - 1, image.heightPx - 1],
          ] as const) {
            const found = image.data[4 * (v * image.widthPx + u)]!;
            const expected = slope((u + 0.5) * step, (v + 0.5) * step);
            expect(Math.abs(found - expected)).toBeLessThan(1.1);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it('averages over areas, so that fine stripes turn grey instead of into other stripes', () => {
    const { image } = workImageOf(
      painted(800, 600, (x) => (Math.floor(x) % 2 === 0 ? 0 : 200)),
      30_000,
    );
    const inner = [...image.data].filter((_, i) => i % 4 === 0);
    expect(Math.min(...inner)).toBeGreaterThan(70);
    expect(Math.max(...inner)).toBeLessThan(130);
  });
});
