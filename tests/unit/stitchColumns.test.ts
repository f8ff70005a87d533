import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextBasis } from '../../workers/stitches/finer';
import type { Repeats } from '../../workers/stitches/repeats';
import { unitColumns } from '../../workers/stitches/unitColumns';

const WIDTH_PX = 96;
const COURSE_PX = 14;
const WALE_PX = 19;

/** Lean across a repeat with knit columns at the given places: one sine wave each. */
const leanAt = (middles: readonly number[], skew = 0): number[] =>
  Array.from({ length: WIDTH_PX }, (_, x) =>
    middles.reduce((sum, middle) => {
      const away = x - middle - WIDTH_PX * Math.round((x - middle) / WIDTH_PX);
      return Math.abs(away) < WALE_PX / 2 ? sum + Math.sin((2 * Math.PI * away) / WALE_PX) : sum;
    }, skew),
  );

describe('the knit columns of a repeat', () => {
  it('are found where they stand, wherever the repeat begins, on skewed fabric too', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: WIDTH_PX - 1 }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        (start, skew) => {
          const middles = [start, start + 19, start + 38, start + 57].map((x) => x % WIDTH_PX);
          const found = unitColumns(leanAt(middles, skew), COURSE_PX).filter((column) => !column.gap);
          expect(found).toHaveLength(4);
          const expected = [...middles].sort((a, b) => a - b);
          found.forEach((column, k) => {
            expect(Math.abs(column.offset * WIDTH_PX - (expected[k] ?? 0))).toBeLessThan(1);
          });
        },
      ),
    );
  });

  it('have an empty needle position between them where a wale would fit', () => {
    const found = unitColumns(leanAt([10, 29, 48, 67]), COURSE_PX);
    expect(found.map((column) => column.gap)).toEqual([false, false, false, false, true]);
  });

  it('have none between them in a closed rib, whose hidden purl columns only push them a little apart', () => {
    const found = unitColumns(leanAt([12, 34, 60, 84]), COURSE_PX);
    expect(found.map((column) => column.gap)).toEqual([false, false, false, false]);
  });

  it('are none where nothing leans', () => {
    expect(unitColumns(new Array<number>(WIDTH_PX).fill(3), COURSE_PX)).toEqual([]);
  });
});

const even: Repeats = {
  partOfWale: { parts: 2, alike: 0.2 },
  partOfCourse: { parts: 2, alike: 0.2 },
  halfOfBoth: 0.1,
  oddWales: { every: 2, alike: 0.98 },
  oddCourses: { every: 2, alike: 0.98 },
  chequer: 0.98,
};
const basis = { wale: { x: 30, y: 2 }, course: { x: -1, y: 21 } };

describe('the next lattice to read with', () => {
  it('is none where every step is whole and all wales are alike', () => {
    expect(nextBasis(basis, even)).toBeNull();
  });

  it('has a third of the course where the fabric repeats three times within one', () => {
    const next = nextBasis(
      { ...basis, course: { x: -3, y: 63 } },
      { ...even, partOfCourse: { parts: 3, alike: 0.97 } },
    );
    expect(next?.repeat).toBe(false);
    expect(next?.basis.course).toEqual({ x: -1, y: 21 });
  });

  it('takes a wale as wide as four courses for a whole repeat', () => {
    expect(nextBasis({ ...basis, wale: { x: 84, y: 0 } }, even)?.repeat).toBe(true);
  });

  it('takes three wales together where every third looks different', () => {
    const next = nextBasis(basis, { ...even, oddWales: { every: 3, alike: 0.4 } });
    expect(next).toEqual({ basis: { ...basis, wale: { x: 90, y: 6 } }, repeat: true });
  });

  it('keeps the wale square to the course when a finer course leaves room for it', () => {
    const next = nextBasis(
      { wale: { x: 100, y: 20 }, course: { x: 0, y: 42 } },
      { ...even, partOfCourse: { parts: 2, alike: 0.97 } },
    );
    expect(next?.basis).toEqual({ wale: { x: 100, y: -1 }, course: { x: 0, y: 21 } });
  });
});
