import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { defaultWindow, polygonArea } from '../../src/domain/countWindow';
import { type Evenness, evennessOf } from '../../src/domain/evenness';
import type { StitchGrid } from '../../src/domain/grid';
import { numbersOf } from '../../src/domain/lineNumbers';
import { fisherG, rhythmOf } from '../../src/domain/rhythm';
import { gridOf, knownFabrics, loadFabric, regularGrid, windowOf } from './fixtures/knownFabric';

const tenth = { photoToPlane: [0.1, 0, 0, 0, 0.1, 0, 0, 0, 1] } as const;

const randomFrom = (start: number): (() => number) => {
  let seed = start;
  return () => {
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647 - 0.5;
  };
};

/** A fabric whose row `r` has the height 20 px × `height(r)`. */
const withRows = (height: (row: number) => number, jitterPx = 0, seed = 5): StitchGrid => {
  const tops = [0];
  for (let r = 0; r < 60; r += 1) tops.push(tops[r]! + 20 * height(r));
  const random = randomFrom(seed);
  return regularGrid(24, 60, 30, 20, (x, y) => [
    x + jitterPx * random(),
    80 + tops[Math.round((y - 80) / 20)]! + jitterPx * random(),
  ]);
};

const evenness = (grid: StitchGrid): Evenness => {
  const result = evennessOf(grid, defaultWindow(grid)!, tenth);
  if (result === null) throw new Error('no lattice');
  return result;
};

describe('row heights', () => {
  it('of a regular fabric have nothing to report', () => {
    const result = evenness(withRows(() => 1));
    expect(result.sentences).toEqual([]);
    expect(result.rows.variation).toBeLessThan(1e-6);
  });

  it('show the loosest and the tightest row by the number that stands beside it in the window', () => {
    const grid = withRows((r) => (r === 29 ? 1.2 : r === 34 ? 0.85 : 1), 2);
    const result = evenness(grid);
    // The window leaves the uppermost 12 rows of the 60 out, so that the 30th row is its 18th.
    const numbers = numbersOf(grid.courses, defaultWindow(grid)!);
    expect(numbers.find(({ line }) => line === grid.courses[29])?.number).toBe(18);
    expect(result.rows.loosest[0]).toMatchObject({ number: 18 });
    expect(result.rows.loosest[0]!.deviation).toBeCloseTo(0.2, 1);
    expect(result.rows.tightest[0]).toMatchObject({ number: 23 });
    expect(result.sentences.join(' ')).toMatch(/The loosest row is number 18, (19|20|21) % taller/);
  });

  it.each([2, 3, 4, 6])('show that every %i. row is taller', (period) => {
    const { rhythm } = evenness(withRows((r) => (r % period === 0 ? 1.1 : 1), 2)).rows;
    expect(rhythm!.period).toBeCloseTo(period, 1);
  });

  it('tell the period and the swing of a smooth wave in words', () => {
    const result = evenness(withRows((r) => 1 + 0.06 * Math.cos((2 * Math.PI * r) / 5), 2));
    expect(result.rows.rhythm!.period).toBeCloseTo(5, 1);
    expect(result.rows.rhythm!.amplitude).toBeCloseTo(0.06, 2);
    expect(result.sentences[0]).toBe('Every 5th row is taller, by about 6 % up and down.');
  });

  it('show no rhythm where every stitch is off by itself', () => {
    let claimed = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      if (evenness(withRows(() => 1, 6, seed * 7919)).rows.rhythm !== null) claimed += 1;
    }
    expect(claimed).toBeLessThanOrEqual(3);
  });
});

