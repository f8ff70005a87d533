import type { CamRecord } from '../../domain/camFitRecords';
import { restStateWords } from '../../domain/camFitRecords';
import { parseLength } from '../../domain/lengthText';
import type { CaliperReading, Id, Landmark, Yarn } from '../../domain/records';
import type { NutDirection } from '../../domain/turns';
import { pitchFromThreadsPerInch } from '../../domain/turns';
import {
  decimalsFor,
  formatDecimals,
  formatLength,
  formatUncertain,
  formatUncertainLength,
  MM_PER_INCH,
} from '../../domain/units';
import { jawNames } from '../../ui/fields/jaws';

type Unit = CaliperReading['unit'];

/** The two ways of turning the nut, by name. */
export const directionNames: readonly (readonly [NutDirection, string])[] = [
  ['clockwise', 'Clockwise ↻'],
  ['anticlockwise', 'Anticlockwise ↺'],
];

/** ± at 95 % over a standard uncertainty that is well known. */
export const NORMAL_95 = 1.96;

/** A length with its ± in the unit asked for: "28.91 ± 0.05 mm". */
export const lengthWords = (mm: number, plusMinusMm: number, unit: Unit): string =>
  formatUncertainLength(mm, plusMinusMm, unit);

/** The ends of a range of lengths, as fine as the range deserves: "28.3 to 28.9 mm". */
export const rangeWords = (fromMm: number, toMm: number, unit: Unit): string => {
  const by = unit === 'in' ? MM_PER_INCH : 1;
  const decimals = Math.max(0, decimalsFor(Math.abs(toMm - fromMm) / 2 / by));
  return `${formatDecimals(fromMm / by, decimals)} to ${formatDecimals(toMm / by, decimals)} ${unit}`;
};

/** A tolerance, as fine as it deserves: "0.07 mm". */
export const toleranceWords = (mm: number, unit: Unit): string => {
  const by = unit === 'in' ? MM_PER_INCH : 1;
  return `${formatDecimals(mm / by, Math.max(0, decimalsFor(mm / by)))} ${unit}`;
};

/** A unit for the middle of a sentence, where "in" would be taken for the word. */
export const unitWords: Readonly<Record<Unit, string>> = { mm: 'millimetres', in: 'inches' };

/** What the caliper showed, repeats and all: "28.90, 28.92, 28.91 mm". */
export const typedWords = ({ repeats, unit }: CaliperReading): string =>
  repeats.length === 0 ? 'nothing' : `${repeats.map(({ typed }) => typed).join(', ')} ${unit}`;

/** "cam top to plate (depth rod)". */
export const landmarkWords = ({ name, jaw }: Pick<Landmark, 'name' | 'jaw'>): string =>
  `${name} (${jawNames[jaw].toLowerCase()})`;

/** A yarn's name and colour; a sentence's worth when it is gone. */
export const yarnName = (yarns: readonly Yarn[], id: Id | null): string => {
  const yarn = yarns.find((one) => one.id === id);
  return yarn ? [yarn.name, yarn.colour].filter(Boolean).join(', ') : 'a yarn without a name';
};

/** Stitches or rows per inch of a size in mm. */
export const perInch = (pitchMm: number): number => MM_PER_INCH / pitchMm;

/** "8.08 ± 0.06 × 11.0 ± 0.1 per inch" of a swatch that takes part in a fit. */
export const recordGauge = (record: CamRecord): string => {
  const shown = (pitchMm: number, u: number): string =>
    formatUncertain(perInch(pitchMm), (NORMAL_95 * u * MM_PER_INCH) / pitchMm ** 2);
  return `${shown(record.walePitchMm, record.uWalePitchMm)} × ${shown(record.coursePitchMm, record.uCoursePitchMm)} per inch`;
};

/** Reading and rest state of a swatch that takes part in a fit. */
export const recordSetting = (record: CamRecord, unit: Unit): string =>
  `${formatLength(record.readingMm, unit)} · ${restStateWords(record.restState)}`;

/** A day for reading. */
export const dayWords = (moment: string): string =>
  new Date(moment).toLocaleDateString(undefined, { dateStyle: 'medium' });

/** A typed thread pitch in mm ("0.8 mm", "32 per inch"); null for nothing typed, or a sentence. */
export const parsePitch = (text: string): { readonly mm: number | null } | { readonly sentence: string } => {
  if (text.trim() === '') return { mm: null };
  const threads =
    /^(\d+(?:[.,]\d+)?)\s*(?:threads?|turns?)?\s*(?:per|\/|to the|an|to an)\s*(?:in|inch)$/i.exec(
      text.trim(),
    );
  if (threads) {
    const count = Number((threads[1] ?? '').replace(',', '.'));
    return count > 0
      ? { mm: pitchFromThreadsPerInch(count) }
      : { sentence: 'A thread has more than no turns to the inch: check the number.' };
  }
  const parsed = parseLength(text, null);
  if (!parsed.ok) {
    return { sentence: 'Type the pitch with its unit, such as 0.8 mm, or turns as in 32 per inch.' };
  }
  return parsed.mm <= 10
    ? { mm: parsed.mm }
    : { sentence: 'No nut moves the cam by more than 10 mm a turn: check the number and its unit.' };
};

/** A typed count of turns ("1", "1 1/4", "¾", "0,5"), or a sentence. */
export const parseTurns = (text: string): { readonly turns: number } | { readonly sentence: string } => {
  // The same ways of writing a number serve for lengths; the unit does not matter here.
  const parsed = parseLength(text.replace(/\s*turns?$/i, ''), 'mm');
  if (!parsed.ok || parsed.unit !== 'mm' || /mm/i.test(text)) {
    return { sentence: 'Type how many turns, such as 1, 1 1/4 or 0.5.' };
  }
  return parsed.mm <= 30
    ? { turns: parsed.mm }
    : { sentence: 'That is more than thirty turns: check the number.' };
};
