import { describe, expect, it } from 'vitest';
import { betweenGroupVariance, poolSlopes, shrinkSlope } from '../../src/domain/pooling';

const groups = (pairs: [number, number][]) =>
  pairs.map(([slope, variance], i) => ({ label: `yarn ${i}`, slope, variance }));

describe('the variance between groups', () => {
  it('is 0.318 for the thirteen vaccine trials of Colditz et al. 1994, the published Paule–Mandel value (from memory)', () => {
    // Log risk ratios and their variances, rounded to four decimals as usually printed.
    const trials = groups([
      [-0.8893, 0.3256],
      [-1.5854, 0.1946],
      [-1.3481, 0.4154],
      [-1.4416, 0.02],
      [-0.2175, 0.0512],
      [-0.7861, 0.0069],
      [-1.6209, 0.223],
      [0.012, 0.004],
      [-0.4694, 0.0564],
      [-1.3713, 0.073],
      [-0.3394, 0.0124],
      [0.4459, 0.5325],
      [-0.0173, 0.0714],
    ]);
    expect(betweenGroupVariance(trials)).toBeCloseTo(0.318, 3);
  });

  it('is zero for the eight schools of Rubin 1981, whose scatter is no larger than their errors', () => {
    const schools = groups(
      [28, 8, -3, 7, -1, 1, 18, 12].map((y, i) => [y, [15, 10, 16, 11, 9, 11, 10, 18][i]! ** 2]),
    );
    expect(betweenGroupVariance(schools)).toBe(0);
  });
});

describe('a slope borrowed from other yarns', () => {
  const pooled = poolSlopes(
    groups([
      [0.45, 0.0004],
      [0.5, 0.0016],
      [0.47, 0.0001],
    ]),
  );

  it('lies among them, with shares that add up to one and favour the surest', () => {
    expect(pooled.mean).toBeGreaterThan(0.45);
    expect(pooled.mean).toBeLessThan(0.5);
    expect(pooled.shares.reduce((sum, s) => sum + s.share, 0)).toBeCloseTo(1, 12);
    expect(pooled.shares[2]?.share).toBeGreaterThan(pooled.shares[1]!.share);
  });

  it('keeps room for yarns to differ even when those seen agree to the last digit', () => {
    const same = poolSlopes(
      groups([
        [0.47, 1e-6],
        [0.47, 1e-6],
      ]),
    );
    // Two parts of 10 % assumed and one part of nothing seen.
    expect(Math.sqrt(same.betweenVariance)).toBeCloseTo(0.047 * Math.sqrt(2 / 3), 6);
    expect(same.degreesOfFreedom).toBe(3);
  });

  it('counts wholly without own evidence, hardly against strong own evidence', () => {
    expect(shrinkSlope(null, pooled)).toMatchObject({ slope: pooled.mean, ownShare: 0 });
    const strong = shrinkSlope({ slope: 0.6, variance: 1e-8 }, pooled);
    expect(strong.slope).toBeCloseTo(0.6, 4);
    expect(strong.ownShare).toBeGreaterThan(0.999);
  });

  it('leaves a variance smaller than either side had', () => {
    const own = { slope: 0.52, variance: 0.001 };
    const shrunk = shrinkSlope(own, pooled);
    expect(shrunk.variance).toBeLessThan(own.variance);
    expect(shrunk.variance).toBeLessThan(pooled.betweenVariance + pooled.varianceOfMean);
    expect(1 / shrunk.variance).toBeCloseTo(
      1 / own.variance + 1 / (pooled.betweenVariance + pooled.varianceOfMean),
      6,
    );
  });

  it('cannot come from nothing', () => {
    expect(() => poolSlopes([])).toThrow('no other yarn');
  });
});
