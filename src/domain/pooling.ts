/** A slope found in one group, with the variance of that finding. */
export interface GroupSlope {
  readonly label: string;
  readonly slope: number;
  readonly variance: number;
}

/** What the groups together say about the slope of one more group. */
export interface PooledSlope {
  readonly mean: number;
  readonly varianceOfMean: number;
  /** Variance of the true slopes from group to group. */
  readonly betweenVariance: number;
  /** Degrees of freedom behind `betweenVariance`. */
  readonly degreesOfFreedom: number;
  /** Share of each group in the mean; they add up to 1. */
  readonly shares: readonly { readonly label: string; readonly share: number }[];
}

/**
 * How far true slopes of different yarns are taken to differ before enough yarns have shown it: 10 %, with the weight of
 * two further yarns. Munden's constants (1959) say that they do not differ at all in one rest state; 10 % leaves room for
 * fibres and twists. An assumption, stated wherever it counts.
 */
export const ASSUMED_SLOPE_SPREAD = { relative: 0.1, degreesOfFreedom: 2 } as const;

const weightedMeanOf = (
  slopes: readonly GroupSlope[],
  between: number,
): { mean: number; total: number; weights: number[] } => {
  const weights = slopes.map((s) => 1 / (s.variance + between));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = slopes.reduce((sum, s, i) => sum + s.slope * (weights[i] ?? 0), 0) / total;
  return { mean, total, weights };
};

/** Q(τ²) = Σ (b − mean)² / (variance + τ²): falls as τ² grows. */
const heterogeneity = (slopes: readonly GroupSlope[], between: number): number => {
  const { mean, weights } = weightedMeanOf(slopes, between);
  return slopes.reduce((sum, s, i) => sum + (s.slope - mean) ** 2 * (weights[i] ?? 0), 0);
};

/**
 * Variance between groups that brings Q to its expectation, n − 1 (R. Paule and J. Mandel, J. Res. Natl. Bur. Stand. 87
 * (1982) 377–385); 0 when the scatter is no larger than the slopes' own uncertainty.
 */
export const betweenGroupVariance = (slopes: readonly GroupSlope[]): number => {
  const expected = slopes.length - 1;
  if (expected < 1 || heterogeneity(slopes, 0) <= expected) return 0;
  let low = 0;
  let high = 1e-12;
  while (heterogeneity(slopes, high) > expected) high *= 4;
  for (let i = 0; i < 80; i += 1) {
    const middle = (low + high) / 2;
    if (heterogeneity(slopes, middle) > expected) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/**
 * Empirical Bayes estimate of what slopes there are: their mean, and how far a further group's may lie from it
 * (B. Efron and C. Morris, J. Am. Stat. Assoc. 70 (1975) 311–319, with the variance of Paule and Mandel steadied by
 * `ASSUMED_SLOPE_SPREAD`, because two or three groups hardly show it).
 * @throws RangeError when no slope is given.
 */
export const poolSlopes = (slopes: readonly GroupSlope[]): PooledSlope => {
  if (slopes.length === 0) throw new RangeError('There is no other yarn to borrow a slope from.');
  const rough = weightedMeanOf(slopes, betweenGroupVariance(slopes)).mean;
  const { relative, degreesOfFreedom: assumed } = ASSUMED_SLOPE_SPREAD;
  const degreesOfFreedom = assumed + slopes.length - 1;
  const betweenVariance =
    (assumed * (relative * rough) ** 2 + (slopes.length - 1) * betweenGroupVariance(slopes)) /
    degreesOfFreedom;
  const { mean, total, weights } = weightedMeanOf(slopes, betweenVariance);
  return {
    mean,
    varianceOfMean: 1 / total,
    betweenVariance,
    degreesOfFreedom,
    shares: slopes.map(({ label }, i) => ({ label, share: (weights[i] ?? 0) / total })),
  };
};

/** A group's slope after its own evidence and the others' were weighed. */
export interface ShrunkSlope {
  readonly slope: number;
  readonly variance: number;
  /** 1 when only its own swatches count, 0 when the slope is wholly borrowed. */
  readonly ownShare: number;
}

/** Weighs a group's own slope (null when it has none) against the pooled one, each by the inverse of its variance. */
export const shrinkSlope = (
  own: { readonly slope: number; readonly variance: number } | null,
  pooled: PooledSlope,
): ShrunkSlope => {
  const priorVariance = pooled.betweenVariance + pooled.varianceOfMean;
  if (own === null) return { slope: pooled.mean, variance: priorVariance, ownShare: 0 };
  const ownShare = priorVariance / (priorVariance + own.variance);
  return {
    slope: ownShare * own.slope + (1 - ownShare) * pooled.mean,
    variance: ownShare * own.variance,
    ownShare,
  };
};
