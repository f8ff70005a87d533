import { findComb } from './comb';
import { withoutStrayEnds } from './rulerEnds';

/** A crest of the profile along a ruler: where, px, and how high, grey levels. */
export interface Peak {
  readonly t: number;
  readonly height: number;
}

/** The marks of a ruler by number, and how well they stand for one. */
export interface NumberedMarks {
  readonly marks: ReadonlyMap<number, Peak>;
  /** Share of the numbers at which there is a mark, long stretches without any left out. */
  readonly filled: number;
  /** Share of the clear crests between the first mark and the last that are marks, in those stretches. */
  readonly explained: number;
  /** How far marks lie from midway between their neighbours, as a share of their spacing (root mean square, each mark's own part). */
  readonly unevenness: number;
  /** Distance of neighbouring marks in the middle, px. */
  readonly stepPx: number;
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

/** A place this near to where a mark must be, in steps, is the mark. */
const nearSteps = 0.2;

const nearest = (peaks: readonly Peak[], t: number): Peak | null => {
  let [low, high] = [0, peaks.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((peaks[middle]?.t ?? 0) < t) low = middle;
    else high = middle;
  }
  const [a, b] = [peaks[low], peaks[high]];
  if (a === undefined || b === undefined) return null;
  return Math.abs(a.t - t) < Math.abs(b.t - t) ? a : b;
};

/** Numbers peaks outwards from one of them, each next one where the local spacing puts it, so that perspective is followed. */
const walked = (peaks: readonly Peak[], start: Peak, pitch: number): Map<number, Peak> => {
  const out = new Map<number, Peak>([[0, start]]);
  for (const direction of [1, -1]) {
    let at = start.t;
    let spacing = pitch;
    let index = 0;
    let missed = 0;
    while (missed < 4) {
      const expected = at + direction * spacing * (1 + missed);
      const near = nearest(peaks, expected);
      if (near !== null && Math.abs(near.t - expected) < nearSteps * spacing) {
        index += direction * (1 + missed);
        spacing += 0.3 * (Math.abs(near.t - at) / (1 + missed) - spacing);
        at = near.t;
        missed = 0;
        out.set(index, near);
      } else missed++;
    }
  }
  return out;
};

/** Where the k-th mark lies: t = (a + b k) / (1 + c k), even spacing seen in perspective (a projective map of the line). */
interface Spacing {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

const placeOf = ({ a, b, c }: Spacing, k: number): number => (a + b * k) / (1 + c * k);
const stepAt = ({ a, b, c }: Spacing, k: number): number => (b - a * c) / (1 + c * k) ** 2;

/** Least squares of t = a + b k − c k t, repeated without the marks that lie off. */
const spacingOf = (marks: ReadonlyMap<number, Peak>): Spacing | null => {
  let rows = [...marks].map(([k, { t }]) => ({ k, t }));
  const middle = { k: median(rows.map(({ k }) => k)), t: median(rows.map(({ t }) => t)) };
  let fit: Spacing | null = null;
  for (let round = 0; round < 3; round++) {
    // Normal equations of three unknowns about the middle, where they are well conditioned; solved by Cramer's rule.
    const s = { kk: 0, kp: 0, pp: 0, k: 0, p: 0, n: 0, t: 0, kt: 0, pt: 0 };
    for (const row of rows) {
      const k = row.k - middle.k;
      const t = row.t - middle.t;
      const p = -k * t;
      s.n += 1;
      s.k += k;
      s.p += p;
      s.kk += k * k;
      s.kp += k * p;
      s.pp += p * p;
      s.t += t;
      s.kt += k * t;
      s.pt += p * t;
    }
    const det = (m: readonly number[]): number => {
      const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0, i = 0] = m;
      return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
    };
    const whole = det([s.n, s.k, s.p, s.k, s.kk, s.kp, s.p, s.kp, s.pp]);
    if (!(Math.abs(whole) > 1e-9)) return null;
    const a = det([s.t, s.k, s.p, s.kt, s.kk, s.kp, s.pt, s.kp, s.pp]) / whole;
    const b = det([s.n, s.t, s.p, s.k, s.kt, s.kp, s.p, s.pt, s.pp]) / whole;
    const c = det([s.n, s.k, s.t, s.k, s.kk, s.kt, s.p, s.kp, s.pt]) / whole;
    // Back from the middle: t' + t₀ with k' = k − k₀, brought to the form (a + b k) / (1 + c k).
    const scale = 1 - c * middle.k;
    fit = {
      a: (a - b * middle.k + middle.t * scale) / scale,
      b: (b + middle.t * c) / scale,
      c: c / scale,
    };
    const kept = fit;
    rows = rows.filter(({ k, t }) => Math.abs(t - placeOf(kept, k)) < nearSteps * Math.abs(stepAt(kept, k)));
    if (rows.length < 6) return null;
  }
  return fit;
};

/** So many numbers in sequence without a mark are a stretch that is covered or beyond the ruler's end. */
const longGap = 4;
/** Beyond such a stretch there are at least so many marks again, or what was met there are none. */
const leastBeyond = 5;

/** A number without a mark counts this many times against what one with a mark counts for: where fewer than three of five have one there is no scale. */
const missingCost = 1.5;

/** A stretch of numbers without its beginning where only some have a mark: lines beyond a ruler's end meet every second or third place of one. */
const denseTo = (run: readonly number[]): number[] => {
  let [sum, least, begin] = [0, 0, 0];
  for (let i = 1; i < run.length; i++) {
    sum += 1 - missingCost * (Math.abs((run[i] ?? 0) - (run[i - 1] ?? 0)) - 1);
    if (sum < least) [least, begin] = [sum, i];
  }
  return run.slice(begin);
};

/** The marks that stand in dense stretches of several; those beside them are chance hits. */
const inStretches = (hits: ReadonlyMap<number, Peak>): Map<number, Peak> => {
  const out = new Map<number, Peak>();
  let run: number[] = [];
  const close = (): void => {
    run = denseTo(denseTo(run).reverse()).reverse();
    const span = (run[run.length - 1] ?? 0) - (run[0] ?? 0) + 1;
    if (run.length >= leastBeyond && run.length > 0.7 * span)
      for (const k of run) out.set(k, hits.get(k) as Peak);
    run = [];
  };
  for (const k of [...hits.keys()].sort((a, b) => a - b)) {
    if (run.length > 0 && k - (run[run.length - 1] ?? 0) > longGap) close();
    run.push(k);
  }
  close();
  return out;
};

/** Fewer marks than these, far from the others, are none. */
const leastInCompany = 3;

/** The marks of a row without those that are left of a stretch where all others have proved to be none. */
export const inCompany = (marks: ReadonlyMap<number, Peak>): Map<number, Peak> => {
  const runs: number[][] = [];
  for (const k of [...marks.keys()].sort((a, b) => a - b)) {
    const run = runs[runs.length - 1];
    if (run !== undefined && k - (run[run.length - 1] ?? 0) <= longGap) run.push(k);
    else runs.push([k]);
  }
  const kept = runs.filter((run) => run.length >= leastInCompany).flat();
  return new Map(kept.map((k) => [k, marks.get(k) as Peak]));
};

/** All peaks that even spacing puts a number on; stretches of a few chance hits beyond the ruler's end are left away. */
const renumbered = (
  peaks: readonly Peak[],
  spacing: Spacing,
  from: number,
  to: number,
): Map<number, Peak> => {
  const hits = new Map<number, Peak>();
  for (let k = from; k <= to; k++) {
    if (!(1 + spacing.c * k > 0.2)) continue;
    const near = nearest(peaks, placeOf(spacing, k));
    const steps = near === null ? 1 : Math.abs(near.t - placeOf(spacing, k)) / Math.abs(stepAt(spacing, k));
    if (near !== null && steps < nearSteps) hits.set(k, near);
  }
  return inStretches(hits);
};

/** So many places along the row are tried to begin numbering at. */
const starts = 7;
/** Numbering goes on at both ends, over covered stretches too, at most so many times. */
const rounds = 3;
/** So many times the length of what is numbered they may lie beyond it: a swatch covers more of a ruler than it leaves on one side. */
const beyond = 2.5;
const leastToFit = 6;

/**
 * Numbers the marks among peaks along a line.
 * @param peaks all of them in order, faint ones among them; `clear` those that stand out where the line was found.
 * @returns null where no even row of marks is there.
 */
export const numberMarks = (peaks: readonly Peak[], clear: readonly Peak[]): NumberedMarks | null => {
  const gaps = clear.slice(1).map((p, i) => p.t - (clear[i]?.t ?? 0));
  const usual = median(gaps);
  const comb = findComb(
    clear.map((p) => ({ at: p.t, weight: 1 })),
    Math.max(2, 0.6 * usual),
    2.2 * usual,
  );
  const pitches = comb !== null && comb.agreement > 0.6 ? [comb.pitch] : [usual];
  let best = new Map<number, Peak>();
  for (const pitch of pitches) {
    for (let i = 0; i < starts; i++) {
      const start = clear[Math.floor(((i + 0.5) / starts) * clear.length)];
      const walk = start === undefined ? best : walked(peaks, start, pitch);
      if (walk.size > best.size) best = walk;
    }
  }
  let marks: ReadonlyMap<number, Peak> = best;
  let spacing = best.size < leastToFit ? null : spacingOf(best);
  for (let round = 0; round < rounds && spacing !== null; round++) {
    const known = [...marks.keys()];
    const [low, high] = [Math.min(...known), Math.max(...known)];
    const reach = Math.ceil(beyond * (high - low));
    const before = marks.size;
    marks = renumbered(peaks, spacing, low - reach, high + reach);
    spacing = marks.size < leastToFit ? null : spacingOf(marks);
    if (marks.size === before) break;
  }
  return judgedMarks(marks, clear);
};

/** Marks that are numbered, without strays at the ends, and how well they stand for a ruler; null where too few are left to tell. */
export const judgedMarks = (
  marks: ReadonlyMap<number, Peak>,
  clear: readonly Peak[],
): NumberedMarks | null => {
  const spacing = marks.size < leastToFit ? null : spacingOf(marks);
  if (spacing === null) return null;
  const middle = median([...marks.keys()]);
  const kept = withoutStrayEnds(marks, (k) => placeOf(spacing, k), Math.abs(stepAt(spacing, middle)));
  return judged(kept, clear, spacing);
};

const judged = (
  marks: ReadonlyMap<number, Peak>,
  clear: readonly Peak[],
  spacing: Spacing,
): NumberedMarks => {
  const numbers = [...marks.keys()].sort((a, b) => a - b);
  let slots = 1;
  const stretches: [number, number][] = [];
  let begin = numbers[0] ?? 0;
  numbers.forEach((k, i) => {
    const next = numbers[i + 1];
    if (next !== undefined && next - k <= longGap) {
      slots += next - k;
      return;
    }
    stretches.push([marks.get(begin)?.t ?? 0, marks.get(k)?.t ?? 0]);
    if (next !== undefined) {
      begin = next;
      slots += 1;
    }
  });
  const within = clear.filter(({ t }) => stretches.some(([from, to]) => t > from - 1 && t < to + 1));
  const own = new Set([...marks.values()]);
  // Between two neighbours rather than along the whole row: a lens that bows bends the row, but not three marks of it. Three places that are each uncertain by
  // one differ by √6 so.
  const offs = numbers.flatMap((k) => {
    const [p, q, r] = [marks.get(k - 1), marks.get(k), marks.get(k + 1)];
    return p === undefined || q === undefined || r === undefined
      ? []
      : [(p.t - 2 * q.t + r.t) / stepAt(spacing, k)];
  });
  const unevenness = Math.sqrt(offs.reduce((sum, v) => sum + v * v, 0) / (6 * Math.max(1, offs.length)));
  return {
    marks,
    filled: marks.size / slots,
    explained: within.filter((p) => own.has(p)).length / Math.max(1, within.length),
    unevenness,
    stepPx: Math.abs(stepAt(spacing, median(numbers))),
  };
};
