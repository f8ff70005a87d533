import { evaluateReading } from '../../../domain/caliper';
import type { CaliperReading, GaugeSummary, Landmark, Yarn } from '../../../domain/records';
import {
  formatDecimals,
  formatUncertain,
  formatUncertainLength,
  uncertainPer10Cm,
  uncertainPerInch,
} from '../../../domain/units';
import { yarnNumberFrom } from '../../../domain/yarn';
import { type NotebookRow, restStateNames } from '../../../store/notebookRows';
import { jawNames } from '../../../ui/fields/jaws';

/** A label and what stands beside it. */
export type CardLine = readonly [label: string, text: string];

/** What a swatch's card says, ready to be set on a page or into a picture. */
export interface CardFacts {
  readonly title: string;
  readonly yarnLine: string;
  readonly stitches: string | null;
  readonly rows: string | null;
  readonly per10Cm: string | null;
  readonly lines: readonly CardLine[];
}

const joined = (...parts: readonly (string | null | undefined | false)[]): string =>
  parts.filter(Boolean).join(', ');

/** The weight of a yarn in the ways that bands say it. */
const weightWords = (tex: number): string =>
  `${formatDecimals(tex, 0)} tex (${formatDecimals(yarnNumberFrom(tex, 'metresPer100g'), 0)} m in 100 g)`;

const yarnLine = (yarn: Yarn): string =>
  joined(yarn.maker, yarn.fibre, yarn.lot && `lot ${yarn.lot}`, yarn.tex !== null && weightWords(yarn.tex));

/** A reading with its ± in the unit it was typed in; null when nothing was read. */
export const readingWords = (reading: CaliperReading | null, jaw: Landmark['jaw'] | null): string | null => {
  if (!reading || reading.repeats.length === 0) return null;
  const { meanMm, plusMinus95Mm, count } = evaluateReading(reading, jaw ?? 'outside');
  const value = formatUncertainLength(meanMm, plusMinus95Mm, reading.unit);
  return `${value}${count > 1 ? `, mean of ${count}` : ''}`;
};

const statusWords: Readonly<Record<GaugeSummary['status'], string>> = {
  measured: '',
  proposal: 'a proposal',
  byHand: 'lines looked over by hand',
};

const countedWords = (gauge: GaugeSummary): string =>
  joined(
    `${Math.round(gauge.walesInWindow)} columns, ${Math.round(gauge.coursesInWindow)} rows`,
    statusWords[gauge.status],
  );

const shownUncertain = ({ value, plusMinus95 }: GaugeSummary['walesPerMm']): string =>
  formatUncertain(value, plusMinus95);

/** Everything that a swatch's card says, in words. */
export const cardFacts = (row: NotebookRow, reading: CaliperReading | null): CardFacts => {
  const { card, yarn, machine, landmark } = row;
  const { gauge } = card;
  const read = readingWords(reading, landmark?.jaw ?? null);
  const lines: readonly (CardLine | null)[] = [
    ['Date', new Date(card.createdAt).toLocaleDateString(undefined, { dateStyle: 'long' })],
    card.restState ? ['Fabric', restStateNames[card.restState]] : null,
    gauge ? ['Counted', countedWords(gauge)] : null,
    machine || card.cylinderNeedles !== null
      ? ['Machine', joined(machine?.name, card.cylinderNeedles !== null && `${card.cylinderNeedles} needles`)]
      : null,
    read ? ['Caliper', read] : null,
    landmark ? ['Between', joined(landmark.name, jawNames[landmark.jaw].toLowerCase())] : null,
    card.notes.trim() ? ['Notes', card.notes.trim()] : null,
  ];
  return {
    title: yarn ? joined(yarn.name, yarn.colour) : 'No yarn named',
    yarnLine: yarn ? yarnLine(yarn) : '',
    stitches: gauge && shownUncertain(uncertainPerInch(gauge.walesPerMm)),
    rows: gauge && shownUncertain(uncertainPerInch(gauge.coursesPerMm)),
    per10Cm:
      gauge &&
      `${shownUncertain(uncertainPer10Cm(gauge.walesPerMm))} stitches × ${shownUncertain(uncertainPer10Cm(gauge.coursesPerMm))} rows per 10 cm`,
    lines: lines.filter((line) => line !== null),
  };
};
