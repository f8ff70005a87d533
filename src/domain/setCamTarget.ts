import type { CamFit } from './camFit';
import { type PitchPrediction, predictPitch, readingForPitch } from './camFitPredict';
import type { CaliperReading } from './records';

/** The reading to set for a wanted gauge, or why there is none. */
export type SetCamTarget =
  | {
      readonly kind: 'reading';
      readonly readingMm: number;
      /** Range of readings at 95 %. */
      readonly lowerMm: number;
      readonly upperMm: number;
      /** The way that changes the gauge by 1 %, mm: a quarter of a centimetre round a leg, near enough. */
      readonly toleranceMm: number;
      /** What rows will come out at there, when their fit was given. */
      readonly rows: PitchPrediction | null;
      readonly cautions: readonly string[];
    }
  | { readonly kind: 'noReading'; readonly sentence: string };

/**
 * The caliper reading for a wanted number of stitches per mm, from the yarn's fit; the rows follow and cannot be chosen
 * apart.
 * @param unit that cautions speak in.
 * @throws RangeError when the wanted density is not positive.
 */
export const readingForGauge = (
  wales: CamFit,
  walesPerMm: number,
  courses: CamFit | null = null,
  unit: CaliperReading['unit'] = 'mm',
): SetCamTarget => {
  if (!(walesPerMm > 0)) throw new RangeError('The wanted stitches must be more than zero.');
  const { inverse, cautions } = readingForPitch(wales, 1 / walesPerMm, undefined, unit);
  if (inverse.kind === 'unbounded') return { kind: 'noReading', sentence: inverse.sentence };
  return {
    kind: 'reading',
    readingMm: inverse.x,
    lowerMm: inverse.lower,
    upperMm: inverse.upper,
    toleranceMm: Math.abs(0.01 / walesPerMm / wales.line.slope),
    rows: courses && predictPitch(courses, inverse.x, undefined, unit),
    cautions,
  };
};