describe('column widths', () => {
  it('name a column by the number beside it, wherever the window lies and however many needle gaps come before', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 8 }),
        fc.integer({ min: 14, max: 24 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 12 }), { maxLength: 2 }),
        (left, wide, gaps) => {
          const wideX = 100 + 30 * wide;
          const plain = regularGrid(36, 30, 30, 20, (x, y) => [x > wideX ? x + 9 : x, y]);
          const grid = {
            ...plain,
            wales: plain.wales.map((line, i) =>
              gaps.includes(i) ? { ...line, kind: 'needleGap' as const } : line,
            ),
          };
          const [x0, x1] = [100 + 30 * (left - 0.5), 100 + 30 * 32.5];
          const window = {
            corners: [photoPoint(x0, 170), photoPoint(x1, 170), photoPoint(x1, 570), photoPoint(x0, 570)],
          };
          const { loosest } = evennessOf(grid, window, tenth)!.columns;
          const numbers = numbersOf(grid.wales, window);
          expect(loosest[0]!.number).toBe(numbers.find(({ line }) => line === grid.wales[wide])!.number);
          expect(loosest[0]!.number).toBe(wide - left + 1 - gaps.filter((gap) => gap >= left).length);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('the rhythm test', () => {
  it("has Fisher's critical values: 5 % at g = 0.6838 for 5 ordinates and 0.4450 for 10", () => {
    // Fisher 1929, table for the 5 % point, as tabulated in time-series textbooks (from memory, and by the formula itself).
    expect(fisherG(0.6838, 5)).toBeCloseTo(0.05, 3);
    expect(fisherG(0.445, 10)).toBeCloseTo(0.05, 3);
    expect(fisherG(0.1, 10)).toBeCloseTo(1, 6);
    expect(fisherG(1, 10)).toBe(0);
  });

  it('claims a rhythm in pure noise no more often than it says, and not much less', () => {
    const random = randomFrom(99);
    let claimed = 0;
    const trials = 1000;
    for (let i = 0; i < trials; i += 1) {
      const normal = (): number => random() + random() + random() + random();
      const steps = Array.from({ length: 41 }, () => 10 + normal());
      if (rhythmOf(steps)!.p < 0.05) claimed += 1;
    }
    expect(claimed / trials).toBeGreaterThan(0.02);
    expect(claimed / trials).toBeLessThan(0.07);
  });

  it('finds any period from two steps up', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 12, noNaN: true }),
        fc.double({ min: 0, max: 6, noNaN: true }),
        (period, phase) => {
          fc.pre(period > 2.2 || period === 2);
          const steps = Array.from(
            { length: 50 },
            (_, i) => 2 + 0.1 * Math.cos((2 * Math.PI * i) / period + phase),
          );
          const found = rhythmOf(steps)!;
          expect(Math.abs(found.period / period - 1)).toBeLessThan(0.03);
          expect(found.p).toBeLessThan(1e-4);
        },
      ),
    );
  });

  it('says nothing of too few rows or of none that differ', () => {
    expect(rhythmOf([1, 2, 1, 2, 1, 2])).toBeNull();
    expect(rhythmOf(new Array(40).fill(2))).toBeNull();
  });
});

describe('the map of local gauge', () => {
  it('covers the grid and shows where it is tighter', () => {
    const grid = regularGrid(25, 37, 30, 20, (x, y) => [x < 460 ? x : 460 + 0.9 * (x - 460), y]);
    const { cells } = evenness(grid);
    expect(cells).toHaveLength(36);
    const total = cells.reduce((sum, cell) => sum + polygonArea(cell.corners), 0);
    expect(total).toBeCloseTo((360 + 0.9 * 360) * 720, 3);
    const left = cells.filter((c) => c.corners[1]!.x < 461);
    const right = cells.filter((c) => c.corners[0]!.x > 459);
    for (const cell of left) expect(cell.walesPerMm).toBeCloseTo(1 / 3, 9);
    for (const cell of right) expect(cell.walesPerMm).toBeCloseTo(1 / 2.7, 9);
    for (const cell of cells) expect(cell.coursesPerMm).toBeCloseTo(1 / 2, 9);
  });

  for (const name of knownFabrics) {
    it(`stays within 15 % of the known gauge all over the inside of ${name}`, () => {
      const fabric = loadFabric(name);
      const result = evennessOf(gridOf(fabric), windowOf(fabric), { photoToPlane: fabric.photoToVisibleMm })!;
      const middle = result.cells.map((c) => (c.walesPerMm * 25.4) / fabric.needlePositionsPerInch);
      expect(Math.min(...middle)).toBeGreaterThan(0.85);
      expect(Math.max(...middle)).toBeLessThan(1.15);
    });
  }

  it('is not there without stitches in the window', () => {
    const grid = regularGrid(25, 37, 30, 20);
    expect(evennessOf({ wales: [], courses: [] }, defaultWindow(grid)!, tenth)).toBeNull();
  });
});
