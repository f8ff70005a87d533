import type { MeasuredLine } from './gridLines';
import { withoutTrend } from './inkTrend';

/** What one numbered line tells of its print. */
export interface LineSign {
  readonly index: number;
  /** ln of its ink, contrast times width in spacings; null where it is not there although both lines beside it are. */
  readonly ink: number | null;
  /** Standard deviation of `ink`. */
  readonly sd: number;
  /** Chance that something else than the line was measured: a numeral's edge, a scratch, a row of the swatch. */
  readonly odd: number;
}

/** How every `every`-th line of a grid being heavier explains what was seen of the lines. */
export interface ClassVerdict {
  readonly every: number;
  /** The likeliest remainders of the heavy lines' indices on each axis. */
  readonly phase: readonly [number, number];
  /** ln of how much more likely the lines are so than if all were alike (a Bayes factor, averaged over where the heavy lines may lie). */
  readonly evidence: number;
  /** ln(ink of a heavy line / ink of a fine one). */
  readonly contrast: number;
  /** How many heavy lines were seen. */
  readonly heavySeen: number;
}

interface LineClass {
  readonly mean: number;
  readonly sd: number;
  /** Chance that such a line cannot be made out between two that can. */
  readonly missing: number;
}

interface TwoClasses {
  readonly heavy: LineClass;
  readonly fine: LineClass;
}

type Axes = readonly (readonly LineSign[])[];

/** Range of ln ink over which odd lines are spread. */
const oddRange = 5;
const missingOf = { heavy: 0.02, other: 0.15 };
/** Lines of one kind differ so much in ink, in wear and print (seen on photos of mats); it counts like so many lines. */
const usualSd = 0.15;
const usualSdWeight = 4;
const leastSd = 0.1;
/** Heavy lines that were nowhere seen would be about so much heavier, ± (common practice: twice as wide, printed more strongly). */
const usualContrast = 0.9;
const usualContrastSd = 0.5;
/** Ink of lines that cannot be made out, below that of those that can. */
const belowSight = 2.3;

/** A line that was seen over less than this share, between two that were seen over more than that one, is not there. */
const absentShare = 0.05;
const besideShare = 0.35;

export const remainder = (index: number, every: number): number => ((index % every) + every) % every;

const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  return n === 0 ? Number.NaN : ((sorted[(n - 1) >> 1] ?? 0) + (sorted[n >> 1] ?? 0)) / 2;
};

/** What the lines of one axis tell of their print. Lines hidden along with their neighbours tell nothing. */
export const signsOf = (
  lines: readonly MeasuredLine[],
  spacingPx: (line: MeasuredLine) => number,
): LineSign[] => {
  const shares = new Map(lines.map((l) => [l.index, l.seenShare]));
  return lines.flatMap((line): LineSign[] => {
    const { index, places, seenShare, weightPx } = line;
    if (places.length > 0) {
      return [
        {
          index,
          ink: Math.log(weightPx / spacingPx(line)),
          sd: 0.3 / Math.sqrt(places.length),
          odd: 0.02 + 0.3 * Math.exp(-(places.length - 5) / 4),
        },
      ];
    }
    const beside = [-1, 1].map((d) => shares.get(index + d) ?? 0);
    if (!(seenShare < absentShare && Math.min(...beside) > besideShare)) return [];
    return [{ index, ink: null, sd: 0, odd: 0 }];
  });
};

const classOf = (inks: readonly number[], missing: number): LineClass => {
  const mean = median(inks);
  const spread = 1.4826 * median(inks.map((v) => Math.abs(v - mean)));
  const n = inks.length;
  const variance = (usualSdWeight * usualSd ** 2 + n * spread ** 2) / (usualSdWeight + n);
  return { mean, sd: Math.max(leastSd, Math.sqrt(variance)), missing };
};

const logChance = ({ ink, sd, odd }: LineSign, of: LineClass): number => {
  if (ink === null) return Math.log(of.missing);
  const s = Math.hypot(sd, of.sd);
  const bell = Math.exp(-0.5 * ((ink - of.mean) / s) ** 2) / (s * Math.sqrt(2 * Math.PI));
  return Math.log((1 - odd) * bell + odd / oddRange);
};

const inksOf = (signs: readonly LineSign[]): number[] =>
  signs.flatMap(({ ink }) => (ink === null ? [] : [ink]));

const split = (signs: readonly LineSign[], every: number, phase: number): [number[], number[]] => {
  const heavy = signs.filter((s) => remainder(s.index, every) === phase);
  const fine = signs.filter((s) => remainder(s.index, every) !== phase);
  return [inksOf(heavy), inksOf(fine)];
};

const classesFrom = (heavy: readonly number[], fine: readonly number[]): TwoClasses | null => {
  if (heavy.length === 0) return null;
  const strong = classOf(heavy, missingOf.heavy);
  const weak =
    fine.length > 0
      ? classOf(fine, missingOf.other)
      : { mean: strong.mean - belowSight, sd: 1, missing: missingOf.other };
  return { heavy: strong, fine: weak };
};

