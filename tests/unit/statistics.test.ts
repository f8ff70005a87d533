import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  coverageFactor,
  logGamma,
  MAD_TO_SIGMA,
  mean,
  median,
  normalCdf,
  normalQuantile,
  regularisedIncompleteBeta,
  scaledMad,
  standardDeviation,
  studentTCdf,
  studentTQuantile,
  studentTTwoSided,
  weightedMean,
} from '../../src/domain/statistics';

/** Upper critical values, NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: df → t at 0.95, 0.975, 0.995. */
const HANDBOOK: [df: number, t95: number, t975: number, t995: number][] = [
  [1, 6.314, 12.706, 63.657],
  [2, 2.92, 4.303, 9.925],
  [3, 2.353, 3.182, 5.841],
  [4, 2.132, 2.776, 4.604],
  [5, 2.015, 2.571, 4.032],
  [8, 1.86, 2.306, 3.355],
  [12, 1.782, 2.179, 3.055],
  [18, 1.734, 2.101, 2.878],
  [25, 1.708, 2.06, 2.787],
  [40, 1.684, 2.021, 2.704],
  [60, 1.671, 2.0, 2.66],
  [100, 1.66, 1.984, 2.626],
  [Infinity, 1.645, 1.96, 2.576],
];

/** NIST Technical Note 1297, table B.1: df → t for 68.27, 95, 95.45, 99 and 99.73 %. */
const NOTE_1297: [df: number, ...t: number[]][] = [
  [1, 1.84, 12.71, 13.97, 63.66, 235.8],
  [2, 1.32, 4.3, 4.53, 9.92, 19.21],
  [5, 1.11, 2.57, 2.65, 4.03, 5.51],
  [16, 1.03, 2.12, 2.17, 2.92, 3.54],
  [50, 1.01, 2.01, 2.05, 2.68, 3.16],
  [Infinity, 1.0, 1.96, 2.0, 2.576, 3.0],
];

describe("Student's t", () => {
  it('gives every printed digit of the NIST/SEMATECH e-Handbook table', () => {
    for (const [df, ...printed] of HANDBOOK) {
      const computed = [0.95, 0.975, 0.995].map((p) => studentTQuantile(p, df));
      computed.forEach((t, i) => {
        expect(Math.abs(t - printed[i]!), `df ${df}`).toBeLessThanOrEqual(0.000501);
      });
    }
  });

  it('gives the coverage factors of NIST Technical Note 1297, table B.1', () => {
    for (const [df, ...printed] of NOTE_1297) {
      [0.6827, 0.95, 0.9545, 0.99, 0.9973].forEach((level, i) => {
        // The table prints p in per cent to two decimals, which moves the largest entries by up to 0.02 %.
        const t = coverageFactor(df, level);
        expect(Math.abs(t - printed[i]!), `df ${df}, ${level}`).toBeLessThanOrEqual(0.0051 + 2e-4 * t);
      });
    }
  });

  it('agrees with the closed forms for one and two degrees of freedom', () => {
    for (const p of [1e-6, 0.01, 0.3, 0.5, 0.7, 0.999, 1 - 1e-6]) {
      const cauchy = Math.tan(Math.PI * (p - 0.5));
      expect(studentTQuantile(p, 1)).toBeCloseTo(cauchy, -Math.log10(1e-9 * Math.max(1, Math.abs(cauchy))));
      const two = (2 * p - 1) / Math.sqrt(2 * p * (1 - p));
      expect(studentTQuantile(p, 2)).toBeCloseTo(two, -Math.log10(1e-9 * Math.max(1, Math.abs(two))));
    }
  });

  it('undoes its own distribution function for any real degrees of freedom', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 5e6, noNaN: true }),
        fc.double({ min: 1e-4, max: 1 - 1e-4, noNaN: true }),
        (df, p) => {
          expect(studentTCdf(studentTQuantile(p, df), df)).toBeCloseTo(p, 7);
        },
      ),
    );
  });

  it('passes smoothly into the normal distribution for very many degrees of freedom', () => {
    expect(studentTCdf(1.5, 1.0001e6)).toBeCloseTo(studentTCdf(1.5, 0.9999e6), 8);
    expect(studentTQuantile(0.975, 1e9)).toBeCloseTo(normalQuantile(0.975), 7);
  });

  it('gives the two-sided chance of a result', () => {
    expect(studentTTwoSided(-12.706, 1)).toBeCloseTo(0.05, 5);
  });

  it('refuses impossible questions', () => {
    expect(() => studentTQuantile(1, 5)).toThrow(RangeError);
    expect(() => studentTQuantile(0.5, 0)).toThrow(RangeError);
    expect(() => studentTCdf(1, -1)).toThrow(RangeError);
    expect(() => normalQuantile(0)).toThrow(RangeError);
  });
});

