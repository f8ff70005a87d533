import { MM_PER_INCH } from './units';

/**
 * Density of hand-knitting yarn as it lies wrapped, g/cm³, lowest and highest. The middle, 0.14, is what charts of wraps against
 * yards per pound come to; charts differ from each other by up to such a factor, and so do hands.
 */
const WRAPPED_DENSITY = { low: 0.1, high: 0.2 } as const;

/** Tex of a round thread of this diameter and density: area × length of 1 km × density. */
const texOf = (diameterMm: number, gPerCm3: number): number =>
  (Math.PI / 4) * diameterMm ** 2 * gPerCm3 * 1000;

/**
 * What wraps per inch hint at: between which two numbers of tex the yarn may lie. Wraps depend on how tight they are wound, so this
 * is never taken for the weight itself.
 * @throws RangeError when the number of wraps is not positive and finite.
 */
export const texHintFromWraps = (wrapsPerInch: number): { readonly from: number; readonly to: number } => {
  if (!(wrapsPerInch > 0 && Number.isFinite(wrapsPerInch)))
    throw new RangeError('Wraps per inch must be more than zero.');
  const diameterMm = MM_PER_INCH / wrapsPerInch;
  return { from: texOf(diameterMm, WRAPPED_DENSITY.low), to: texOf(diameterMm, WRAPPED_DENSITY.high) };
};
