import type { GaugeSummary, Yarn } from '../../domain/records';
import { formatDecimals, formatLength, formatUncertain, uncertainPerInch } from '../../domain/units';
import { type NotebookRow, restStateNames } from '../../store/notebookRows';

/** "8.08 ± 0.06 × 11.0 ± 0.1": stitches by rows, per inch. */
export const gaugeWords = (gauge: GaugeSummary | null): string => {
  if (!gauge) return 'No gauge yet';
  const [stitches, rows] = [uncertainPerInch(gauge.walesPerMm), uncertainPerInch(gauge.coursesPerMm)].map(
    ({ value, plusMinus95 }) => formatUncertain(value, plusMinus95),
  );
  return `${stitches} × ${rows}`;
};

/** The same for reading aloud. */
export const gaugeSpoken = (gauge: GaugeSummary | null): string => {
  if (!gauge) return 'no gauge yet';
  const stitches = uncertainPerInch(gauge.walesPerMm);
  const rows = uncertainPerInch(gauge.coursesPerMm);
  return `${formatUncertain(stitches.value, stitches.plusMinus95)} stitches and ${formatUncertain(rows.value, rows.plusMinus95)} rows per inch`;
};

/** Yarn, machine and needles, as far as they are known. */
export const belongings = ({ yarn, machine, card }: NotebookRow): string =>
  [
    yarn ? [yarn.name, yarn.colour].filter(Boolean).join(', ') : 'No yarn named',
    machine?.name,
    card.cylinderNeedles !== null && `${card.cylinderNeedles} needles`,
  ]
    .filter(Boolean)
    .join(' · ');

/** Reading, rest state and date, as far as they are known. */
export const circumstances = ({ card, readingMm }: NotebookRow): string =>
  [
    readingMm !== null && `caliper ${formatLength(readingMm, card.readingUnit ?? 'mm')}`,
    card.restState && restStateNames[card.restState],
    new Date(card.createdAt).toLocaleDateString(undefined, { dateStyle: 'medium' }),
  ]
    .filter(Boolean)
    .join(' · ');

/** How long ago something was, in whole days. */
export const daysAgo = (moment: string, now = Date.now()): string => {
  const days = Math.floor((now - Date.parse(moment)) / 86_400_000);
  if (days < 1) return 'today';
  return days === 1 ? 'yesterday' : `${days} days ago`;
};

/** A size for reading: bytes as kB, MB or GB. */
export const sizeWords = (bytes: number): string => {
  const [unit, by] = bytes < 1e6 ? ['kB', 1e3] : bytes < 1e9 ? ['MB', 1e6] : ['GB', 1e9];
  const value = bytes / Number(by);
  return `${value.toFixed(value < 10 ? 1 : 0)} ${unit}`;
};

/** What is known of a yarn besides its name. */
export const yarnFacts = (yarn: Yarn): string =>
  [yarn.colour, yarn.fibre, yarn.maker, yarn.tex !== null && `${formatDecimals(yarn.tex, 0)} tex`]
    .filter(Boolean)
    .join(', ');

/** "no swatches", "1 swatch", "12 swatches". */
export const countWords = (count: number): string =>
  count === 0 ? 'no swatches' : count === 1 ? '1 swatch' : `${count} swatches`;
