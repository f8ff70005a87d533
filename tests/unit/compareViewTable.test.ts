import { describe, expect, it } from 'vitest';
import {
  absoluteDifference,
  type ComparedSwatch,
  densityOf,
  ratioOf,
  relativeDifference,
  sharedNames,
} from '../../src/domain/compareViewTable';
import { seeded } from '../builders/random';
import { comparedSwatch, type Errors, pairOf } from './comparePairs';

const own: Errors = { counting: 0.002, edges: 0.0015, scale: 0.002, height: 0.003 };

const shareOfReal = (trials: number, trueDifference: number, errors: Errors, sameMat: boolean): number => {
  const random = seeded(20260314);
  let real = 0;
  for (let i = 0; i < trials; i += 1) {
    const [a, b] = pairOf(random, { walesPerInch: 8, trueDifference, errors, sameMat });
    if (relativeDifference('stitches', a, b)?.real) real += 1;
  }
  return real / trials;
};

describe('the verdict on a pair of swatches', () => {
  it('says "real" in 4 to 6 of 100 pairs that do not differ, with different mats', () => {
    const share = shareOfReal(20_000, 0, own, false);
    expect(share).toBeGreaterThan(0.04);
    expect(share).toBeLessThan(0.06);
  });

  it('says "real" in 4 to 6 of 100 pairs that do not differ, on one mat whose error is common to both', () => {
    const share = shareOfReal(20_000, 0, { ...own, scale: 0.01 }, true);
    expect(share).toBeGreaterThan(0.04);
    expect(share).toBeLessThan(0.06);
  });

  it('keeps that promise when little is known of the counting, where Student’s t is wider than normal', () => {
    const share = shareOfReal(4000, 0, { ...own, counting: 0.004, degreesOfFreedom: 6 }, false);
    expect(share).toBeGreaterThan(0.04);
    expect(share).toBeLessThan(0.06);
  });

  it('finds a difference of 3 % nearly always and one of 1 % more often on one mat than on two', () => {
    expect(shareOfReal(3000, 0.03, own, false)).toBeGreaterThan(0.99);
    const oneMat = shareOfReal(3000, 0.01, { ...own, scale: 0.006 }, true);
    const twoMats = shareOfReal(3000, 0.01, { ...own, scale: 0.006 }, false);
    expect(oneMat).toBeGreaterThan(twoMats + 0.2);
  });
});

describe('what two swatches have in common', () => {
  const base = comparedSwatch(8, 11, own);
  it('is the error of a mat that both name, and of a height found in the same way', () => {
    const named: ComparedSwatch = { ...base, referenceId: 'green' };
    expect(sharedNames(named, named)).toEqual(['scale', 'height of the fabric']);
    expect(sharedNames(named, { ...named, referenceId: 'blue' })).toEqual(['height of the fabric']);
    expect(sharedNames(base, base)).toEqual(['height of the fabric']);
    expect(sharedNames(named, { ...named, thicknessMm: 2.5 })).toEqual(['scale']);
  });
});

describe('what follows from both densities', () => {
  const { result } = comparedSwatch(8, 11, own);
  it('leaves scale and height out of the ratio, which they do not touch', () => {
    const { value, budget } = ratioOf(result);
    expect(value).toBeCloseTo(11 / 8, 10);
    expect(budget.standardUncertainty / value).toBeCloseTo(
      Math.SQRT2 * Math.hypot(own.counting, own.edges),
      10,
    );
  });

  it('counts scale and height twice in the stitches per area', () => {
    const { value, budget } = densityOf(result);
    expect(budget.standardUncertainty / value).toBeCloseTo(
      Math.hypot(Math.SQRT2 * Math.hypot(own.counting, own.edges), 2 * Math.hypot(own.scale, own.height)),
      10,
    );
  });
});

describe('readings of the caliper', () => {
  const read = (mm: number, landmarkId: string | null): ComparedSwatch => ({
    ...comparedSwatch(8, 11, own),
    reading: { mm, plusMinus95Mm: 0.08, sameCaliperU: 0.02 },
    landmarkId,
  });
  it('are told apart at one landmark only, and without the error of the caliper itself', () => {
    const found = absoluteDifference('setting', read(28.9, 'nut'), read(29.0, 'nut'));
    expect(found?.difference.value).toBeCloseTo(0.1, 10);
    expect(found?.difference.plusMinus95).toBeCloseTo(1.96 * Math.SQRT2 * 0.02, 3);
    expect(found?.real).toBe(true);
    expect(absoluteDifference('setting', read(28.9, 'nut'), read(29.0, 'other'))).toBeNull();
    expect(absoluteDifference('setting', read(28.9, null), read(29.0, null))).toBeNull();
  });
});
