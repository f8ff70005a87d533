import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { MeanUnit } from '../../workers/stitches/meanUnit';
import { levelLikeness, levelSteps, lowered, middleOf, mirrorLikeness } from '../../workers/stitches/mirror';
import { cellPx } from '../../workers/stitches/rectify';
import type { Lattice } from '../../workers/stitches/smooth';

const WIDTH_PX = 32;
const TURN = 2 * Math.PI;

/**
 * The mean repeat of one knit column beside an empty needle: legs that lean "\" to the left of the column's middle and "/" to its right and cross the edge of a
 * course at the same height, strands beside them; `fall` courses of descent from one repeat to the next.
 */
const columnWith = (fall: number, middlePx = 9): MeanUnit => {
  const even = new Float32Array(WIDTH_PX * cellPx.height);
  const odd = new Float32Array(WIDTH_PX * cellPx.height);
  for (let y = 0; y < cellPx.height; y++) {
    for (let x = 0; x < WIDTH_PX; x++) {
      const beside = ((x + 0.5 - middlePx + 1.5 * WIDTH_PX) % WIDTH_PX) - WIDTH_PX / 2;
      const height = (y + 0.5) / cellPx.height - (fall * beside) / WIDTH_PX;
      const isLeg = Math.abs(beside) < 8;
      const clear = 1 + 0.8 * Math.cos(TURN * (height - (isLeg ? Math.abs(beside) / 16 : 0)));
      even[y * WIDTH_PX + x] = clear * (isLeg ? 0.6 : -1);
      odd[y * WIDTH_PX + x] = isLeg ? clear * Math.sign(beside) : 0;
    }
  }
  return { widthPx: WIDTH_PX, even, odd };
};

/** A lattice whose places are its line numbers. */
const numbered = (wales: number, courses: number): Lattice => ({
  wales,
  courses,
  places: Array.from({ length: wales }, (_, w) =>
    Array.from({ length: courses }, (_c, c) => ({ x: w, y: c })),
  ),
  seen: Array.from({ length: wales }, () => Array.from({ length: courses }, () => true)),
  gaps: Array.from({ length: wales }, () => false),
  first: { wale: 0, course: 0 },
  scatter: { wale: 0, course: 0 },
});

describe('the mean repeat of unlike columns', () => {
  it('is its own mirror image where the steps to the next repeat run along the rows, wherever the column stands', () => {
    for (const middlePx of [0.5, 9, 16, 27.5])
      expect(mirrorLikeness(columnWith(0, middlePx))).toBeGreaterThan(0.99);
  });

  it('is none where they fall or climb by one course or two', () => {
    for (const fall of [-2, -1, 1, 2]) expect(mirrorLikeness(columnWith(fall))).toBeLessThan(0.7);
  });

  it('shows that the steps are not level by its strands, however much it is its own mirror image', () => {
    const level = columnWith(0);
    const strands = (lean: number): MeanUnit => ({
      ...level,
      even: level.even.map((v) => (v < 0 ? v * Math.sqrt(1 - lean ** 2) : v)),
      odd: level.odd.map((v, i) => ((level.even[i] as number) < 0 ? lean * (level.even[i] as number) : v)),
    });
    expect(levelLikeness(level)).toBeCloseTo(mirrorLikeness(level), 6);
    expect(levelLikeness(strands(0.7))).toBeLessThan(mirrorLikeness(strands(0.7)) - 0.2);
  });

  it('does not get its likeness from what is the same all along the wale', () => {
    const even = new Float32Array(WIDTH_PX * cellPx.height).map((_, i) =>
      Math.cos((TURN * (i % WIDTH_PX)) / WIDTH_PX),
    );
    expect(Math.abs(mirrorLikeness({ widthPx: WIDTH_PX, even, odd: even.map(() => 0) }))).toBeLessThan(1e-6);
  });
});

describe('a lattice with its steps lowered', () => {
  it('has each step to the next wale so many courses lower, and leaves none of its places out', () => {
    fc.assert(
      fc.property(fc.integer({ min: -2, max: 2 }), fc.integer({ min: 2, max: 6 }), (by, wales) => {
        const lattice = numbered(wales, 7);
        const { places } = lowered(lattice, by);
        expect(places.flat().filter((p) => p !== null)).toHaveLength(7 * wales);
        for (const [w, wale] of places.slice(0, -1).entries())
          for (const [c, p] of wale.entries()) {
            const next = places[w + 1]![c];
            if (p !== null && next) expect(next.y - p.y).toBe(by);
          }
      }),
    );
  });

  it('is looked at in its middle alone where it is large', () => {
    const { wales, courses, places } = middleOf(numbered(60, 100));
    expect(wales * courses).toBeLessThan(400);
    expect(places[wales >> 1]![courses >> 1]).toEqual({ x: 30, y: 50 });
  });
});

describe('the steps to the next repeat', () => {
  it('leave no doubt where a course is high for them', () => {
    expect(levelSteps({ wale: { x: 20, y: 0 }, course: { x: 0, y: 15 } })).toEqual([0]);
  });

  it('may be lowered or raised where that changes their length little', () => {
    expect(levelSteps({ wale: { x: 27, y: -4.5 }, course: { x: 0, y: 8.8 } })).toEqual([-1, 0, 1, 2]);
  });
});
