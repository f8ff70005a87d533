import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import {
  clipLine,
  defaultWindow,
  polygonArea,
  windowAreaMm2,
  windowContains,
} from '../../src/domain/countWindow';
import { crossingsOf } from '../../src/domain/crossings';
import { gridOf, knownFabrics, loadFabric, regularGrid, windowOf } from './fixtures/knownFabric';

const square = {
  corners: [photoPoint(0, 0), photoPoint(10, 0), photoPoint(10, 10), photoPoint(0, 10)],
};

describe('the crossings of wales and courses', () => {
  for (const name of knownFabrics) {
    it(`are the stitches themselves in ${name}, where both families run through them`, () => {
      const fabric = loadFabric(name);
      const { x, y, courseCount } = crossingsOf(gridOf(fabric));
      const worst = fabric.nodesPx.flatMap((flat, w) =>
        Array.from({ length: flat.length / 2 }, (_, c) =>
          Math.hypot(x[w * courseCount + c]! - flat[2 * c]!, y[w * courseCount + c]! - flat[2 * c + 1]!),
        ),
      );
      expect(Math.max(...worst)).toBeLessThan(1e-6);
    });
  }

  it('lie on both lines when the lines have their points elsewhere', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.3, max: 0.3, noNaN: true }),
        fc.integer({ min: 2, max: 9 }),
        (slope, points) => {
          const courses = [10, 50, 90].map((y0, i) => ({
            id: `c${i}`,
            kind: 'stitch' as const,
            origin: 'placed' as const,
            points: Array.from({ length: points }, (_, k) => {
              const x = (200 * k) / (points - 1);
              return photoPoint(x, y0 + slope * x);
            }),
          }));
          const wales = [20, 100, 180].map((x0, i) => ({
            id: `w${i}`,
            kind: 'stitch' as const,
            origin: 'placed' as const,
            points: [photoPoint(x0 - 3, -100), photoPoint(x0 + 5, 300)],
          }));
          const { x, y } = crossingsOf({ wales, courses });
          for (let k = 0; k < 9; k += 1) {
            const x0 = [20, 100, 180][Math.floor(k / 3)]!;
            expect(y[k]).toBeCloseTo([10, 50, 90][k % 3]! + slope * x[k]!, 6);
            expect(x[k]).toBeCloseTo(x0 - 3 + (8 * (y[k]! + 100)) / 400, 6);
          }
        },
      ),
    );
  });

  it('do not depend on the way round in which a line was drawn', () => {
    const grid = regularGrid(6, 7, 30, 20);
    const turned = {
      ...grid,
      wales: grid.wales.map((l, i) => (i === 2 ? { ...l, points: [...l.points].reverse() } : l)),
    };
    expect(crossingsOf(turned)).toEqual(crossingsOf(grid));
  });

  it('are unknown where a line ends well before the other', () => {
    const grid = regularGrid(6, 7, 30, 20);
    const short = {
      ...grid,
      wales: grid.wales.map((l, i) => (i === 2 ? { ...l, points: l.points.slice(0, 4) } : l)),
    };
    const { x, courseCount } = crossingsOf(short);
    expect(Array.from({ length: 7 }, (_, c) => Number.isNaN(x[2 * courseCount + c]))).toEqual([
      false,
      false,
      false,
      false,
      true,
      true,
      true,
    ]);
  });

  it('are none without lines of both families', () => {
    const { wales } = regularGrid(3, 3, 10, 10);
    expect(crossingsOf({ wales, courses: [] }).x.length).toBe(0);
    expect(crossingsOf({ wales, courses: wales }).x.every(Number.isNaN)).toBe(true);
  });
});

describe('the counted window', () => {
  for (const name of knownFabrics) {
    it(`is proposed over the central 60 % by 60 % of ${name}`, () => {
      const fabric = loadFabric(name);
      const proposed = defaultWindow(gridOf(fabric))!;
      // The known window was laid over all wales, of which the outermost roll out of sight.
      const ratio = polygonArea(proposed.corners) / polygonArea(windowOf(fabric).corners);
      expect(ratio).toBeGreaterThan(0.85);
      expect(ratio).toBeLessThan(1.02);
    });
  }

  it('covers the whole of a grid of few lines', () => {
    const { corners } = defaultWindow(regularGrid(2, 2, 30, 20))!;
    expect(corners.map(({ x, y }) => [Math.round(x), Math.round(y)])).toEqual([
      [100, 80],
      [130, 80],
      [130, 100],
      [100, 100],
    ]);
  });

  it('does not exist without two lines a family', () => {
    expect(defaultWindow(regularGrid(1, 5, 30, 20))).toBeNull();
  });

  it('holds its edge and its inside, whichever way round its corners run', () => {
    const reversed = { corners: [...square.corners].reverse() };
    for (const window of [square, reversed]) {
      expect(windowContains(window, photoPoint(5, 5))).toBe(true);
      expect(windowContains(window, photoPoint(0, 5))).toBe(true);
      expect(windowContains(window, photoPoint(10.1, 5))).toBe(false);
    }
  });

  it('has its area in mm² on the plane', () => {
    expect(windowAreaMm2(square, { photoToPlane: [2, 0, 7, 0, 3, 1, 0, 0, 1] })).toBeCloseTo(600, 9);
  });

  it('cuts a line to the parts inside', () => {
    const line = [
      photoPoint(-5, 5),
      photoPoint(5, 5),
      photoPoint(5, 20),
      photoPoint(8, 20),
      photoPoint(8, -4),
    ];
    expect(clipLine(line, square)).toEqual([
      [photoPoint(0, 5), photoPoint(5, 5), photoPoint(5, 10)],
      [photoPoint(8, 10), photoPoint(8, 0)],
    ]);
    expect(clipLine([photoPoint(20, 0), photoPoint(30, 5)], square)).toEqual([]);
  });
});