/** The two kinds of line as the one axis alone suggests them, where they differ most. */
const suggestedBy = (signs: readonly LineSign[], every: number): TwoClasses | null => {
  let best: TwoClasses | null = null;
  let most = 0;
  for (let phase = 0; phase < every; phase++) {
    const [heavy, fine] = split(signs, every, phase);
    const classes = fine.length === 0 ? null : classesFrom(heavy, fine);
    if (classes === null) continue;
    const worth = (classes.heavy.mean - classes.fine.mean) * Math.sqrt(heavy.length);
    if (worth > most) {
      best = classes;
      most = worth;
    }
  }
  return best;
};

/** ln likelihood of one axis for each remainder that its heavy lines' indices may have. */
const logByPhase = (signs: readonly LineSign[], every: number, { heavy, fine }: TwoClasses): number[] => {
  const asFine = signs.reduce((sum, s) => sum + logChance(s, fine), 0);
  const sums = new Array<number>(every).fill(asFine);
  for (const s of signs) {
    const phase = remainder(s.index, every);
    sums[phase] = (sums[phase] ?? 0) + logChance(s, heavy) - logChance(s, fine);
  }
  return sums;
};

const logMean = (values: readonly number[]): number => {
  const top = Math.max(...values);
  return top + Math.log(values.reduce((sum, v) => sum + Math.exp(v - top), 0) / values.length);
};

const indexOfTop = (values: readonly number[]): number => values.indexOf(Math.max(...values));

const rounds = 2;

interface Alike {
  readonly axes: Axes;
  readonly kind: LineClass;
  readonly log: number;
}

/** All lines as one kind, the smooth change of their ink across the picture taken away, and how likely they are so. */
const asAlike = (axes: Axes): Alike => {
  let even = axes;
  let kind = classOf(axes.flatMap(inksOf), missingOf.other);
  for (let round = 0; round < rounds; round++) {
    const { mean } = kind;
    even = axes.map((signs) => withoutTrend(signs, () => mean));
    kind = classOf(even.flatMap(inksOf), missingOf.other);
  }
  const log = even.flat().reduce((sum, s) => sum + logChance(s, kind), 0);
  return { axes: even, kind, log };
};

const verdictFor = (
  given: Axes,
  alike: Alike,
  every: number,
  start: TwoClasses,
  fitted: boolean,
): ClassVerdict => {
  let axes = alike.axes;
  let classes = start;
  let byPhase = axes.map((signs) => logByPhase(signs, every, classes));
  for (let round = 0; fitted && round < rounds; round++) {
    const { heavy, fine } = classes;
    const phases = byPhase.map(indexOfTop);
    axes = given.map((signs, axis) =>
      withoutTrend(signs, (index) => (remainder(index, every) === phases[axis] ? heavy : fine).mean),
    );
    const parts = axes.map((signs, axis) => split(signs, every, phases[axis] ?? 0));
    const strong = parts.flatMap(([h]) => h);
    const weak = parts.flatMap(([, f]) => f);
    classes = classesFrom(strong, weak) ?? classes;
    byPhase = axes.map((signs) => logByPhase(signs, every, classes));
  }
  const phase = byPhase.map(indexOfTop);
  const free = fitted ? Math.log(axes.flatMap(inksOf).length) : 0;
  return {
    every,
    phase: [phase[0] ?? 0, phase[1] ?? 0],
    evidence: byPhase.reduce((sum, values) => sum + logMean(values), 0) - alike.log - free,
    contrast: classes.heavy.mean - classes.fine.mean,
    heavySeen: axes.reduce((sum, signs, axis) => sum + split(signs, every, phase[axis] ?? 0)[0].length, 0),
  };
};

/**
 * Weighs for each subdivision whether every so-many-th line of a numbered grid is heavier than those between, the same on both axes, against all lines
 * being alike. Lines that were not seen speak for nothing, so that heavy lines may all be hidden: then little speaks for or against it.
 * @returns several verdicts for each subdivision: with heavy lines as the picture suggests them, and as they usually are.
 */
export const weighHeavy = (axes: Axes, subdivisions: readonly number[]): ClassVerdict[] => {
  if (axes.flatMap(inksOf).length === 0) return [];
  const alike = asAlike(axes);
  const unseen: TwoClasses = {
    fine: alike.kind,
    heavy: { mean: alike.kind.mean + usualContrast, sd: usualContrastSd, missing: missingOf.heavy },
  };
  return subdivisions.flatMap((every) => [
    verdictFor(axes, alike, every, unseen, false),
    ...alike.axes
      .flatMap((signs) => suggestedBy(signs, every) ?? [])
      .map((start) => verdictFor(axes, alike, every, start, true)),
  ]);
};