describe('the normal distribution', () => {
  it('has the usual quantiles (NIST/SEMATECH e-Handbook 1.3.6.7.1)', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 12);
    expect(normalQuantile(0.75)).toBeCloseTo(1 / MAD_TO_SIGMA, 12);
    expect(normalQuantile(0.1)).toBeCloseTo(-1.2815515655446004, 12);
  });

  it('keeps its accuracy far out in the tail', () => {
    expect(normalCdf(-10) / 7.61985302416053e-24).toBeCloseTo(1, 10);
    expect(normalQuantile(1e-100)).toBeCloseTo(-21.273453560965, 9);
  });

  it('undoes its own distribution function', () => {
    fc.assert(
      fc.property(fc.double({ min: -6, max: 6, noNaN: true }), (z) => {
        expect(normalQuantile(normalCdf(z))).toBeCloseTo(z, 5);
      }),
    );
  });
});

describe('the special functions', () => {
  it('give factorials and the square root of pi', () => {
    expect(logGamma(11)).toBeCloseTo(Math.log(3_628_800), 12);
    expect(logGamma(0.5)).toBeCloseTo(Math.log(Math.sqrt(Math.PI)), 13);
    expect(logGamma(0.25)).toBeCloseTo(Math.log(3.625609908221908), 12);
  });

  it('give the incomplete beta function as a binomial tail (NIST DLMF 8.17.5)', () => {
    // I_0.3(4, 7) is the chance of at least 4 successes in 10 trials at 0.3.
    let tail = 0;
    for (let k = 4; k <= 10; k += 1) {
      const ways = Math.exp(logGamma(11) - logGamma(k + 1) - logGamma(11 - k));
      tail += ways * 0.3 ** k * 0.7 ** (10 - k);
    }
    expect(regularisedIncompleteBeta(0.3, 4, 7)).toBeCloseTo(tail, 12);
    expect(regularisedIncompleteBeta(0, 2, 3)).toBe(0);
    expect(regularisedIncompleteBeta(1, 2, 3)).toBe(1);
  });
});

describe('location and spread', () => {
  it('gives the published examples of the median absolute deviation', () => {
    // R Core Team, manual page of `mad`: x = 1 2 3 5 7 8 has raw value 2.5; 1..8, 100 has 2.
    expect(scaledMad([1, 2, 3, 5, 7, 8])).toBeCloseTo(3.7065, 4);
    expect(scaledMad([1, 2, 3, 4, 5, 6, 7, 8, 100]) / MAD_TO_SIGMA).toBeCloseTo(2, 12);
  });

  it('takes the middle value, or the mean of the two middle ones, in any order', () => {
    expect(median([9, 1, 5])).toBe(5);
    expect(median([10, 9, 1, 5])).toBe(7);
  });

  it("gives the means of Student's sleep data (1908)", () => {
    expect(mean([0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2])).toBeCloseTo(0.75, 12);
    expect(standardDeviation([0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2])).toBeCloseTo(1.78901, 5);
  });

  it('weights by one over the square of the uncertainty', () => {
    const result = weightedMean([10, 13], [1 / 0.1 ** 2, 1 / 0.2 ** 2]);
    expect(result.value).toBeCloseTo(10.6, 12);
    expect(result.standardUncertainty).toBeCloseTo(1 / Math.sqrt(125), 12);
  });

  it('says so when there is nothing to average', () => {
    expect(() => mean([])).toThrow(RangeError);
    expect(() => median([])).toThrow(RangeError);
    expect(() => standardDeviation([1])).toThrow(RangeError);
    expect(() => weightedMean([1], [0])).toThrow(RangeError);
  });
});
