import type { LeastSquaresFit } from './regression';

/** A straight line with the variances of its level and slope, told at the x where the two are uncorrelated. */
export interface CentredLine {
  readonly centreX: number;
  readonly levelY: number;
  readonly slope: number;
  readonly varianceOfLevel: number;
  readonly varianceOfSlope: number;
}

/** Where a line reaches a given y, or why that cannot be told. */
export type InverseAnswer =
  | {
      readonly kind: 'bounded';
      readonly x: number;
      readonly lower: number;
      readonly upper: number;
      /** Below 1; near 0 the interval is nearly symmetrical (Fieller's g). */
      readonly g: number;
    }
  | {
      readonly kind: 'unbounded';
      /** Where the line itself reaches y; null for a level line. */
      readonly x: number | null;
      /** 1 or more: the slope is not clearly different from zero. */
      readonly g: number;
      readonly sentence: string;
    };

/** The centred form of a fitted straight line (coefficients: intercept, slope). */
export const centredLine = (fit: LeastSquaresFit): CentredLine => {
  const [intercept = Number.NaN, slope = Number.NaN] = fit.coefficients;
  const varianceOfIntercept = fit.covariance[0]?.[0] ?? Number.NaN;
  const covariance = fit.covariance[0]?.[1] ?? Number.NaN;
  const varianceOfSlope = fit.covariance[1]?.[1] ?? Number.NaN;
  const stated = fit.statedCovariance[1]?.[1] ?? Number.NaN;
  const centreX = -(fit.statedCovariance[0]?.[1] ?? Number.NaN) / stated;
  return {
    centreX,
    levelY: intercept + slope * centreX,
    slope,
    varianceOfLevel: Math.max(0, varianceOfIntercept + centreX * covariance),
    varianceOfSlope,
  };
};

/**
 * All x for which the line's y and the wanted y are not told apart: |y − ŷ(x)| ≤ t·√(s² + var ŷ(x)), solved exactly.
 * Source: E. C. Fieller, J. R. Stat. Soc. B 16 (1954) 175–185; as calibration interval in F. Graybill and H. Iyer,
 * Regression Analysis: Concepts and Applications (1994), ch. 6.
 * @param varianceOfY variance of the wanted y itself: s² for one new observation, s²/m for the mean of m, 0 for the
 *   line's own (mean) response.
 * @param t two-sided coverage factor, for example Student's t at 95 %.
 */
export const inversePrediction = (
  line: CentredLine,
  y: number,
  varianceOfY: number,
  t: number,
): InverseAnswer => {
  const { centreX, slope, varianceOfSlope } = line;
  const rise = y - line.levelY;
  const g = slope === 0 ? Number.POSITIVE_INFINITY : (t ** 2 * varianceOfSlope) / slope ** 2;
  if (!(g < 1)) {
    return {
      kind: 'unbounded',
      x: slope === 0 ? null : centreX + rise / slope,
      g,
      sentence:
        'The slope is not clearly different from zero, so no range can be given: add a swatch at a setting further from the others.',
    };
  }
  // Quadratic in d = x − centre: (1 − g)·slope²·d² − 2·slope·rise·d + rise² − t²·(s² + var level) ≤ 0.
  const spare = t ** 2 * (varianceOfY + line.varianceOfLevel);
  const middle = rise / (slope * (1 - g));
  const halfWidth = Math.sqrt((1 - g) * spare + g * rise ** 2) / (Math.abs(slope) * (1 - g));
  return {
    kind: 'bounded',
    x: centreX + rise / slope,
    lower: centreX + middle - halfWidth,
    upper: centreX + middle + halfWidth,
    g,
  };
};
