import type { Uncertain } from './gauge';

/** One inch is 25.4 mm exactly (16 CFR 500.19; International Yard and Pound Agreement 1959). */
export const MM_PER_INCH = 25.4;
/** Degrees in one radian. */
export const DEGREES_PER_RADIAN = 180 / Math.PI;
const MM_PER_10_CM = 100;

/** Millimetres → inches. */
export const mmToInches = (mm: number): number => mm / MM_PER_INCH;
/** Inches → millimetres. */
export const inchesToMm = (inches: number): number => inches * MM_PER_INCH;
/** A density per millimetre → per inch. */
export const perMmToPerInch = (perMm: number): number => perMm * MM_PER_INCH;
/** A density per inch → per millimetre. */
export const perInchToPerMm = (perInch: number): number => perInch / MM_PER_INCH;
/** A density per millimetre → per 10 cm. */
export const perMmToPer10Cm = (perMm: number): number => perMm * MM_PER_10_CM;
/** A density per 10 cm → per millimetre. */
export const per10CmToPerMm = (per10Cm: number): number => per10Cm / MM_PER_10_CM;

/** An uncertain value in another unit: value and ± times the same factor. */
export const scaleUncertain = (quantity: Uncertain, factor: number): Uncertain => ({
  value: quantity.value * factor,
  plusMinus95: quantity.plusMinus95 * Math.abs(factor),
});

/** An uncertain density per millimetre as one per inch. */
export const uncertainPerInch = (perMm: Uncertain): Uncertain => scaleUncertain(perMm, MM_PER_INCH);
/** An uncertain density per millimetre as one per 10 cm. */
export const uncertainPer10Cm = (perMm: Uncertain): Uncertain => scaleUncertain(perMm, MM_PER_10_CM);

/** Nothing that is measured here is known to more decimal places than this, whatever arithmetic on perfect lines says. */
const MOST_DECIMALS = 5;

/**
 * Decimal places that an uncertainty deserves, five at most: two significant digits when it starts with 1 or 2, one otherwise (JCGM 100:2008, 7.2.6: at most
 * two). Negative for tens and hundreds.
 */
export const decimalsFor = (plusMinus: number): number => {
  // Rounding to two digits first, so that 0.0996 counts as 0.10 and not as 0.09.
  const twoDigits = Number(plusMinus.toPrecision(2));
  const exponent = Math.floor(Math.log10(twoDigits) + 1e-12);
  const leading = twoDigits / 10 ** exponent;
  return Math.min(MOST_DECIMALS, (leading < 2.95 ? 1 : 0) - exponent);
};

/** What a change of unit and back can take from a half is far below this share of it. */
const ROUNDING_NUDGE = 1e-12;

/**
 * A number rounded to so many decimal places, with a decimal point and no grouping; never "-0". Halves go up in size, also those that a change of
 * unit has left a hair below the half.
 */
export const formatDecimals = (value: number, decimals: number): string => {
  const step = 10 ** Math.max(0, -decimals);
  const nudged = value * (1 + ROUNDING_NUDGE);
  const text = (Math.round(nudged / step) * step).toFixed(0);
  const shown = decimals > 0 ? nudged.toFixed(Math.min(decimals, 20)) : text;
  return /^-0(\.0*)?$/.test(shown) ? shown.slice(1) : shown;
};

/** Whether a value lies exactly between two steps of so many decimal places, so that rounding it loses what was read. */
export const isHalfway = (value: number, decimals: number): boolean => {
  const steps = Math.abs(value) * 10 ** decimals;
  return Math.abs(steps - Math.floor(steps) - 0.5) < 1e-6;
};

/**
 * A value with its ±, both rounded to what the ± deserves: (8.083, 0.06) → "8.08 ± 0.06". The decimal sign is a point; the
 * page may replace it. A ± that is not known reads "about 8.1".
 * @param moreDecimals digits to show beyond those.
 */
export const formatUncertain = (value: number, plusMinus: number, moreDecimals = 0): string => {
  if (!Number.isFinite(value)) return 'unknown';
  if (!Number.isFinite(plusMinus) || plusMinus < 0) return `about ${Number(value.toPrecision(2))}`;
  if (plusMinus === 0) return `${Number(value.toPrecision(6))} ± 0`;
  const decimals = decimalsFor(plusMinus) + moreDecimals;
  // A ± that would be rounded to nothing is shown as one in the last place, which is never too little.
  const shown = Math.max(plusMinus, 10 ** -decimals);
  return `${formatDecimals(value, decimals)} ± ${formatDecimals(shown, decimals)}`;
};

/** Two more digits tell any two values apart that are worth telling apart. */
const MOST_MORE_DECIMALS = 2;

/**
 * A difference with its ±, to stand beside a verdict whether it exceeds its ±: shows as many more digits as it takes for the two numbers as shown
 * to say the same. (0.31, 0.29) → "0.31 ± 0.29", not "0.3 ± 0.3".
 */
export const formatJudged = (value: number, plusMinus: number, moreDecimals = 0): string => {
  const exceeds = Math.abs(value) > plusMinus;
  for (let more = moreDecimals; more < MOST_MORE_DECIMALS; more++) {
    const text = formatUncertain(value, plusMinus, more);
    const [shownValue = 0, shownPlusMinus = 0] = text.split(' ± ').map(Number);
    if (Math.abs(shownValue) > shownPlusMinus === exceeds) return text;
  }
  return formatUncertain(value, plusMinus, MOST_MORE_DECIMALS);
};

/** A difference in per cent with its ±, to stand beside a verdict: (0.0231, 0.009) → "2.3 % ± 0.9 %"; see `formatJudged`. */
export const formatJudgedPercent = (share: number, plusMinus: number): string =>
  `${formatJudged(share * 100, plusMinus * 100).replace(' ±', ' % ±')} %`;

/**
 * A length for reading, in the unit asked for: millimetres to a hundredth, inches to a thousandth or, as calipers show them too, to an exact half of
 * one.
 */
export const formatLength = (mm: number, unit: 'mm' | 'in'): string => {
  if (unit === 'mm') return `${formatDecimals(mm, 2)} mm`;
  const inches = mmToInches(mm);
  return `${formatDecimals(inches, isHalfway(inches, 3) ? 4 : 3)} in`;
};

/**
 * A length with its ± in the unit asked for, mm: "28.91 ± 0.05 mm". A half step that was read keeps its digit, as in `formatLength`, so that one
 * reading looks the same with its ± and without: "0.1185 ± 0.0030 in".
 */
export const formatUncertainLength = (mm: number, plusMinusMm: number, unit: 'mm' | 'in'): string => {
  const [value, plusMinus] = unit === 'in' ? [mmToInches(mm), mmToInches(plusMinusMm)] : [mm, plusMinusMm];
  const moreDecimals = Number(isHalfway(value, decimalsFor(plusMinus)));
  return `${formatUncertain(value, plusMinus, moreDecimals)} ${unit}`;
};
