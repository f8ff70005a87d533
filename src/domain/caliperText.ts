import { type ParsedLength, parseLength } from './lengthText';
import type { CaliperReading } from './records';

/** The longest caliper that DIN 862 knows, mm. */
const LONGEST_MM = 1000;

/** A fraction at the end of the text: no unit follows it. */
const BARE_FRACTION = /(?:\d\s*[/⁄]\s*\d+|[½¼¾⅓⅔⅛⅜⅝⅞])\s*$/;

/**
 * Reads what a caliper shows as a person types it, as `parseLength` does. Calipers show fractions of an inch and never of a millimetre
 * (common practice): a fraction without its unit is asked about where millimetres are usual. Nothing longer than a caliper is taken.
 */
export const parseCaliper = (text: string, usualUnit: CaliperReading['unit']): ParsedLength => {
  const parsed = parseLength(text, usualUnit);
  if (!parsed.ok) return parsed;
  if (usualUnit === 'mm' && BARE_FRACTION.test(text)) {
    const typed = text.trim();
    return {
      ok: false,
      sentence: `Fractions are mostly inches: type the unit too, ${typed} in or ${typed} mm.`,
    };
  }
  return parsed.mm > LONGEST_MM
    ? { ok: false, sentence: 'No caliper is that long: check the number and its unit.' }
    : parsed;
};
