import type { CamFit } from './camFit';
import { SWATCH_TO_SWATCH } from './camFit';
import { type InverseAnswer, inversePrediction } from './inversePrediction';
import type { CaliperReading } from './records';
import { coverageFactor } from './statistics';
import { effectiveDegreesOfFreedom } from './uncertainty';
import { formatLength } from './units';

type Unit = CaliperReading['unit'];

/** The stitch size to expect of a new swatch at one reading. */
export interface PitchPrediction {
  readonly pitchMm: number;
  /** Ends of the range that holds a new swatch in 95 of 100 cases. */
  readonly lowerMm: number;
  readonly upperMm: number;
  readonly standardUncertaintyMm: number;
  readonly degreesOfFreedom: number;
  /** How far the reading lies beyond the settings tried, mm; 0 when between them. */
  readonly beyondMm: number;
  readonly cautions: readonly string[];
}

/** The reading that should give a wanted stitch size. */
export interface ReadingAnswer {
  readonly inverse: InverseAnswer;
  readonly beyondMm: number;
  readonly cautions: readonly string[];
}

const beyond = (fit: CamFit, readingMm: number): number =>
  Math.max(0, fit.triedMm.from - readingMm, readingMm - fit.triedMm.to);

const cautionsFor = (fit: CamFit, readingMm: number, unit: Unit): string[] => {
  const mm = beyond(fit, readingMm);
  if (mm <= fit.typicalUReadingMm * 2) return [];
  const place = fit.triedMm.to > fit.triedMm.from ? 'settings' : 'setting';
  return [
    `Beyond the ${place} you have tried, by ${formatLength(mm, unit)}: a straight line need not hold there, so knit a small swatch first.`,
  ];
};

/** Two or three swatches can lie on one line by chance; the range is then right on the whole, but not to be counted on. */
const luckCaution = (fit: CamFit, halfWidthMm: number): string[] =>
  halfWidthMm < coverageFactor(Number.POSITIVE_INFINITY) * fit.typicalUPitchMm
    ? [
        'The few swatches lie closer to one line than their photos can tell, by chance: do not count on a new one coming that near.',
      ]
    : [];

/** Variance of a new swatch about the line: its own scatter, its measurement, and the reading it is set by. */
const newSwatchVariance = (fit: CamFit, pitchMm: number, uReadingMm: number): number =>
  fit.varianceScale *
  ((SWATCH_TO_SWATCH * pitchMm) ** 2 + fit.typicalUPitchMm ** 2 + (fit.line.slope * uReadingMm) ** 2);

/** Degrees of freedom of a prediction: one part hangs on the scatter of swatches, the other on how far yarns differ in slope. */
const degreesOfFreedomAt = (fit: CamFit, variance: number, readingMm: number): number => {
  const between = (readingMm - fit.line.centreX) ** 2 * (fit.betweenYarns?.varianceOfSlope ?? 0);
  return effectiveDegreesOfFreedom([
    {
      name: 'scatter',
      sentence: 'How far swatches scatter about the line.',
      standardUncertainty: Math.sqrt(Math.max(0, variance - between)),
      degreesOfFreedom: fit.degreesOfFreedom,
      sensitivity: 1,
    },
    {
      name: 'yarns',
      sentence: 'How far yarns differ in slope.',
      standardUncertainty: Math.sqrt(between),
      degreesOfFreedom: fit.betweenYarns?.degreesOfFreedom ?? Number.POSITIVE_INFINITY,
      sensitivity: 1,
    },
  ]);
};

/**
 * What a new swatch knitted at this reading will measure, with a prediction interval at 95 % (N. Draper and H. Smith,
 * Applied Regression Analysis, 3rd ed. 1998, sec. 1.4, with the two variances of a pooled slope).
 * @param uReadingMm standard uncertainty of the reading the cam will be set by; the swatches' own by default.
 * @param unit that cautions speak in.
 */
export const predictPitch = (
  fit: CamFit,
  readingMm: number,
  uReadingMm: number = fit.typicalUReadingMm,
  unit: Unit = 'mm',
): PitchPrediction => {
  const { line } = fit;
  const arm = readingMm - line.centreX;
  const pitchMm = line.levelY + line.slope * arm;
  const variance =
    newSwatchVariance(fit, pitchMm, uReadingMm) + line.varianceOfLevel + arm ** 2 * line.varianceOfSlope;
  const degreesOfFreedom = degreesOfFreedomAt(fit, variance, readingMm);
  const halfWidth = coverageFactor(degreesOfFreedom) * Math.sqrt(variance);
  return {
    pitchMm,
    lowerMm: pitchMm - halfWidth,
    upperMm: pitchMm + halfWidth,
    standardUncertaintyMm: Math.sqrt(variance),
    degreesOfFreedom,
    beyondMm: beyond(fit, readingMm),
    cautions: [...cautionsFor(fit, readingMm, unit), ...luckCaution(fit, halfWidth)],
  };
};

/**
 * The reading at which a new swatch should have stitches of this size: exact interval at 95 % after Fieller, or a
 * sentence when the slope is not clear enough.
 * @param unit that cautions speak in.
 * @throws RangeError when the wanted size is not positive.
 */
export const readingForPitch = (
  fit: CamFit,
  pitchMm: number,
  uReadingMm: number = fit.typicalUReadingMm,
  unit: Unit = 'mm',
): ReadingAnswer => {
  if (!(pitchMm > 0)) throw new RangeError('A wanted stitch size must be more than zero.');
  const { line } = fit;
  const own = newSwatchVariance(fit, pitchMm, uReadingMm);
  const likely = line.slope === 0 ? line.centreX : line.centreX + (pitchMm - line.levelY) / line.slope;
  const variance = own + line.varianceOfLevel + (likely - line.centreX) ** 2 * line.varianceOfSlope;
  const t = coverageFactor(degreesOfFreedomAt(fit, variance, likely));
  const inverse = inversePrediction(line, pitchMm, own, t);
  return {
    inverse,
    beyondMm: inverse.x === null ? 0 : beyond(fit, inverse.x),
    cautions: inverse.x === null ? [] : cautionsFor(fit, inverse.x, unit),
  };
};

/** Stitches (or rows) per mm from a predicted size; an end is null where the size could be zero. */
export const densityRange = (
  prediction: Pick<PitchPrediction, 'pitchMm' | 'lowerMm' | 'upperMm'>,
): { readonly value: number; readonly lower: number; readonly upper: number | null } => ({
  value: 1 / prediction.pitchMm,
  lower: 1 / prediction.upperMm,
  upper: prediction.lowerMm > 0 ? 1 / prediction.lowerMm : null,
});
