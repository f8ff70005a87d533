import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextBasis } from '../../workers/stitches/finer';
import type { Repeats } from '../../workers/stitches/repeats';
import { unitColumns } from '../../workers/stitches/unitColumns';

const WIDTH_PX = 96;
const COURSE_PX = 14;
const WALE_PX = 19;

/**
 * A repeat with knit columns side by side from a place on: one sine wave of lean each, and yarn along the wale; flat yarn between. Upside down each
 * wave runs the other way.
 */
const repeatOf = (
  count: number,
  start: number,
  { skew = 0, upright = 1, widthPx = WIDTH_PX, furrowSteep = -1 } = {},
) => {
  const places = Array.from({ length: widthPx }, (_, x) => (x - start + widthPx) % widthPx);
  const isKnit = (at: number): boolean => at < count * WALE_PX;
  return {
    lean: places.map((at) => skew + (isKnit(at) ? upright * Math.sin((2 * Math.PI * at) / WALE_PX) : 0)),
    steep: places.map((at) => (isKnit(at) ? 1 : furrowSteep)),
  };
};

describe('the knit columns of a repeat', () => {
  it('are found where they stand, wherever the repeat begins, on skewed fabric and upside down too', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: WIDTH_PX - 1 }),
        fc.integer({ min: 1, max: 4 }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        fc.constantFrom(1, -1),
        (start, count, skew, upright) => {
          const { columns } = unitColumns(repeatOf(count, start, { skew, upright }), COURSE_PX);
          const knit = columns.filter((column) => !column.gap);
          expect(knit).toHaveLength(count);
          knit.forEach(({ offset }, k) => {
            const off = offset * WIDTH_PX - (start + (k + 0.5) * WALE_PX);
            expect(Math.abs(off - WIDTH_PX * Math.round(off / WIDTH_PX))).toBeLessThan(1);
          });
        },
      ),
    );
  });

  it('have an empty needle position between them where a wale would fit', () => {
    const { columns } = unitColumns(repeatOf(4, 10), COURSE_PX);
    expect(columns.map((column) => column.gap)).toEqual([false, false, false, false, true]);
  });

  it('have none between them in a closed rib, whose hidden purl columns only push them a little apart', () => {
    const { columns, furrow } = unitColumns(
      repeatOf(2, 5, { widthPx: 2 * WALE_PX + 6, furrowSteep: 0.8 }),
      COURSE_PX,
    );
    expect(columns.map((column) => column.gap)).toEqual([false, false]);
    expect(furrow).toBe('closed');
  });

  it('have as many purl columns between them as arcs stand side by side there, upside down too', () => {
    for (const [purls, widthPx] of [
      [1, 14],
      [2, 26],
    ] as const) {
      for (const upright of [1, -1]) {
        const rib = repeatOf(2, 3, { upright, widthPx: 2 * WALE_PX + widthPx, furrowSteep: -0.3 });
        const from = 3 + 2 * WALE_PX;
        const lean = rib.lean.map((v, x) => {
          const at = (x - from + rib.lean.length) % rib.lean.length;
          return at < widthPx ? -upright * 0.8 * Math.sin((2 * Math.PI * purls * (at + 0.5)) / widthPx) : v;
        });
        const { columns, furrow } = unitColumns({ ...rib, lean }, COURSE_PX);
        expect(furrow).toBe('purl');
        expect(columns.filter((column) => column.gap)).toHaveLength(purls);
      }
    }
  });

  it('have the bare strands of a needle taken out between them where nothing leans', () => {
    expect(unitColumns(repeatOf(3, 8, { widthPx: 4 * WALE_PX }), COURSE_PX).furrow).toBe('ladder');
  });

  it('do not stand in a furrow, whose yarn leans but does not run along the wale', () => {
    const rib = repeatOf(2, 0);
    const furrow = rib.lean.map((v, x) => (rib.steep[x] === 1 ? v : Math.sin((2 * Math.PI * x) / WALE_PX)));
    const { columns } = unitColumns({ ...rib, lean: furrow }, COURSE_PX);
    expect(columns.filter((column) => !column.gap)).toHaveLength(2);
  });

  it('are none where nothing leans', () => {
    const flat = new Array<number>(WIDTH_PX).fill(3);
    expect(unitColumns({ lean: flat, steep: flat }, COURSE_PX).columns).toEqual([]);
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

  it('takes five courses for the repeat of a rib that lies on its side where every fifth looks different', () => {
    const next = nextBasis(basis, { ...even, oddCourses: { every: 5, alike: 0.4 } });
    expect(next).toEqual({ basis: { wale: { x: 5, y: -105 }, course: basis.wale }, repeat: true });
  });

  it('keeps the wale square to the course when a finer course leaves room for it', () => {
    const next = nextBasis(
      { wale: { x: 100, y: 20 }, course: { x: 0, y: 42 } },
      { ...even, partOfCourse: { parts: 2, alike: 0.97 } },
    );
    expect(next?.basis).toEqual({ wale: { x: 100, y: -1 }, course: { x: 0, y: 21 } });
  });
});
