import { MM_PER_INCH } from '../src/domain/units';
import { UsageError } from './usage';

/** Millimetres in each unit that may be typed. */
const unitsMm: Readonly<Record<string, number>> = {
  mm: 1,
  cm: 10,
  in: MM_PER_INCH,
  inch: MM_PER_INCH,
  '"': MM_PER_INCH,
};

const numberFrom = (text: string): number => {
  const fraction = /^(?:(\d+)[ -])?(\d+)\/(\d+)$/.exec(text);
  if (fraction) return Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]);
  return /^(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? Number(text.replace(',', '.')) : Number.NaN;
};

/**
 * Reads a typed length with its unit, such as `1in`, `2.5 cm`, `6,35mm` or `1/16in`, into millimetres.
 * @throws UsageError naming the option when it is no length, has no unit or lies outside the bounds (mm).
 */
export const lengthMm = (option: string, typed: string, bounds: { min: number; max: number }): number => {
  const parts = /^([\d.,/ -]+?)\s*([a-z"]*)$/i.exec(typed.trim());
  const perUnit = parts?.[2] ? unitsMm[parts[2].toLowerCase()] : undefined;
  const value = numberFrom(parts?.[1]?.trim() ?? '');
  if (parts && Number.isFinite(value) && parts[2] === '') {
    throw new UsageError(`${option} needs a unit: is it ${typed}mm, ${typed}cm or ${typed}in?`);
  }
  if (perUnit === undefined || !Number.isFinite(value)) {
    throw new UsageError(
      `${option} takes a length with its unit, such as 1in, 1cm or 25.4mm, not "${typed}".`,
    );
  }
  const mm = value * perUnit;
  if (mm < bounds.min || mm > bounds.max) {
    throw new UsageError(
      `${option} must lie between ${bounds.min} mm and ${bounds.max} mm; "${typed}" does not.`,
    );
  }
  return mm;
};
