import { restStateWords } from '../../domain/camFitRecords';
import type { Uncertain } from '../../domain/gauge';
import {
  formatDecimals,
  formatJudged,
  formatLength,
  formatUncertain,
  MM_PER_INCH,
  perMmToPerInch,
  scaleUncertain,
} from '../../domain/units';
import type { SideReading } from '../../store/compareReading';
import type { LengthUnit } from './stage/Ruler';

/** "8.08 ± 0.06". */
export const shown = ({ value, plusMinus95 }: Uncertain, moreDecimals = 0): string =>
  formatUncertain(value, plusMinus95, moreDecimals);

/** A difference beside its verdict: "0.62 ± 0.58". */
export const judged = ({ value, plusMinus95 }: Uncertain, moreDecimals = 0): string =>
  formatJudged(value, plusMinus95, moreDecimals);

/** A length for reading, mm → inches or centimetres with its ±. */
export const shownLength = (mm: Uncertain, unit: LengthUnit): string =>
  `${shown(scaleUncertain(mm, unit === 'in' ? 1 / MM_PER_INCH : 0.1))} ${unit}`;

/** The same for a difference beside its verdict. */
export const judgedLength = (mm: Uncertain, unit: LengthUnit): string =>
  `${judged(scaleUncertain(mm, unit === 'in' ? 1 / MM_PER_INCH : 0.1))} ${unit}`;

/** What a swatch is called besides its letter: its yarn, otherwise its photo. */
export const titleOf = (reading: SideReading | null, fileName: string | undefined): string => {
  if (!reading) return 'Opening…';
  const { yarn } = reading;
  return yarn ? [yarn.name, yarn.colour].filter(Boolean).join(', ') : (fileName ?? 'Unnamed swatch');
};

const gaugeInShort = ({ result }: SideReading): string | null => {
  if (!result) return null;
  const { walesPerMm, coursesPerMm } = result.gauge;
  const perInch = ({ value }: Uncertain, decimals: number) => formatDecimals(perMmToPerInch(value), decimals);
  return `${perInch(walesPerMm, 2)} × ${perInch(coursesPerMm, 1)} per inch`;
};

const caliperInShort = ({ compared, swatch }: SideReading): string | null =>
  compared?.reading ? `caliper ${formatLength(compared.reading.mm, swatch.reading?.unit ?? 'mm')}` : null;

/** Gauge, caliper reading, rest state and day, to tell several swatches of one yarn apart. */
export const subtitleOf = (reading: SideReading): string =>
  [
    gaugeInShort(reading),
    caliperInShort(reading),
    reading.swatch.restState && restStateWords(reading.swatch.restState),
    new Date(reading.swatch.createdAt).toLocaleDateString(undefined, { dateStyle: 'medium' }),
  ]
    .filter(Boolean)
    .join(' · ');

/** A share as per cent without ±. */
export const percent = (share: number): string => `${formatDecimals(share * 100, 1)} %`;
