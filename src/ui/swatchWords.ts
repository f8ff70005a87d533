import type { GaugeSummary } from '../domain/records';
import { formatLength, formatUncertain, uncertainPerInch } from '../domain/units';
import { type NotebookRow, restStateNames } from '../store/notebookRows';
import { mediumDay } from './dayWords';

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
    mediumDay(card.createdAt),
  ]
    .filter(Boolean)
    .join(' · ');
