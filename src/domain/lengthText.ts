import { MM_PER_INCH } from './units';

/** A unit that a length may be typed in. */
export type LengthUnit = 'mm' | 'cm' | 'in';

/** A typed length in millimetres and the unit it was typed in, or what is wrong with it in one sentence. */
export type ParsedLength =
  | { readonly ok: true; readonly mm: number; readonly unit: LengthUnit }
  | { readonly ok: false; readonly sentence: string };

const MM_PER: Readonly<Record<LengthUnit, number>> = { mm: 1, cm: 10, in: MM_PER_INCH };

const UNIT_WORDS: readonly (readonly [LengthUnit, RegExp])[] = [
  ['mm', /\s*(?:mm|millimet(?:re|er)s?)\.?$/i],
  ['cm', /\s*(?:cm|centimet(?:re|er)s?)\.?$/i],
  ['in', /\s*(?:in|inch|inches|["″”“]|''|’’)\.?$/i],
];

const VULGAR: Readonly<Record<string, string>> = {
  '½': '1/2',
  '¼': '1/4',
  '¾': '3/4',
  '⅓': '1/3',
  '⅔': '2/3',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};

/** Nothing on a bench is longer; a larger number is a slip of the hand or of the unit. */
const LONGEST_MM = 10_000;

const refuse = (sentence: string): ParsedLength => ({ ok: false, sentence });

const plain = (text: string): string =>
  text
    .replace(/[½¼¾⅓⅔⅛⅜⅝⅞]/g, (sign) => ` ${VULGAR[sign] ?? ''}`)
    .replace(/⁄/g, '/')
    .replace(/[\s\u00a0\u2009\u202f]+/g, ' ')
    .trim();

const splitUnit = (text: string): { readonly number: string; readonly unit: LengthUnit | null } => {
  for (const [unit, word] of UNIT_WORDS) {
    if (word.test(text)) return { number: text.replace(word, '').trim(), unit };
  }
  return { number: text, unit: null };
};

const DECIMAL = /^(?:\d+(?:[.,]\d*)?|[.,]\d+)$/;
const FRACTION = /^(?:(\d+)(?: |-| - ))?(\d+) ?\/ ?(\d+)$/;

/** The number in the text, or a sentence that says what is wrong with it. */
const readNumber = (text: string): number | string => {
  if (DECIMAL.test(text)) return Number(text.replace(',', '.'));
  const fraction = FRACTION.exec(text);
  if (fraction !== null) {
    const [, whole, top, bottom] = fraction;
    if (Number(bottom) === 0) return 'A fraction cannot have 0 below its line.';
    if (whole !== undefined && Number(top) >= Number(bottom)) {
      return `After a whole number the fraction must be less than one, as in ${whole} 1/8.`;
    }
    return Number(whole ?? 0) + Number(top) / Number(bottom);
  }
  if (/^[-−]\s*[\d.,]/.test(text)) return 'A length must be more than zero.';
  if (/\d['’]/.test(text)) return 'Feet are not understood here: type inches, millimetres or centimetres.';
  if (/^[\d.,]+$/.test(text)) {
    return 'The number has more than one decimal sign: type it with one point or comma and no grouping.';
  }
  return 'That is not a length: type something like 28.9 mm, 1.125 in or 1 1/8 in.';
};

/**
 * Reads a length as a person types it: decimals with point or comma, fractions ("9/16", "1 1/8", "1-1/8", "1⅛"), with or without a
 * unit (mm, cm, in, inch, "). A unit in the text wins over `usualUnit`; without either the text is refused, because a
 * guess would be wrong by 25.4.
 * @returns the length in mm (more than 0, at most 10 m), or one sentence that says what is wrong and what to type.
 */
export const parseLength = (text: string, usualUnit: LengthUnit | null): ParsedLength => {
  const cleaned = plain(text);
  if (cleaned === '') return refuse('Type a length, like 28.9 mm or 1 1/8 in.');
  const split = splitUnit(cleaned);
  const value = readNumber(split.number);
  if (typeof value === 'string') return refuse(value);
  const unit = split.unit ?? usualUnit;
  if (unit === null) return refuse(`Say the unit too: ${split.number} mm or ${split.number} in?`);
  const mm = value * MM_PER[unit];
  if (!(mm > 0)) return refuse('A length must be more than zero.');
  if (mm > LONGEST_MM) return refuse('That is longer than ten metres: check the number and its unit.');
  return { ok: true, mm, unit };
};
