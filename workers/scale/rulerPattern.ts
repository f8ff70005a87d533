/** Value below which the share `q` of the values lies. */
const quantile = (values: readonly number[], q: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))] ?? 0;

/** Longer marks differ from the short ones by at least so many px, and by so large a share of their own length; the longest from the longer ones by less. */
const longer = { px: 1, base: 0.25, further: 0.12 };
/** Marks of one length are printed alike: the middle half of them differs by no more than this share, perspective and all. */
const alike = 0.35;
/** So large a share of the marks of a class may be out of the order, covered or run into by print; of few long ones one. */
const odd = { long: 0.15, short: 0.12 };
const oneOf = 4;
/** So many marks of either length at least show an order, and so many show that there are longer ones still among those. */
const leastOfClass = { base: 3, further: 2 };

const isLonger = (long: readonly number[], short: readonly number[], level: 'base' | 'further'): boolean => {
  if (long.length < leastOfClass[level] || short.length < leastOfClass[level]) return false;
  const usual = quantile(short, 0.5);
  if (quantile(short, 0.75) - quantile(short, 0.25) > Math.max(2, alike * usual)) return false;
  const oddShare = long.length < oneOf ? 0 : Math.max(odd.long, 1 / long.length);
  const more = quantile(long, oddShare) - quantile(short, 1 - odd.short);
  return more > Math.max(longer.px, longer[level] * usual);
};

const modulo = (k: number, n: number): number => ((k % n) + n) % n;

/** The mark of every period at which the longer ones stand; null where those are not longer than the others. */
const phaseOf = (lengths: ReadonlyMap<number, number>, period: number): number | null => {
  for (let phase = 0; phase < period; phase++) {
    const long: number[] = [];
    const short: number[] = [];
    for (const [k, length] of lengths) (modulo(k, period) === phase ? long : short).push(length);
    if (isLonger(long, short, 'base')) return phase;
  }
  return null;
};

/** Longest period of a scale: 32 marks to the inch. */
const longestPeriod = 32;

/**
 * Every how many marks one of the longest comes, told by how far into the ruler each mark reaches; null when that could not be told. Scales are halved
 * step by step or parted by five and ten (common practice): what is longer than its neighbours is looked for first, then whether every second of those is longer
 * still.
 * @param lengths by number of the mark, px.
 */
export const longPeriodOf = (lengths: ReadonlyMap<number, number>): number | null => {
  for (const base of [2, 4, 5, 8, 10, 16]) {
    const start = phaseOf(lengths, base);
    if (start === null) continue;
    let phase: number = start;
    let period: number = base;
    while (period * 2 <= longestPeriod) {
      const ofClass = new Map([...lengths].filter(([k]) => modulo(k, period) === phase));
      const at = [phase, phase + period].find((candidate) => {
        const long = [...ofClass].filter(([k]) => modulo(k, 2 * period) === candidate);
        const short = [...ofClass].filter(([k]) => modulo(k, 2 * period) !== candidate);
        return isLonger(
          long.map(([, length]) => length),
          short.map(([, length]) => length),
          'further',
        );
      });
      if (at === undefined) break;
      phase = at;
      period *= 2;
    }
    return period;
  }
  return null;
};
