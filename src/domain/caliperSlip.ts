import { ASSUMED_REPEATABILITY, type Repeatability } from './caliper';
import { parseLength } from './lengthText';
import type { CaliperReading } from './records';
import { median } from './statistics';
import { MM_PER_INCH, mmToInches } from './units';

/** One repeat as typed, and in millimetres. */
export type TypedRepeat = CaliperReading['repeats'][number];

/** A repeat that can hardly belong to the others, with the likeliest cause. */
export interface CaliperSlip {
  readonly cause: 'digitsSwapped' | 'decimalPoint' | 'otherUnit' | 'apart';
  readonly differenceMm: number;
  /** One sentence in the typed unit, with a question. */
  readonly sentence: string;
}

/** Repeats further apart than this are questioned until the landmark's own scatter is known, mm. An assumption. */
const USUAL_LIMIT_MM = 0.3;

/** Six standard deviations of a well-known landmark, within sane ends. */
const limitMm = (known: Repeatability | null): number =>
  known && known.degreesOfFreedom >= 5 ? Math.min(1, Math.max(0.1, 6 * known.sdMm)) : USUAL_LIMIT_MM;

/**
 * How near to the others a value must lie to be taken for what the caliper really showed: three standard deviations, the
 * landmark's own where it is well known, but no less than two steps of a display of 0.01 mm.
 */
const agreementMm = (known: Repeatability | null): number => {
  const { sdMm } = known && known.degreesOfFreedom >= 5 ? known : ASSUMED_REPEATABILITY;
  return Math.max(0.02, 3 * sdMm);
};

/** Every text that comes from exchanging two neighbouring digits, decimal signs jumped over. */
const withSwappedDigits = (typed: string): string[] => {
  const places = [...typed].flatMap((c, i) => (/\d/.test(c) ? [i] : []));
  return places.slice(1).map((place, k) => {
    const before = places[k] ?? place;
    const letters = [...typed];
    [letters[before], letters[place]] = [letters[place] ?? '', letters[before] ?? ''];
    return letters.join('');
  });
};

/** A length in the typed unit, without trailing zeros. */
const inUnit = (mm: number, unit: CaliperReading['unit']): string =>
  unit === 'in' ? `${Number(mmToInches(mm).toFixed(3))} in` : `${Number(mm.toFixed(2))} mm`;

/**
 * Looks at a repeat as it is typed and asks when it is grossly off the ones before it: digits swapped (0.987 for
 * 0.897), the decimal point or the unit slipped, or simply far apart. Null when nothing is odd or nothing came before.
 * @param known scatter learnt from earlier readings of the landmark, if any.
 */
export const findSlip = (
  before: readonly TypedRepeat[],
  typed: TypedRepeat,
  unit: CaliperReading['unit'],
  known: Repeatability | null = null,
): CaliperSlip | null => {
  if (before.length === 0) return null;
  const usualMm = median(before.map((repeat) => repeat.mm));
  const differenceMm = Math.abs(typed.mm - usualMm);
  const limit = limitMm(known);
  if (!(differenceMm > limit)) return null;
  const near = (mm: number): boolean => Math.abs(mm - usualMm) <= limit;
  const question = `${inUnit(differenceMm, unit)} apart; measure again?`;
  const swapped = withSwappedDigits(typed.typed).find((text) => {
    const parsed = parseLength(text, unit);
    return parsed.ok && Math.abs(parsed.mm - usualMm) <= agreementMm(known);
  });
  if (swapped !== undefined) {
    return {
      cause: 'digitsSwapped',
      differenceMm,
      sentence: `${question} With two digits swapped it would be ${swapped}.`,
    };
  }
  if ([0.01, 0.1, 10, 100].some((factor) => near(typed.mm * factor))) {
    return {
      cause: 'decimalPoint',
      differenceMm,
      sentence: `${question} Is the decimal point in its place?`,
    };
  }
  if (near(typed.mm * MM_PER_INCH) || near(typed.mm / MM_PER_INCH)) {
    const other = unit === 'in' ? 'mm' : 'in';
    return { cause: 'otherUnit', differenceMm, sentence: `${question} Did the caliper show ${other}?` };
  }
  return { cause: 'apart', differenceMm, sentence: question };
};
