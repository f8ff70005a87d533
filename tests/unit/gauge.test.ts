import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { defaultWindow } from '../../src/domain/countWindow';
import { type GaugeResult, gaugeOf, pitchPxOf, summariseGauge } from '../../src/domain/gaugeOf';
import type { StitchGrid } from '../../src/domain/grid';
import type { Homography } from '../../src/domain/plane';
import { MM_PER_INCH } from '../../src/domain/units';
import { gridOf, knownFabrics, loadFabric, plainPlane, regularGrid, windowOf } from './fixtures/knownFabric';

/** The known heights are in the homography already: a camera far away, so that nothing more is corrected. */
const farAway = { cameraHeightMm: { value: 1e13, standardUncertainty: 1 } };
const unknownThickness = { thicknessMm: null, layers: 1 } as const;

const measured = (...args: Parameters<typeof gaugeOf>): GaugeResult => {
  const result = gaugeOf(...args);
  if (!result.ok) throw new Error(result.sentence);
  return result;
};

const perInch = (result: GaugeResult): { stitches: number; positions: number; rows: number } => ({
  stitches: result.gauge.walesPerMm.value * MM_PER_INCH,
  positions: result.needlePositionsPerMm.value * MM_PER_INCH,
  rows: result.gauge.coursesPerMm.value * MM_PER_INCH,
});

describe('the gauge of swatches that are known stitch by stitch', () => {
  for (const name of knownFabrics) {
    const fabric = loadFabric(name);
    const result = measured(
      gridOf(fabric),
      windowOf(fabric),
      plainPlane(fabric.photoToVisibleMm, farAway),
      unknownThickness,
    );

    it(`${fabric.name}: is within 0.15 % on the plane of the stitches, jitter and needle gaps and all`, () => {
      const found = perInch(result);
      expect(Math.abs(found.stitches / fabric.stitchesPerInch - 1)).toBeLessThan(0.0015);
      expect(Math.abs(found.positions / fabric.needlePositionsPerInch - 1)).toBeLessThan(0.0015);
      expect(Math.abs(found.rows / fabric.rowsPerInch - 1)).toBeLessThan(0.0015);
    });

    it(`${fabric.name}: is within 0.3 % and its own ± from the table's scale, the height guessed from the stitches`, () => {
      const plane = plainPlane(fabric.photoToMatMm, {
        cameraHeightMm: { value: fabric.cameraHeightMm, standardUncertainty: 4 },
      });
      const corrected = measured(gridOf(fabric), windowOf(fabric), plane, {
        thicknessMm: null,
        layers: fabric.layers,
      });
      const found = perInch(corrected);
      expect(Math.abs(found.stitches / fabric.stitchesPerInch - 1)).toBeLessThan(0.003);
      expect(Math.abs(found.rows / fabric.rowsPerInch - 1)).toBeLessThan(0.003);
      const { walesPerMm } = corrected.gauge;
      expect(Math.abs(found.stitches - fabric.stitchesPerInch)).toBeLessThan(
        walesPerMm.plusMinus95 * MM_PER_INCH,
      );
    });

    it(`${fabric.name}: agrees with the count of whole stitches over five inches to a quarter stitch`, () => {
      expect(Math.abs(result.handCount.wales!.perInch - fabric.stitchesPerInch)).toBeLessThanOrEqual(0.25);
      expect(Math.abs(result.handCount.courses!.perInch - fabric.rowsPerInch)).toBeLessThanOrEqual(0.25);
      for (const place of result.handCount.courses!.places) {
        expect(Math.abs(place.count - fabric.rowsPerInch)).toBeLessThan(1);
      }
    });

    it(`${fabric.name}: has nothing to warn of`, () => {
      expect(result.warnings).toEqual([]);
    });
  }

  it('keeps needle gaps apart from stitches when every fourth needle is out', () => {
    const fabric = loadFabric('d06');
    const result = measured(
      gridOf(fabric),
      windowOf(fabric),
      plainPlane(fabric.photoToVisibleMm, farAway),
      unknownThickness,
    );
    expect(result.gauge.walesPerMm.value / result.needlePositionsPerMm.value).toBeCloseTo(0.75, 12);
    expect(result.counts.wales).toBeLessThan(result.counts.needlePositions);
  });
});

