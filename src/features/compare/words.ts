import { restStateWords } from '../../domain/camFitRecords';
import type { Uncertain } from '../../domain/gauge';
import {
  formatDecimals,
  formatJudged,
  formatUncertain,
  MM_PER_INCH,
  scaleUncertain,
} from '../../domain/units';
import type { SideReading } from '../../store/compareReading';
import type { LengthUnit } from './stage/Ruler';

/** "8.08 ± 0.06". */
export const shown = ({ value, plusMinus95 }: Uncertain): string => formatUncertain(value, plusMinus95);

/** A difference beside its verdict: "0.62 ± 0.58". */
export const judged = ({ value, plusMinus95 }: Uncertain): string => formatJudged(value, plusMinus95);

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

/** Rest state and day, to tell two swatches of one yarn apart. */
export const subtitleOf = ({ swatch }: SideReading): string =>
  [
    swatch.restState && restStateWords(swatch.restState),
    new Date(swatch.createdAt).toLocaleDateString(undefined, { dateStyle: 'medium' }),
  ]
    .filter(Boolean)
    .join(' · ');

/** A share as per cent without ±. */
export const percent = (share: number): string => `${formatDecimals(share * 100, 1)} %`;
