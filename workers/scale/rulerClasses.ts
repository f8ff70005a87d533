/** How much marks stand out at one depth, by number of the mark, grey levels; 0 where there is none any more. */
export type DepthHeights = ReadonlyMap<number, number>;

/** Periods that are tried: scales are halved step by step or parted by five and ten (common practice). */
const periods = [4, 5, 8, 10, 16];
/** So many marks of a class at least, or their mean says little. */
const leastOfClass = 4;
/** The longer marks stand out by so many standard errors more than the others. */
const leastErrors = 7;
/** Where only the longer marks are left, they stand out so many times as much as the others at least, and by this share of what all do where they begin. */
const clearer = { times: 2.5, share: 0.45 };

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, v) => sum + v, 0) / Math.max(1, values.length);
const squaresOf = (values: readonly number[], mean: number): number =>
  values.reduce((sum, v) => sum + (v - mean) ** 2, 0);

const modulo = (k: number, n: number): number => ((k % n) + n) % n;

/** By how many standard errors the marks of one class stand out more than all others; 0 where they do not clearly. */
const errorsBetween = (heights: DepthHeights, period: number, phase: number, usual: number): number => {
  const [own, others]: [number[], number[]] = [[], []];
  for (const [k, height] of heights) (modulo(k, period) === phase ? own : others).push(height);
  if (own.length < leastOfClass || others.length < leastOfClass) return 0;
  const [m, n] = [meanOf(own), meanOf(others)];
  if (m < clearer.share * usual || m < clearer.times * n) return 0;
  const spread = (squaresOf(own, m) + squaresOf(others, n)) / (own.length + others.length - 2);
  return (m - n) / Math.sqrt(Math.max(1e-9, spread) * (1 / own.length + 1 / others.length));
};

/**
 * Every how many marks a longer one comes, told by all marks of a class together at the depths where only the longer ones go on: where grain or blur hides where a
 * single mark ends. Two-sample comparison of means with the pooled variance.
 * @param depths how much each mark stands out at one depth after another, the first where all of them do.
 * @returns the longest period that any depth shows clearly; null where none does.
 */
export const periodByClasses = (depths: readonly DepthHeights[]): number | null => {
  const [first] = depths;
  if (first === undefined) return null;
  const usual = meanOf([...first.values()]);
  let longest: number | null = null;
  for (const heights of depths.slice(1)) {
    let best = { errors: leastErrors, period: 0 };
    for (const period of periods) {
      for (let phase = 0; phase < period; phase++) {
        const errors = errorsBetween(heights, period, phase, usual);
        if (errors > best.errors) best = { errors, period };
      }
    }
    if (best.period > (longest ?? 0)) longest = best.period;
  }
  return longest;
};
