import type { Uncertain } from './gauge';
import { coverageFactor, mean, standardDeviation, studentTTwoSided } from './statistics';
import { type Budget, combine, contributionOf } from './uncertainty';
import { formatJudgedPercent } from './units';

/** Outcome of a two-sample test for a difference of means. */
export interface WelchResult {
  readonly t: number;
  readonly degreesOfFreedom: number;
  /** Chance of a difference at least this large if there were none. */
  readonly p: number;
  /** First mean less second. */
  readonly difference: number;
  readonly interval: readonly [number, number];
}

/**
 * Welch's test for the difference of two means with unequal spreads, and its interval (B. L. Welch 1947; the unpaired test that ASTM D8007 calls for when two
 * counts are compared).
 * @throws RangeError when a sample has fewer than two values, or neither spreads at all.
 */
export const welchTest = (a: readonly number[], b: readonly number[], level = 0.95): WelchResult => {
  const va = standardDeviation(a) ** 2 / a.length;
  const vb = standardDeviation(b) ** 2 / b.length;
  if (va + vb === 0) throw new RangeError('Two samples without any spread cannot be tested.');
  const degreesOfFreedom = (va + vb) ** 2 / (va ** 2 / (a.length - 1) + vb ** 2 / (b.length - 1));
  const difference = mean(a) - mean(b);
  const error = Math.sqrt(va + vb);
  const half = coverageFactor(degreesOfFreedom, level) * error;
  const t = difference / error;
  return {
    t,
    degreesOfFreedom,
    p: studentTTwoSided(t, degreesOfFreedom),
    difference,
    interval: [difference - half, difference + half],
  };
};

/** A measured value with the part of its uncertainty that it has alone and the part that it has in common with another. */
export interface Comparable {
  readonly value: number;
  /** Relative standard uncertainty that is this value's own, and its degrees of freedom. */
  readonly ownRelative: number;
  readonly ownDegreesOfFreedom: number;
  /** Relative standard uncertainty that pushes all values measured the same way alike: same mat, same typed thickness. */
  readonly sharedRelative: number;
}

/** A value split by its budget: components named in `shared` are common to all values that are compared. */
export const comparableFrom = (value: number, budget: Budget, shared: readonly string[]): Comparable => {
  const own = combine(budget.components.filter((c) => !shared.includes(c.name)));
  const common = budget.components.filter((c) => shared.includes(c.name));
  return {
    value,
    ownRelative: own.standardUncertainty / value,
    ownDegreesOfFreedom: own.effectiveDegreesOfFreedom,
    sharedRelative: Math.sqrt(common.reduce((sum, c) => sum + contributionOf(c) ** 2, 0)) / value,
  };
};

/** A value of which only the ± is known: all of it counts as its own, which can only make a difference look less sure. */
export const comparableOf = ({ value, plusMinus95 }: Uncertain): Comparable => ({
  value,
  ownRelative: plusMinus95 / coverageFactor(Infinity) / value,
  ownDegreesOfFreedom: Infinity,
  sharedRelative: 0,
});

/** How far two values are apart. */
export interface Difference {
  /** Second over first less one, with its ± at 95 %. */
  readonly relative: Uncertain;
  /** Whether the ± leaves no room for equal values. */
  readonly real: boolean;
  /** Chance of a difference at least this large if there were none. */
  readonly p: number;
}

/**
 * Relative difference of two measured values. What both share cancels in their ratio as far as it is equally large (JCGM 100:2008, 5.2.2 and
 * F.1.2.3: fully correlated inputs); what each has alone adds in squares.
 */
export const differenceOf = (first: Comparable, second: Comparable): Difference => {
  const ratio = second.value / first.value;
  const part = (name: string, standardUncertainty: number, degreesOfFreedom: number) => ({
    name,
    sentence: name,
    standardUncertainty,
    degreesOfFreedom,
    sensitivity: ratio,
  });
  const budget = combine([
    part('first', first.ownRelative, first.ownDegreesOfFreedom),
    part('second', second.ownRelative, second.ownDegreesOfFreedom),
    part('shared unequally', Math.abs(first.sharedRelative - second.sharedRelative), Infinity),
  ]);
  const value = ratio - 1;
  const df = Math.max(1, Math.floor(budget.effectiveDegreesOfFreedom));
  const p =
    budget.standardUncertainty > 0
      ? studentTTwoSided(value / budget.standardUncertainty, df)
      : Number(value === 0);
  return { relative: { value, plusMinus95: budget.expanded }, real: Math.abs(value) > budget.expanded, p };
};

/**
 * The difference in one plain sentence, about what there is more or fewer of ("stitches", "rows") in the second:
 * "2.3 % ± 0.9 % more stitches: a real difference."
 */
export const verdictOf = ({ relative, real }: Difference, noun: string): string => {
  const amount = formatJudgedPercent(Math.abs(relative.value), relative.plusMinus95);
  if (!real) {
    return `Not told apart in ${noun} (${amount}): measure a larger window.`;
  }
  return `${amount} ${relative.value > 0 ? 'more' : 'fewer'} ${noun}: a real difference.`;
};
