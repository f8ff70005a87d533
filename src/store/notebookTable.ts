import type { CaliperReading } from '../domain/records';
import { perMmToPer10Cm, perMmToPerInch } from '../domain/units';
import type { CsvCell } from '../storage/csv';
import { dayOf, type NotebookRow, restStateNames } from './notebookRows';

type Column = readonly [head: string, cell: (row: NotebookRow) => CsvCell];

const rounded = (value: number | undefined, decimals: number): number | null =>
  value === undefined ? null : Number(value.toFixed(decimals));

const jaws: Readonly<Record<'outside' | 'inside' | 'depth', string>> = {
  outside: 'outside jaws',
  inside: 'inside jaws',
  depth: 'depth rod',
};

const units: Readonly<Record<CaliperReading['unit'], string>> = { mm: 'mm', in: 'inch' };

const columns: readonly Column[] = [
  ['date', ({ card }) => dayOf(card.createdAt)],
  ['state', ({ card }) => (card.state === 'draft' ? 'unfinished' : 'saved')],
  ['yarn', ({ yarn }) => yarn?.name ?? null],
  ['maker', ({ yarn }) => yarn?.maker ?? null],
  ['fibre', ({ yarn }) => yarn?.fibre ?? null],
  ['colour', ({ yarn }) => yarn?.colour ?? null],
  ['lot', ({ yarn }) => yarn?.lot ?? null],
  ['tex', ({ yarn }) => yarn?.tex ?? null],
  ['machine', ({ machine }) => machine?.name ?? null],
  ['needles', ({ card }) => card.cylinderNeedles],
  ['measured between', ({ landmark }) => landmark?.name ?? null],
  ['measured with', ({ landmark }) => landmark && jaws[landmark.jaw]],
  ['caliper mm', ({ readingMm }) => rounded(readingMm ?? undefined, 3)],
  ['caliper repeats', ({ card }) => card.readingsMm.length || null],
  ['caliper read in', ({ card }) => card.readingUnit && units[card.readingUnit]],
  ['fabric', ({ card }) => card.restState && restStateNames[card.restState]],
  ['stitches per inch', ({ stitchesPerInch }) => rounded(stitchesPerInch ?? undefined, 3)],
  [
    'stitches per inch ±',
    ({ card }) => rounded(card.gauge ? perMmToPerInch(card.gauge.walesPerMm.plusMinus95) : undefined, 3),
  ],
  [
    'rows per inch',
    ({ card }) => rounded(card.gauge ? perMmToPerInch(card.gauge.coursesPerMm.value) : undefined, 3),
  ],
  [
    'rows per inch ±',
    ({ card }) => rounded(card.gauge ? perMmToPerInch(card.gauge.coursesPerMm.plusMinus95) : undefined, 3),
  ],
  [
    'stitches per 10 cm',
    ({ card }) => rounded(card.gauge ? perMmToPer10Cm(card.gauge.walesPerMm.value) : undefined, 2),
  ],
  [
    'rows per 10 cm',
    ({ card }) => rounded(card.gauge ? perMmToPer10Cm(card.gauge.coursesPerMm.value) : undefined, 2),
  ],
  ['columns counted', ({ card }) => card.gauge?.walesInWindow ?? null],
  ['rows counted', ({ card }) => card.gauge?.coursesInWindow ?? null],
  ['notes', ({ card }) => card.notes || null],
];

/** The notebook as a table: one line a swatch, numbers as numbers. */
export const toTable = (
  rows: readonly NotebookRow[],
): { readonly head: readonly string[]; readonly rows: readonly (readonly CsvCell[])[] } => ({
  head: columns.map(([head]) => head),
  rows: rows.map((row) => columns.map(([, cell]) => cell(row))),
});
