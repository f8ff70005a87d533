import { restStateWords } from '../../../domain/camFitRecords';
import { type Difference, verdictOf } from '../../../domain/compare';
import {
  type AbsoluteDifference,
  type AbsoluteName,
  absoluteDifference,
  absoluteQuantity,
  type ComparedSwatch,
  type RelativeName,
  relativeDifference,
  relativeQuantity,
  yarnDifference,
} from '../../../domain/compareViewTable';
import {
  decimalsFor,
  formatDecimals,
  formatJudgedPercent,
  isHalfway,
  MM_PER_INCH,
  scaleUncertain,
} from '../../../domain/units';
import type { SideReading } from '../../../store/compareReading';
import type { LengthUnit } from '../stage/Ruler';
import { judged, percent, shown } from '../words';

/** What the difference to the first comes to, in words. */
export interface Verdict {
  readonly kind: 'real' | 'open' | 'told';
  readonly text: string;
}

/** One line of the table: what it is called, what each swatch has, and how each differs from the first. */
export interface TableRow {
  readonly key: string;
  readonly label: string;
  /** Explains a row that is not plain at once; null for those that are. */
  readonly note: string | null;
  readonly values: readonly (string | null)[];
  /** One for each swatch after the first; null where it cannot be told. */
  readonly verdicts: readonly (Verdict | null)[];
}

/** A swatch that has numbers. */
export type Counted = SideReading & { readonly compared: ComparedSwatch };

const unitOf: Readonly<
  Record<LengthUnit, { readonly mm: number; readonly per: string; readonly square: string }>
> = {
  in: { mm: MM_PER_INCH, per: 'per inch', square: 'per square inch' },
  cm: { mm: 100, per: 'per 10 cm', square: 'per 10 × 10 cm' },
};

/** The difference in a quantity of which there is not more or fewer, but a higher or lower one. */
const heightVerdict = ({ relative, real }: Difference, high: string, low: string): Verdict => {
  const amount = formatJudgedPercent(Math.abs(relative.value), relative.plusMinus95);
  return real
    ? { kind: 'real', text: `${amount} ${relative.value > 0 ? high : low}: a real difference.` }
    : { kind: 'open', text: `Not told apart (${amount}): measure a larger window.` };
};

const countVerdict = (difference: Difference, noun: string): Verdict => ({
  kind: difference.real ? 'real' : 'open',
  text: verdictOf(difference, noun),
});

/** Value and ± with their unit; a degree sign stands at each of the two. */
const withUnit = (text: string, unit: string): string =>
  (unit === '°' ? `${text.replace(' ±', '° ±')}°` : `${text} ${unit}`).replace(/^-/, '−');

interface Spread {
  readonly name: AbsoluteName;
  readonly label: string;
  readonly unit: string;
  readonly factor: number;
  readonly words: readonly [string, string];
  readonly note: string | null;
}

const absoluteVerdict = (
  { difference, real }: AbsoluteDifference,
  { unit, factor, words }: Spread,
  moreDecimals: number,
): Verdict => {
  const size = scaleUncertain({ ...difference, value: Math.abs(difference.value) }, factor);
  const amount = withUnit(judged(size, moreDecimals), unit);
  return real
    ? { kind: 'real', text: `${amount} ${difference.value > 0 ? words[0] : words[1]}: a real difference.` }
    : { kind: 'open', text: `Not told apart (${amount}).` };
};

const DEGREES = 180 / Math.PI;

const relativeRow = (
  swatches: readonly Counted[],
  name: RelativeName,
  label: string,
  factor: number,
  verdict: (difference: Difference) => Verdict,
  note: string | null = null,
): TableRow => {
  const [first, ...others] = swatches;
  return {
    key: name,
    label,
    note,
    values: swatches.map(({ compared }) => {
      const quantity = relativeQuantity(name, compared, []);
      return quantity && shown(scaleUncertain(quantity.shown, factor));
    }),
    verdicts: others.map((other) => {
      const difference = first && relativeDifference(name, first.compared, other.compared);
      return difference ? verdict(difference) : null;
    }),
  };
};

