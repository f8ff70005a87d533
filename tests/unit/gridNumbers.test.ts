import { describe, expect, it } from 'vitest';
import type { Homography } from '../../src/domain/plane';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { bowed, type LensBow, straightened, straightLens } from '../../src/domain/planeFitLens';
import type { MeasuredLine } from '../../workers/scale/gridLines';
import { recounted } from '../../workers/scale/gridNumbers';

const widthPx = 800;
const heightPx = 600;

/** A mat seen a little aslant: lines 24 px apart, those along the picture's width closing up towards its top. */
const seen: Homography = [1 / 24, 0.0008, -1, -0.0006, 1 / 24, -1, 0.00001, -0.00024, 1];

/** Every line of the mat where a swatch does not hide it, as the lens bows it; upright lines beyond the swatch are numbered `miscount` too high. */
const linesThrough = (lens: LensBow, miscount: number): MeasuredLine[] => {
  const toPicture = invertHomography(seen);
  const hidden = (x: number, y: number): boolean => x > 170 && x < 620 && y > 50;
  const lines: MeasuredLine[] = [];
  for (const axis of [0, 1] as const) {
    for (let index = -1; index < 34; index++) {
      const places = Array.from({ length: 160 }, (_, k) => {
        const along = -2 + k / 4;
        const [x, y] = axis === 0 ? mapPoint(toPicture, index, along) : mapPoint(toPicture, along, index);
        const [px, py] = bowed(lens, x, y);
        return { x: px, y: py };
      }).filter(({ x, y }) => x > 0 && y > 0 && x < widthPx && y < heightPx && !hidden(x, y));
      const enough = places.length > 20;
      const beyond = axis === 0 && places.some(({ x }) => x > 620);
      lines.push({
        axis,
        index: beyond ? index + miscount : index,
        places: enough ? places : [],
        seenShare: enough ? 0.9 : 0,
        weightPx: 1,
        widthPx: 2,
      });
    }
  }
  return lines;
};

/** How far, in lines, a place left and one right of the swatch lie from being as many lines apart as they are. */
const miscounted = (toLattice: Homography, lens: LensBow): number => {
  const between = (h: Homography): number => {
    const at = (x: number, y: number): number => mapPoint(h, ...straightened(lens, x, y))[0];
    return at(700, 300) - at(100, 300);
  };
  return Math.abs(between(toLattice) - between(seen));
};

describe('counting the lines of a grid across a swatch that hides them', () => {
  for (const bow of [0, 0.045]) {
    const lens = { ...straightLens(widthPx, heightPx), bow };
    for (const miscount of [-1, 1, 2]) {
      it(`mends a count that is ${miscount} off through a lens that bows lines by ${100 * bow} %`, () => {
        const guessed = { toLattice: seen, lens: straightLens(widthPx, heightPx) };
        const mended = recounted(linesThrough(lens, miscount), guessed);
        expect(mended.lens.bow).toBeCloseTo(bow, 3);
        expect(miscounted(mended.toLattice, lens)).toBeLessThan(0.02);
      });
    }
  }

  it('keeps the grid as it was guessed where the count is right', () => {
    const lens = straightLens(widthPx, heightPx);
    const guessed = { toLattice: seen, lens };
    expect(recounted(linesThrough(lens, 0), guessed)).toBe(guessed);
  });
});
