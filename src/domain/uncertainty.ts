import type { Uncertain } from './gauge';
import { coverageFactor } from './statistics';

/** One source of uncertainty of a result. */
export interface Component {
  readonly name: string;
  /** One sentence for the user: where it comes from. */
  readonly sentence: string;
  /** Standard uncertainty of the input, in the input's unit. */
  readonly standardUncertainty: number;
  /** Infinity for one that is taken as exactly known (type B by judgement). */
  readonly degreesOfFreedom: number;
  /** Change of the result per change of the input. */
  readonly sensitivity: number;
}

/** The components of a result and what they come to. */
export interface Budget {
  readonly components: readonly Component[];
  readonly standardUncertainty: number;
  readonly effectiveDegreesOfFreedom: number;
  readonly coverageFactor: number;
  /** Half-width of the interval that holds the truth with chance `level`. */
  readonly expanded: number;
  readonly level: number;
}

/** What a component adds to the result, in the result's unit. */
export const contributionOf = (component: Component): number =>
  Math.abs(component.sensitivity) * component.standardUncertainty;

/**
 * Degrees of freedom of a combined uncertainty by the Welch–Satterthwaite formula (JCGM 100:2008, G.4.1, eq. G.2b); Infinity when
 * nothing that varies has finitely many.
 */
export const effectiveDegreesOfFreedom = (components: readonly Component[]): number => {
  const variance = components.reduce((sum, c) => sum + contributionOf(c) ** 2, 0);
  const denominator = components.reduce((sum, c) => sum + contributionOf(c) ** 4 / c.degreesOfFreedom, 0);
  return denominator > 0 ? variance ** 2 / denominator : Infinity;
};

/**
 * Combines independent components: root of the sum of squares (JCGM 100:2008, 5.1.2, eq. 10), degrees of freedom by Welch–Satterthwaite, cut to the
 * next lower whole number (G.4.1, note 1), and the coverage factor from Student's t (G.3.2).
 */
export const combine = (components: readonly Component[], level = 0.95): Budget => {
  const standardUncertainty = Math.sqrt(components.reduce((sum, c) => sum + contributionOf(c) ** 2, 0));
  const df = effectiveDegreesOfFreedom(components);
  const factor = coverageFactor(Math.max(1, Math.floor(df)), level);
  return {
    components,
    standardUncertainty,
    effectiveDegreesOfFreedom: df,
    coverageFactor: factor,
    expanded: factor * standardUncertainty,
    level,
  };
};

/** A value with the ± of its budget. The budget must be at 95 %. */
export const withBudget = (value: number, budget: Budget): Uncertain => ({
  value,
  plusMinus95: budget.expanded,
});

/** The share of the result's variance that each component accounts for, in the components' order; they add up to 1. */
export const varianceShares = (budget: Budget): readonly number[] => {
  const total = budget.standardUncertainty ** 2;
  return budget.components.map((c) => (total > 0 ? contributionOf(c) ** 2 / total : 0));
};
