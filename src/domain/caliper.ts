import { type LengthUnit, parseLength } from './lengthText';
import type { CaliperReading, Jaw } from './records';
import { mean } from './statistics';
import { type Budget, type Component, combine } from './uncertainty';
import { MM_PER_INCH } from './units';

/** Scatter of single readings about their mean, learnt from earlier readings of the same landmark. */
export interface Repeatability {
  readonly sdMm: number;
  readonly degreesOfFreedom: number;
}

/** What the repeats of one reading come to. */
export interface EvaluatedReading {
  readonly meanMm: number;
  /** Largest minus smallest repeat. */
  readonly spreadMm: number;
  readonly count: number;
  readonly standardUncertaintyMm: number;
  readonly plusMinus95Mm: number;
  /** Without the caliper's own limit: for comparing with another reading by the same caliper, where that cancels. */
  readonly sameCaliperUncertaintyMm: number;
  /** Repeats, resolution and the caliper's own limit, in mm. */
  readonly budget: Budget;
}

/**
 * Scatter taken for one or two repeats when nothing is known of the landmark yet: 0.05 mm, as good as three readings'
 * worth of knowledge. An assumption for a caliper held by hand on marked points, not a published figure.
 */
export const ASSUMED_REPEATABILITY: Repeatability = { sdMm: 0.05, degreesOfFreedom: 3 };

/**
 * Largest error that DIN 862 allows a digital caliper of 0.01 mm steps at this length, mm: 0.02 up to 100 mm, 0.03 up to
 * 600 mm, 0.04 up to 1000 mm, and 0.02 more for inside and depth measurements. Lengths between two lines of its table
 * take the longer line's limit.
 * @throws RangeError when the length is not between 0 and 1000 mm.
 */
export const caliperLimitMm = (jaw: Jaw, lengthMm: number): number => {
  if (!(lengthMm >= 0 && lengthMm <= 1000)) {
    throw new RangeError('A caliper reading lies between 0 and 1000 mm.');
  }
  const outside = lengthMm <= 100 ? 0.02 : lengthMm <= 600 ? 0.03 : 0.04;
  return jaw === 'outside' ? outside : outside + 0.02;
};

const MM_PER: Readonly<Record<LengthUnit, number>> = { mm: 1, cm: 10, in: MM_PER_INCH };

/**
 * The step of the display that a typed reading shows, mm. Digital calipers show inches in steps of 0.0005 and
 * millimetres in steps of 0.01 (common practice); fewer typed decimals or a fraction mean a coarser step.
 */
export const typedStepMm = (typed: string, usualUnit: CaliperReading['unit']): number => {
  const parsed = parseLength(typed, usualUnit);
  const perUnit = MM_PER[parsed.ok ? parsed.unit : usualUnit];
  const plain = typed.normalize('NFKD');
  const fraction = /[/\u2044]\s*(\d+)/.exec(plain)?.[1];
  if (fraction !== undefined) return perUnit / Number(fraction);
  const decimals = /[.,](\d+)/.exec(plain)?.[1]?.length ?? 0;
  if (perUnit !== MM_PER_INCH) return Math.max(0.01, perUnit * 10 ** -decimals);
  return MM_PER_INCH * (decimals >= 3 ? 0.0005 : 10 ** -decimals);
};

const sumOfSquares = (values: readonly number[]): number => {
  const centre = mean(values);
  return values.reduce((sum, v) => sum + (v - centre) ** 2, 0);
};

/** Pools the scatter of earlier readings of one landmark; null when none was repeated. */
export const poolRepeatability = (readings: readonly (readonly number[])[]): Repeatability | null => {
  const repeated = readings.filter((repeats) => repeats.length > 1);
  const degreesOfFreedom = repeated.reduce((sum, repeats) => sum + repeats.length - 1, 0);
  if (degreesOfFreedom === 0) return null;
  const squares = repeated.reduce((sum, repeats) => sum + sumOfSquares(repeats), 0);
  return { sdMm: Math.sqrt(squares / degreesOfFreedom), degreesOfFreedom };
};

/** Type A evaluation (JCGM 100:2008, 4.2), pooled with what is known of the landmark (4.2.4). */
const repeatsComponent = (mm: readonly number[], known: Repeatability | null): Component => {
  const prior = known ?? (mm.length < 3 ? ASSUMED_REPEATABILITY : null);
  const degreesOfFreedom = mm.length - 1 + (prior?.degreesOfFreedom ?? 0);
  const squares = sumOfSquares(mm) + (prior ? prior.sdMm ** 2 * prior.degreesOfFreedom : 0);
  const source = known
    ? 'scatter of these repeats and of earlier readings here'
    : prior
      ? 'too few repeats to know the scatter: 0.05 mm is assumed; three repeats would show it'
      : 'scatter of these repeats';
  return {
    name: 'repeats',
    standardUncertainty: Math.sqrt(squares / degreesOfFreedom / mm.length),
    degreesOfFreedom,
    sensitivity: 1,
    sentence: `${mm.length === 1 ? 'One reading' : `Mean of ${mm.length}`}: ${source}.`,
  };
};

/** A limit ±a with every value in it equally likely: u = a / √3 (JCGM 100:2008, 4.3.7). */
const limitComponent = (name: string, halfWidthMm: number, sentence: string): Component => ({
  name,
  standardUncertainty: halfWidthMm / Math.sqrt(3),
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  sensitivity: 1,
  sentence,
});

/**
 * Mean, spread and ± at 95 % of one to nine repeats of a reading.
 * Sources: JCGM 100:2008 for the budget, DIN 862 for the caliper's limits.
 * @param known scatter learnt from earlier readings of the landmark, if any.
 * @throws RangeError when there is no repeat or a repeat is out of a caliper's range.
 */
export const evaluateReading = (
  reading: CaliperReading,
  jaw: Jaw,
  known: Repeatability | null = null,
): EvaluatedReading => {
  const mm = reading.repeats.map((repeat) => repeat.mm);
  if (mm.length === 0) throw new RangeError('A reading needs at least one number from the caliper.');
  const meanMm = mean(mm);
  // Repeats that were typed to different steps may all be rounded the same way: their mean is as coarse as the mean step.
  const stepMm = mean(reading.repeats.map((repeat) => typedStepMm(repeat.typed, reading.unit)));
  const limitMm = caliperLimitMm(jaw, meanMm);
  const step = Number(stepMm.toFixed(4));
  const comparable = [
    repeatsComponent(mm, known),
    limitComponent('resolution', stepMm / 2, `The display moves in steps of ${step} mm.`),
  ];
  const own = `DIN 862 allows ${Number(limitMm.toFixed(2))} mm either way for this jaw.`;
  const budget = combine([...comparable, limitComponent('caliper', limitMm, own)]);
  return {
    meanMm,
    spreadMm: Math.max(...mm) - Math.min(...mm),
    count: mm.length,
    standardUncertaintyMm: budget.standardUncertainty,
    plusMinus95Mm: budget.expanded,
    sameCaliperUncertaintyMm: combine(comparable).standardUncertainty,
    budget,
  };
};