const absoluteRow = (swatches: readonly Counted[], spread: Spread): TableRow => {
  const [first, ...others] = swatches;
  const values = swatches.map(({ compared }) => {
    const value = absoluteQuantity(spread.name, compared);
    return value && scaleUncertain(value, spread.factor);
  });
  // Rounded, 0.1185 and 0.137 would not be as far apart as the difference below them says.
  const moreDecimals = Number(
    values.some((value) => value && isHalfway(value.value, decimalsFor(value.plusMinus95))),
  );
  return {
    key: spread.name,
    label: spread.label,
    note: spread.note,
    values: values.map((value) => value && withUnit(shown(value, moreDecimals), spread.unit)),
    verdicts: others.map((other) => {
      const difference = first && absoluteDifference(spread.name, first.compared, other.compared);
      return difference ? absoluteVerdict(difference, spread, moreDecimals) : null;
    }),
  };
};

const told = (text: string): Verdict => ({ kind: 'told', text });

const yarnRow = (swatches: readonly Counted[]): TableRow => {
  const [first, ...others] = swatches;
  return {
    key: 'yarn',
    label: 'Yarn weight',
    note: null,
    values: swatches.map(({ yarn }) =>
      yarn?.tex
        ? `${formatDecimals(yarn.tex, 0)} tex (${formatDecimals(1e5 / yarn.tex, 0)} m per 100 g)`
        : null,
    ),
    verdicts: others.map((other) => {
      if (first?.yarn && other.yarn?.id === first.yarn.id) return told('The same yarn.');
      const difference = yarnDifference(first?.yarn?.tex ?? null, other.yarn?.tex ?? null);
      if (difference === null) return null;
      if (Math.abs(difference) < 0.0005) return told('The same weight, as typed.');
      return told(`${percent(Math.abs(difference))} ${difference > 0 ? 'heavier' : 'lighter'}, as typed.`);
    }),
  };
};

const restRow = (swatches: readonly Counted[]): TableRow => {
  const [first, ...others] = swatches;
  return {
    key: 'rest',
    label: 'Rest state',
    note: null,
    values: swatches.map(({ swatch }) =>
      swatch.restState === null ? null : restStateWords(swatch.restState),
    ),
    verdicts: others.map(({ swatch }) =>
      swatch.restState === null || first?.swatch.restState === null
        ? null
        : told(
            swatch.restState === first?.swatch.restState
              ? 'The same.'
              : 'Not the same: part of any difference is that.',
          ),
    ),
  };
};

/** All lines of the table, in the order in which they are read. */
export const tableRows = (swatches: readonly Counted[], unit: LengthUnit): readonly TableRow[] => {
  const { mm, per, square } = unitOf[unit];
  const anyInch = swatches.some(({ swatch }) => swatch.reading?.unit === 'in');
  return [
    relativeRow(swatches, 'stitches', `Stitches ${per}`, mm, (d) => countVerdict(d, 'stitches')),
    relativeRow(swatches, 'rows', `Rows ${per}`, mm, (d) => countVerdict(d, 'rows')),
    relativeRow(
      swatches,
      'ratio',
      'Rows to one stitch',
      1,
      (d) => heightVerdict(d, 'more rows to a stitch', 'fewer rows to a stitch'),
      'Needs no scale: what the mat or the camera does to both cancels.',
    ),
    relativeRow(swatches, 'density', `Stitches ${square}`, mm ** 2, (d) =>
      heightVerdict(d, 'denser', 'less dense'),
    ),
    absoluteRow(swatches, {
      name: 'rowEvenness',
      label: 'Unevenness of rows',
      unit: '%',
      factor: 100,
      words: ['more uneven', 'more even'],
      note: 'How much row heights vary, the noise of the measurement taken out.',
    }),
    absoluteRow(swatches, {
      name: 'columnEvenness',
      label: 'Unevenness of columns',
      unit: '%',
      factor: 100,
      words: ['more uneven', 'more even'],
      note: null,
    }),
    absoluteRow(swatches, {
      name: 'spirality',
      label: 'Angle of spirality',
      unit: '°',
      factor: DEGREES,
      words: ['further down to the right', 'further down to the left'],
      note: 'How far rows are off square to the columns; how the swatch was laid down counts too.',
    }),
    yarnRow(swatches),
    relativeRow(
      swatches,
      'tightness',
      'Tightness',
      1,
      (d) => heightVerdict(d, 'tighter', 'looser'),
      '√tex over the loop length in mm, the loop worked out from the stitches (Munden 1959); 1.3 to 1.5 is usual.',
    ),
    absoluteRow(swatches, {
      name: 'setting',
      label: 'Setting, by the caliper',
      unit: anyInch ? 'in' : 'mm',
      factor: anyInch ? 1 / MM_PER_INCH : 1,
      words: ['larger', 'smaller'],
      note: null,
    }),
    restRow(swatches),
  ];
};