describe('the gauge of drawn fabric', () => {
  const tenth: Homography = [0.1, 0, 0, 0, 0.1, 0, 0, 0, 1];

  const at = (grid: StitchGrid, h: Homography = tenth): GaugeResult =>
    measured(grid, defaultWindow(grid)!, plainPlane(h, farAway), unknownThickness);

  it('is exact for a regular grid', () => {
    const result = at(regularGrid(30, 40, 32, 22));
    expect(result.gauge.walesPerMm.value).toBeCloseTo(1 / 3.2, 9);
    expect(result.gauge.coursesPerMm.value).toBeCloseTo(1 / 2.2, 9);
    expect(result.stitchesPerMm2.value).toBeCloseTo(1 / (3.2 * 2.2), 9);
    expect(result.skewRad).toBeCloseTo(0, 9);
    expect(result.counts).toEqual({ wales: 18, courses: 24, needlePositions: 18 });
    expect(result.areaMm2).toBeCloseTo(18 * 3.2 * 24 * 2.2, 6);
  });

  it('does not change when the fabric is turned, moved or enlarged together with its scale', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.5, max: 0.5, noNaN: true }),
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.double({ min: -0.2, max: 0.2, noNaN: true }),
        (turn, size, shear) => {
          const bend = (x: number, y: number): [number, number] => {
            const sx = x + shear * y;
            return [
              size * (Math.cos(turn) * sx - Math.sin(turn) * y),
              size * (Math.sin(turn) * sx + Math.cos(turn) * y),
            ];
          };
          const k = 0.1 / size;
          const result = at(regularGrid(16, 18, 32, 22, bend), [k, 0, 0, 0, k, 0, 0, 0, 1]);
          expect(result.gauge.walesPerMm.value * 3.2).toBeCloseTo(1, 6);
          expect(result.gauge.coursesPerMm.value * 2.2 * Math.hypot(1, shear)).toBeCloseTo(1, 6);
          expect(Math.tan(result.skewRad)).toBeCloseTo(shear, 6);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('measures along the bow of a row, not across it', () => {
    // Every course is the same arc of a circle, with its stitches 32 px apart along the arc.
    const bow = (x: number, y: number): [number, number] => {
      const angle = (x - 580) / 900;
      return [580 + 900 * Math.sin(angle), y + 900 * (1 - Math.cos(angle))];
    };
    const result = at(regularGrid(30, 20, 32, 22, bow));
    expect(result.gauge.walesPerMm.value * 3.2).toBeCloseTo(1, 3);
    expect(result.gauge.coursesPerMm.value * 2.2).toBeCloseTo(1, 3);
  });

  it('is not lengthened by jitter of single stitches', () => {
    let seed = 7;
    const random = (): number => {
      seed = (seed * 48271) % 2147483647;
      return seed / 2147483647 - 0.5;
    };
    const result = at(regularGrid(40, 50, 32, 22, (x, y) => [x + 8 * random(), y + 8 * random()]));
    expect(Math.abs(result.gauge.walesPerMm.value * 3.2 - 1)).toBeLessThan(0.002);
    expect(Math.abs(result.gauge.coursesPerMm.value * 2.2 - 1)).toBeLessThan(0.002);
  });

  it('hardly feels a few stitches that sit a quarter step off', () => {
    let n = 0;
    const slip = (x: number, y: number): [number, number] => {
      n += 1;
      return n % 23 === 0 ? [x + 8, y + 5] : [x, y];
    };
    const result = at(regularGrid(40, 50, 32, 22, slip));
    expect(Math.abs(result.gauge.walesPerMm.value * 3.2 - 1)).toBeLessThan(0.001);
  });

  it('names the place where a column is missing and where one is marked twice', () => {
    const grid = regularGrid(30, 20, 32, 22);
    expect(at(grid).unevenSteps).toBe(0);
    const missing = at({ ...grid, wales: grid.wales.filter((_, i) => i !== 14) });
    expect(missing.unevenSteps).toBe(1);
    // Of the 29 columns left the window leaves out 6 on each side: the 14th and 15th are its 8th and 9th.
    expect(missing.warnings.join(' ')).toContain('Between columns 8 and 9 the step is 2.0 times the usual');
    const extra = grid.wales[14]!;
    const between = { ...extra, id: 'x', points: extra.points.map((p) => photoPoint(p.x + 12, p.y)) };
    const doubled = at({ ...grid, wales: [...grid.wales.slice(0, 15), between, ...grid.wales.slice(15)] });
    expect(doubled.warnings.join(' ')).toContain('marked twice');
    expect(doubled.unevenSteps).toBeGreaterThan(0);
  });

  it('asks about the reference when the gauge is impossible', () => {
    const k = 0.1 * 2.54 * 5;
    const result = at(regularGrid(30, 20, 32, 22), [k, 0, 0, 0, k, 0, 0, 0, 1]);
    expect(result.warnings[0]).toContain('inches or centimetres');
  });

  it('says in one sentence when the window holds too little', () => {
    const grid = regularGrid(30, 20, 32, 22);
    const corner = [photoPoint(0, 0), photoPoint(10, 0), photoPoint(10, 10), photoPoint(0, 10)];
    const result = gaugeOf(grid, { corners: corner }, plainPlane(tenth), unknownThickness);
    expect(result).toEqual({ ok: false, sentence: expect.stringContaining('fewer than two columns') });
    expect(
      gaugeOf({ wales: [], courses: [] }, { corners: corner }, plainPlane(tenth), unknownThickness).ok,
    ).toBe(false);
  });

  it('gives no count by hand where the window is under one inch', () => {
    const grid = regularGrid(10, 60, 32, 22);
    const result = at(grid);
    expect(result.handCount.wales).toBeNull();
    expect(result.handCount.courses!.perInch).toBeCloseTo(25.4 / 2.2, 0);
  });

  it('widens the ± of both densities with the uncertainty of the scale, and counts it twice in their product', () => {
    const grid = regularGrid(30, 40, 32, 22);
    const window = defaultWindow(grid)!;
    const poor = measured(grid, window, plainPlane(tenth, { ...farAway, relativeUncertainty: 0.01 }), {
      thicknessMm: null,
      layers: 1,
    });
    const { walesPerMm } = poor.gauge;
    expect(walesPerMm.plusMinus95 / walesPerMm.value).toBeCloseTo(0.0196, 3);
    expect(poor.stitchesPerMm2.plusMinus95 / poor.stitchesPerMm2.value).toBeCloseTo(0.0392, 3);
  });

  it('promises no more of a regular grid than lines can be placed, three hundredths of a stitch at either end', () => {
    const grid = regularGrid(30, 40, 32, 22);
    const exact = plainPlane(tenth, { ...farAway, relativeUncertainty: 0 });
    const { gauge, counts } = measured(grid, defaultWindow(grid)!, exact, { thicknessMm: null, layers: 1 });
    for (const [density, count] of [
      [gauge.walesPerMm, counts.wales],
      [gauge.coursesPerMm, counts.courses],
    ] as const) {
      const stitches = (density.plusMinus95 / density.value) * count;
      expect(stitches).toBeGreaterThan(0.03);
      expect(stitches).toBeLessThan(0.06);
    }
  });

  it('takes a fabric that shows purl columns for a rib, whose face lies higher', () => {
    const plain = regularGrid(30, 40, 32, 22);
    const withPurl = (holds: object) => ({
      ...plain,
      wales: plain.wales.map((wale, k) =>
        k % 2 === 0 ? wale : { ...wale, kind: 'needleGap' as const, ...holds },
      ),
    });
    const heightOf = (grid: typeof plain): number =>
      measured(grid, defaultWindow(grid)!, plainPlane(tenth, farAway), { thicknessMm: null, layers: 1 })
        .parallax.heightMm;
    expect(heightOf(withPurl({ holds: 'purl' }))).toBeGreaterThan(1.15 * heightOf(withPurl({})));
  });

  it('is summed up for lists', () => {
    const result = at(regularGrid(30, 40, 32, 22));
    expect(summariseGauge(result, 'byHand')).toEqual({
      ...result.gauge,
      walesInWindow: 18,
      coursesInWindow: 24,
      status: 'byHand',
    });
  });

  it('gives the mean spacing in pixels without any scale', () => {
    const grid = regularGrid(30, 40, 32, 22);
    const pitch = pitchPxOf(grid, defaultWindow(grid)!)!;
    expect(pitch.wale).toBeCloseTo(32, 9);
    expect(pitch.course).toBeCloseTo(22, 9);
    expect(pitchPxOf({ wales: [], courses: [] }, defaultWindow(grid)!)).toBeNull();
  });
});
