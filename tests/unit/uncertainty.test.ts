import { describe, expect, it } from 'vitest';
import {
  type Component,
  combine,
  contributionOf,
  effectiveDegreesOfFreedom,
  varianceShares,
  withBudget,
} from '../../src/domain/uncertainty';

const part = (standardUncertainty: number, degreesOfFreedom: number, sensitivity = 1): Component => ({
  name: 'part',
  sentence: 'A part.',
  standardUncertainty,
  degreesOfFreedom,
  sensitivity,
});

describe('the end gauge of JCGM 100:2008, annex H.1', () => {
  // Lengths in nm; the standard is 50 mm long, so that a temperature coefficient enters with 50e6 nm.
  const length = 50_000_623;
  const comparison = combine([part(5.8, 24), part(3.9, 5), part(6.7, 8)]);
  const budget = combine(
    [
      part(25, 18),
      part(9.7, 25.6),
      part(0.58e-6, 50, length * 0.1),
      part(0.029, 2, length * 11.5e-6),
      part(1.2e-6, Infinity, 0),
      part(0.41, Infinity, 0),
    ],
    0.99,
  );

  it('has a comparison good to 9.7 nm with 25.6 degrees of freedom', () => {
    expect(comparison.standardUncertainty).toBeCloseTo(9.7, 1);
    expect(comparison.effectiveDegreesOfFreedom).toBeCloseTo(25.6, 0);
  });

  it('has the contributions 2.9 nm and 16.6 nm of the two temperature terms', () => {
    expect(contributionOf(budget.components[2]!)).toBeCloseTo(2.9, 1);
    // The Guide prints 16.6; its own factors give 16.68.
    expect(Math.abs(contributionOf(budget.components[3]!) - 16.6)).toBeLessThan(0.1);
  });

  it('has a combined standard uncertainty of 32 nm', () => {
    expect(Math.round(budget.standardUncertainty)).toBe(32);
    expect(budget.standardUncertainty ** 2).toBeCloseTo(1002, -1);
  });

  it('has 16 effective degrees of freedom and a factor of 2.92 at 99 %', () => {
    expect(Math.floor(budget.effectiveDegreesOfFreedom)).toBe(16);
    expect(budget.coverageFactor).toBeCloseTo(2.92, 2);
  });

  it('has an expanded uncertainty of 93 nm', () => {
    expect(Math.round(budget.expanded)).toBe(93);
  });
});

describe('a budget', () => {
  it('takes 1.96 when everything is known from infinitely many observations', () => {
    const budget = combine([part(3, Infinity), part(4, Infinity)]);
    expect(budget.standardUncertainty).toBeCloseTo(5, 12);
    expect(budget.coverageFactor).toBeCloseTo(1.96, 3);
    expect(withBudget(100, budget)).toEqual({ value: 100, plusMinus95: budget.expanded });
  });

  it('has as many degrees of freedom as its only varying part', () => {
    expect(effectiveDegreesOfFreedom([part(2, 7), part(0, 3)])).toBeCloseTo(7, 12);
  });

  it('never goes below one degree of freedom', () => {
    expect(combine([part(1, 0.4)]).coverageFactor).toBeCloseTo(12.706, 3);
  });

  it('shares its variance out completely', () => {
    const shares = varianceShares(combine([part(3, 5), part(2, 9, -2)]));
    expect(shares[0]).toBeCloseTo(9 / 25, 12);
    expect(shares[1]).toBeCloseTo(16 / 25, 12);
    expect(varianceShares(combine([part(0, 5)]))).toEqual([0]);
  });
});
