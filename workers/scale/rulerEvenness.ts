/** A crest of a sampled profile: its place in samples and how far it stands out. */
export interface Crest {
  readonly at: number;
  readonly height: number;
}

/** A stretch of a profile with even crests. */
export interface EvenRun {
  /** How many even gaps in sequence it has, those between faint crests counting less. */
  readonly evenness: number;
  /** How many more even gaps than uneven ones it has, however faint. */
  readonly evenGaps: number;
  readonly from: number;
  readonly to: number;
  /** Usual distance of its crests, samples. */
  readonly spacing: number;
}

/** Half a mark's width, samples: what stands out from the ground so far to either side is a crest. */
const halfMark = 3;
/** Least that a crest stands out, grey levels. */
const leastHeight = 2;

/** Places and heights of crests that stand out from half a mark's width to either side. */
export const crestsOf = (profile: Float64Array, sign: number): Crest[] => {
  const r = halfMark;
  const out: Crest[] = [];
  const bend = (i: number): number =>
    sign * ((profile[i] ?? 0) - ((profile[i - r] ?? 0) + (profile[i + r] ?? 0)) / 2);
  let [a, b] = [0, bend(r)];
  for (let i = r; i < profile.length - r - 1; i++) {
    const c = bend(i + 1);
    if (b > leastHeight && b > a && b >= c) out.push({ at: i + (a - c) / (2 * (a - 2 * b + c)), height: b });
    [a, b] = [b, c];
  }
  return out;
};

/** Crests of printed marks are about so high, grey levels; those of stitches and grain mostly less, and less of a ruler then. */
const printedHeight = 40;
/** How much two gaps in sequence may differ, as a share, and samples that each place is uncertain by. */
const gapSlack = { share: 0.12, samples: 0.6 };
/** Marks stand at least so far apart, samples. */
const leastGap = 3.5;
/** A run has at least so many even gaps in sequence; an uneven one takes this much away. */
const leastEven = 7;
const unevenCost = 1;
/** More even gaps than these make a row no more of a ruler: rows of stitches are the longest. */
const enoughEven = 24;

/**
 * The stretch of a profile that has most even gaps between its crests, where the faint crests are left away at the level that leaves most; null where there is
 * none. Where the row is covered or ends nothing is even, so a stretch is taken rather than the whole.
 */
export const evenRunOf = (all: readonly Crest[]): EvenRun | null => {
  const heights = Float64Array.from(all, ({ height }) => height).sort();
  let best: EvenRun | null = null;
  for (const share of [0.4, 0.7, 0.9]) {
    const least = 0.4 * (heights[Math.floor(share * heights.length)] ?? 0);
    const run = longestRun(all.filter(({ height }) => height > least));
    if (run !== null && (best === null || run.evenness > best.evenness)) best = run;
  }
  return best;
};

const longestRun = (crests: readonly Crest[]): EvenRun | null => {
  let best = { sum: 0, first: 0, last: 0 };
  let [sum, first] = [0, 1];
  for (let i = 1; i + 1 < crests.length; i++) {
    const [p, q, r] = [crests[i - 1] as Crest, crests[i] as Crest, crests[i + 1] as Crest];
    const gap = q.at - p.at;
    const even = gap > leastGap && Math.abs(r.at - 2 * q.at + p.at) < gapSlack.share * gap + gapSlack.samples;
    sum += even ? 1 : -unevenCost;
    if (sum > best.sum) best = { sum, first, last: i };
    if (sum <= 0) [sum, first] = [0, i + 1];
  }
  if (best.sum < leastEven) return null;
  const inside = crests.slice(best.first - 1, best.last + 2);
  const middle = (values: readonly number[]): number =>
    Float64Array.from(values).sort()[values.length >> 1] ?? 0;
  const spacing = middle(inside.slice(1).map(({ at }, i) => at - (inside[i]?.at ?? 0)));
  const clear = Math.min(1, middle(inside.map(({ height }) => height)) / printedHeight);
  const [from, to] = [inside[0]?.at ?? 0, inside[inside.length - 1]?.at ?? 0];
  return { evenness: Math.min(enoughEven, best.sum) * clear, evenGaps: best.sum, from, to, spacing };
};

/** Share of the one stretch that lies beside the other. */
export const overlapOf = (one: EvenRun, other: EvenRun): number =>
  Math.max(0, Math.min(one.to, other.to) - Math.max(one.from, other.from)) /
  Math.max(1e-9, one.to - one.from);
