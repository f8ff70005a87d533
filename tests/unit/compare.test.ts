import { describe, expect, it } from 'vitest';
import {
  type Comparable,
  comparableFrom,
  comparableOf,
  differenceOf,
  verdictOf,
  welchTest,
} from '../../src/domain/compare';
import { normalQuantile } from '../../src/domain/statistics';
import { combine } from '../../src/domain/uncertainty';

describe("Welch's test", () => {
  /** Student 1908, the sleep data: extra hours of sleep on two drugs. */
  const first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
  const second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
  const result = welchTest(first, second);

  it("gives every digit that R's t.test prints for Student's sleep data", () => {
    expect(result.t).toBeCloseTo(-1.86081346748685, 13);
    expect(result.degreesOfFreedom).toBeCloseTo(17.7764735161785, 12);
    expect(result.p).toBeCloseTo(0.0793941401873582, 12);
    expect(result.interval[0]).toBeCloseTo(-3.36548323071171, 11);
    expect(result.interval[1]).toBeCloseTo(0.20548323071171, 11);
    expect(result.difference).toBeCloseTo(0.75 - 2.33, 12);
  });

  it('does not care which sample comes first, but for the sign', () => {
    const back = welchTest(second, first);
    expect(back.t).toBe(-result.t);
    expect(back.p).toBe(result.p);
  });

  it('refuses samples that cannot be tested', () => {
    expect(() => welchTest([1], [1, 2])).toThrow(RangeError);
    expect(() => welchTest([1, 1], [2, 2])).toThrow(RangeError);
  });
});

const value = (v: number, ownRelative: number, sharedRelative = 0): Comparable => ({
  value: v,
  ownRelative,
  ownDegreesOfFreedom: Infinity,
  sharedRelative,
});

describe('the difference of two gauges', () => {
  it('adds what each has alone in squares', () => {
    const { relative } = differenceOf(value(8, 0.003), value(8, 0.004));
    expect(relative.value).toBe(0);
    expect(relative.plusMinus95).toBeCloseTo(1.96 * 0.005, 5);
  });

  it('does not count the error of a shared mat at all when it is equally large in both', () => {
    const apart = differenceOf(value(8, 0.002, 0), value(8.2, 0.002, 0));
    const sameMat = differenceOf(value(8, 0.002, 0.03), value(8.2, 0.002, 0.03));
    expect(sameMat).toEqual(apart);
    expect(sameMat.real).toBe(true);
  });

  it('is the same relative amount whichever unit both are in', () => {
    const perInch = differenceOf(value(8, 0.003), value(8.2, 0.004));
    const perMm = differenceOf(value(8 / 25.4, 0.003), value(8.2 / 25.4, 0.004));
    expect(perMm.relative.value).toBeCloseTo(perInch.relative.value, 12);
    expect(perMm.p).toBeCloseTo(perInch.p, 12);
  });

  it('splits a budget into own and shared parts', () => {
    const part = (name: string, u: number) => ({
      name,
      sentence: '',
      standardUncertainty: u,
      degreesOfFreedom: Infinity,
      sensitivity: 8,
    });
    const budget = combine([part('counting', 0.003), part('window edges', 0.004), part('scale', 0.01)]);
    const split = comparableFrom(8, budget, ['scale']);
    expect(split.ownRelative).toBeCloseTo(0.005, 12);
    expect(split.sharedRelative).toBeCloseTo(0.01, 12);
    const all = comparableOf({ value: 8, plusMinus95: budget.expanded });
    expect(all.ownRelative).toBeCloseTo(Math.hypot(0.005, 0.01), 12);
  });

  it('calls "real" what is not there in 4 to 6 of 100 pairs, when pairs spread over all their chances', () => {
    // Every combination of 200 equally likely errors on each side stands for a simulated pair.
    const errors = Array.from({ length: 200 }, (_, i) => normalQuantile((i + 0.5) / 200));
    let real = 0;
    for (const a of errors) {
      for (const b of errors) {
        const pair = differenceOf(value(8 * (1 + 0.003 * a), 0.003), value(8 * (1 + 0.004 * b), 0.004));
        if (pair.real) real += 1;
      }
    }
    expect(real / 200 ** 2).toBeGreaterThan(0.04);
    expect(real / 200 ** 2).toBeLessThan(0.06);
  });

  it('is said in plain words', () => {
    expect(verdictOf(differenceOf(value(8, 0.003), value(8.184, 0.0035)), 'stitches')).toBe(
      '2.3 % ± 0.9 % more stitches: a real difference.',
    );
    expect(verdictOf(differenceOf(value(11, 0.003), value(10.5, 0.003)), 'rows')).toMatch(
      /^4\.5 % ± 0\.8 % fewer rows: a real/,
    );
    expect(verdictOf(differenceOf(value(8, 0.01), value(8.104, 0.01)), 'stitches')).toBe(
      'Not told apart in stitches (1.3 % ± 2.8 %): measure a larger window.',
    );
  });

  it('has a p that agrees with the ±', () => {
    const edge = differenceOf(value(1, 0.01), value(1 + 0.0196, 0.0000001));
    expect(edge.p).toBeGreaterThan(0.04);
    expect(edge.p).toBeLessThan(0.06);
    expect(differenceOf(value(1, 0), value(1, 0)).p).toBe(1);
    expect(differenceOf(value(1, 0), value(2, 0)).p).toBe(0);
  });
});
