import { describe, expect, it } from 'vitest';
import { accuracyDigest } from '../bench/digest';
import { withBlock } from '../bench/readme';
import type { BenchRow } from '../bench/row';
import {
  coverage,
  isPlain,
  isRight,
  isWithin,
  isWronglySure,
  median,
  reliability,
  tallyOf,
} from '../bench/summary';

const row = (part: Partial<BenchRow>): BenchRow => ({
  name: 'a photo',
  set: 'generated',
  kind: 'plain knit',
  referenceKind: 'grid',
  widthPx: 800,
  heightPx: 600,
  pxPerStitch: 20,
  truth: { stitchesPerInch: 8, rowsPerInch: 11 },
  value: {
    stitchesPerInch: { value: 8.01, plusMinus95: 0.05 },
    rowsPerInch: { value: 11.2, plusMinus95: 0.1 },
  },
  gaugeError: { stitches: 0.00125, rows: 0.0182 },
  stitchError: { stitches: 0.001, rows: 0.002 },
  tolerance: 0,
  scaleError: 0.001,
  scalePlusMinus: 0.002,
  foundReference: 'grid',
  status: 'measured',
  stitchStatus: 'measured',
  chance: 0.995,
  stitchReasons: [],
  timingsMs: {},
  ...part,
});

describe('what the bench makes of its rows', () => {
  it('counts the truth inside the ± density by density, and leaves mistaken counts and references out', () => {
    const miscounted = row({ stitchError: { stitches: 0.4, rows: 0 } });
    const mistaken = row({ scaleError: -0.5 });
    expect(coverage([row({}), miscounted, mistaken])).toEqual({ share: 0.5, of: 2 });
  });

  it('calls a photo wrongly sure when it says "measured" and is off by over 2 % in stitches or in gauge', () => {
    expect(isWronglySure(row({}))).toBe(false);
    expect(isWronglySure(row({ gaugeError: { stitches: 0, rows: -0.021 } }))).toBe(true);
    expect(isWronglySure(row({ gaugeError: { stitches: 0, rows: -0.021 }, status: 'proposal' }))).toBe(false);
    expect(isWronglySure(row({ stitchError: { stitches: 0.5, rows: 0 } }))).toBe(true);
  });

  it('grants a label made by eye its own tolerance, and nothing to a photo without stitches', () => {
    expect(isWithin(row({ stitchError: { stitches: 0.03, rows: 0 } }))).toBe(false);
    expect(isWithin(row({ stitchError: { stitches: 0.03, rows: 0 }, tolerance: 0.04 }))).toBe(true);
    expect(isWithin(row({ stitchError: null, tolerance: 0.04 }))).toBe(false);
  });

  it('counts a reference that is not found as a miss of the gauge, and a photo without one not at all', () => {
    const right = row({ gaugeError: { stitches: 0.001, rows: 0.002 } });
    const unscaled = row({ gaugeError: null, scaleError: null });
    const bare = row({ gaugeError: null, scaleError: null, referenceKind: 'none' });
    expect([right, unscaled, bare].map(isRight)).toEqual([true, false, true]);
    expect(tallyOf('three', [right, unscaled, bare])).toEqual({
      name: 'three',
      photos: 3,
      stitchesRight: 3,
      referenced: 2,
      gaugeRight: 1,
    });
  });

  it('shows every drawn photo that came out wrong with its picture, and each seed on a line of its own', () => {
    const digest = accuracyDigest([
      row({ name: 'drawn 1-4', gaugeError: { stitches: 0, rows: 0 } }),
      row({ name: 'drawn 2-7', kind: 'rib', stitchError: { stitches: 0.5, rows: 0 } }),
    ]);
    expect(digest).toContain('Drawn photos, seed 1');
    expect(digest).toContain('Drawn photos, seed 2');
    expect(digest).toContain('failures/drawn-2-7.jpg');
    expect(digest).not.toContain('failures/drawn-1-4.jpg');
    expect(isPlain(row({ kind: 'rib' }))).toBe(false);
  });

  it('sorts every chance from 0 to 1 into exactly one band', () => {
    const chances = [0, 0.3, 0.5, 0.94, 0.95, 0.989, 0.99, 1];
    const bands = reliability(chances.map((chance) => row({ chance })));
    expect(bands.map((band) => band.photos)).toEqual([2, 1, 1, 2, 2]);
    expect(bands.every((band) => band.shareRight === 1)).toBe(true);
  });

  it('takes the middle of an odd and the mean of the two middles of an even number of values', () => {
    expect(median([5, 1, 3])).toBe(3);
    expect(median([4, 1, 3, 2])).toBe(2.5);
    expect(median([])).toBeNaN();
  });

  it('rewrites its marked block of a page and nothing else', () => {
    const page =
      'before\n<!-- bench:accuracy -->\nold\n<!-- /bench -->\nafter\n<!-- bench:speed -->\nkept\n<!-- /bench -->\n';
    const after = withBlock(page, 'accuracy', 'new');
    expect(after).toBe(page.replace('old', 'new'));
    expect(withBlock(page, 'absent', 'new')).toBe(page);
  });
});
