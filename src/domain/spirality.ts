import type { Uncertain } from './gauge';
import type { GaugeResult } from './gaugeOf';
import { coverageFactor } from './statistics';
import type { Budget } from './uncertainty';
import { DEGREES_PER_RADIAN, formatDecimals, formatUncertain } from './units';

/** A slope in the middle of a cubic is less sure than that of a straight line over the same points by this factor (√(25/4)). */
const CUBIC_SLOPE = 2.5;

/** Spirality with a ±: both families' ends as exactly as they are placed, and the plane's shear as large as its scale error. */
export const spiralityOf = (
  { skewRad, budget }: Pick<GaugeResult, 'skewRad' | 'budget'>,
  planeUncertainty: number,
): Uncertain => {
  const counting = (b: Budget): number =>
    b.components.find((c) => c.name === 'counting')?.standardUncertainty ?? 0;
  const u = Math.hypot(
    CUBIC_SLOPE * counting(budget.wales),
    CUBIC_SLOPE * counting(budget.courses),
    Math.SQRT2 * planeUncertainty,
  );
  return { value: skewRad, plusMinus95: coverageFactor(Infinity) * u };
};

/** How far rows are off square to columns, as a sentence; an angle that its ± covers is not called one. */
export const spiralitySentence = ({ value, plusMinus95 }: Uncertain): string => {
  const [angle, plusMinus] = [Math.abs(value) * DEGREES_PER_RADIAN, plusMinus95 * DEGREES_PER_RADIAN];
  return angle > plusMinus
    ? `Rows lean ${formatUncertain(angle, plusMinus)}° off square to the columns (spirality).`
    : `Rows and columns are square to each other, to within ${formatDecimals(plusMinus, 1)}°.`;
};
