import type { Id, Landmark, Machine, RestState, Yarn } from '../domain/records';
import { mean } from '../domain/statistics';
import { formatDecimals, perMmToPerInch } from '../domain/units';
import type { SwatchCard } from '../storage/cards';

/** A swatch as the notebook lists it, with what belongs to it. */
export interface NotebookRow {
  readonly card: SwatchCard;
  readonly yarn: Yarn | null;
  readonly machine: Machine | null;
  readonly landmark: Landmark | null;
  /** Mean of the caliper reading's repeats; null when there are none. */
  readonly readingMm: number | null;
  readonly stitchesPerInch: number | null;
  /** The day it was begun where the user is, YYYY-MM-DD. */
  readonly day: string;
  /** All words about the swatch, folded, for searching. */
  readonly searchText: string;
}

export type SortOrder = 'newest' | 'oldest' | 'fewestStitches' | 'mostStitches' | 'yarn';

/** What the list is narrowed down to; null or an empty text narrows nothing. */
export interface NotebookFilter {
  readonly words: string;
  readonly yarnId: Id | null;
  readonly machineId: Id | null;
  readonly cylinderNeedles: number | null;
  readonly restState: RestState | null;
  /** Only the finished ones, or only the unfinished. */
  readonly state: SwatchCard['state'] | null;
  readonly stitchesFrom: number | null;
  readonly stitchesTo: number | null;
  /** First and last day that count, YYYY-MM-DD. */
  readonly dayFrom: string | null;
  readonly dayTo: string | null;
  /** The deleted ones instead of the others. */
  readonly deleted: boolean;
  readonly order: SortOrder;
}

export const wholeNotebook: NotebookFilter = {
  words: '',
  yarnId: null,
  machineId: null,
  cylinderNeedles: null,
  restState: null,
  state: null,
  stitchesFrom: null,
  stitchesTo: null,
  dayFrom: null,
  dayTo: null,
  deleted: false,
  order: 'newest',
};

export const restStateNames: Readonly<Record<RestState, string>> = {
  offMachine: 'just off the machine',
  rested: 'rested',
  washedAndDried: 'washed and dried',
  worn: 'worn',
};

/** Plain letters have no accents to take off; most texts are of them, and thousands are folded at once. */
const isPlain = (text: string): boolean => /^[\0-\x7f]*$/.test(text);

/** A text without case and accents, so that "Färöer" is found by "faroer". */
export const folded = (text: string): string =>
  (isPlain(text) ? text : text.normalize('NFKD').replace(/\p{M}/gu, '')).toLowerCase();

/** The day of a moment where the user is, as YYYY-MM-DD. */
export const dayOf = (moment: string): string => {
  const date = new Date(moment);
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
};

/** The folded words of a record, made once for all the swatches that it belongs to. */
const remembered = <T extends object>(
  words: (record: T) => readonly string[],
): ((record: T | null) => string) => {
  const known = new WeakMap<T, string>();
  return (record) => {
    if (record === null) return '';
    const text = known.get(record) ?? folded(words(record).filter(Boolean).join('\n'));
    known.set(record, text);
    return text;
  };
};
const yarnText = remembered(({ name, maker, fibre, colour, lot, notes }: Yarn) => [
  name,
  maker,
  fibre,
  colour,
  lot,
  notes,
]);
const machineText = remembered(({ name, notes }: Machine) => [name, notes]);
const landmarkText = remembered(({ name }: Landmark) => [name]);

/** A card joined with what it refers to; null for what is missing. */
const toRow = (
  card: SwatchCard,
  yarn: Yarn | null,
  machine: Machine | null,
  landmark: Landmark | null,
): NotebookRow => {
  const stitchesPerInch = card.gauge && perMmToPerInch(card.gauge.walesPerMm.value);
  const day = dayOf(card.createdAt);
  const own = [
    card.cylinderNeedles !== null && `${card.cylinderNeedles} needles`,
    card.restState && restStateNames[card.restState],
    stitchesPerInch !== null && `${formatDecimals(stitchesPerInch, 1)} stitches`,
    card.state === 'draft' && 'unfinished',
    day,
    card.notes,
  ];
  return {
    card,
    yarn,
    machine,
    landmark,
    readingMm: card.readingsMm.length > 0 ? mean(card.readingsMm) : null,
    stitchesPerInch,
    day,
    searchText: [
      yarnText(yarn),
      machineText(machine),
      landmarkText(landmark),
      folded(own.filter(Boolean).join('\n')),
    ].join('\n'),
  };
};

const byId = <T extends { readonly id: Id }>(records: readonly T[]): ReadonlyMap<Id, T> =>
  new Map(records.map((record) => [record.id, record]));

/** Joins cards with what they refer to; what is missing stays null. */
export const joiner = (
  yarns: readonly Yarn[],
  machines: readonly Machine[],
  landmarks: readonly Landmark[],
): ((card: SwatchCard) => NotebookRow) => {
  const [yarnOf, machineOf, landmarkOf] = [byId(yarns), byId(machines), byId(landmarks)];
  const look = <T>(map: ReadonlyMap<Id, T>, id: Id | null): T | null =>
    (id === null ? undefined : map.get(id)) ?? null;
  return (card) =>
    toRow(
      card,
      look(yarnOf, card.yarnId),
      look(machineOf, card.machineId),
      look(landmarkOf, card.landmarkId),
    );
};

const isWithin = (value: number | null, from: number | null, to: number | null): boolean =>
  (from === null && to === null) ||
  (value !== null &&
    value >= (from ?? Number.NEGATIVE_INFINITY) &&
    value <= (to ?? Number.POSITIVE_INFINITY));

const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** The order of a list that nothing was said about. */
export const newestFirst = (a: NotebookRow, b: NotebookRow): number =>
  compareText(b.card.createdAt, a.card.createdAt) || compareText(a.card.id, b.card.id);
/** Swatches without a gauge come last either way. */
const byStitches =
  (sign: 1 | -1) =>
  (a: NotebookRow, b: NotebookRow): number => {
    if (a.stitchesPerInch === null || b.stitchesPerInch === null) {
      return Number(a.stitchesPerInch === null) - Number(b.stitchesPerInch === null) || newestFirst(a, b);
    }
    return sign * (a.stitchesPerInch - b.stitchesPerInch) || newestFirst(a, b);
  };

const names = new Intl.Collator(undefined, { numeric: true, sensitivity: 'base' });

const compareNumber = (a: number, b: number): number => (a < b ? -1 : a > b ? 1 : 0);

/** Names are compared once a yarn, not once a pair of swatches; those without a yarn come last. */
const byYarn = (rows: readonly NotebookRow[]): ((a: NotebookRow, b: NotebookRow) => number) => {
  const yarnNames = [...new Set(rows.flatMap(({ yarn }) => (yarn ? [yarn.name] : [])))].sort(names.compare);
  const place = new Map<string, number>();
  yarnNames.forEach((name, i) => {
    const before = yarnNames[i - 1];
    const isSame = before !== undefined && names.compare(before, name) === 0;
    place.set(name, isSame ? (place.get(before) ?? i) : i);
  });
  const placeOf = ({ yarn }: NotebookRow): number =>
    yarn ? (place.get(yarn.name) ?? 0) : Number.POSITIVE_INFINITY;
  return (a, b) => compareNumber(placeOf(a), placeOf(b)) || newestFirst(a, b);
};

const orders: Readonly<
  Record<SortOrder, (rows: readonly NotebookRow[]) => (a: NotebookRow, b: NotebookRow) => number>
> = {
  newest: () => newestFirst,
  oldest: () => (a, b) => -newestFirst(a, b),
  fewestStitches: () => byStitches(1),
  mostStitches: () => byStitches(-1),
  yarn: byYarn,
};

/** All rows in an order, put in it once for as long as they stay the same. */
const ordered = new WeakMap<readonly NotebookRow[], Map<SortOrder, readonly NotebookRow[]>>();
const inOrder = (rows: readonly NotebookRow[], order: SortOrder): readonly NotebookRow[] => {
  const known = ordered.get(rows) ?? new Map<SortOrder, readonly NotebookRow[]>();
  ordered.set(rows, known);
  const sorted = known.get(order) ?? [...rows].sort(orders[order](rows));
  known.set(order, sorted);
  return sorted;
};

/** The rows that a filter leaves, in its order. Every word must occur, anywhere and in any order. */
export const filterRows = (rows: readonly NotebookRow[], filter: NotebookFilter): NotebookRow[] => {
  const words = folded(filter.words).split(/\s+/).filter(Boolean);
  const same = <T>(wanted: T | null, value: T | null): boolean => wanted === null || wanted === value;
  return inOrder(rows, filter.order).filter(
    ({ card, stitchesPerInch, day, searchText }) =>
      (card.deletedAt !== null) === filter.deleted &&
      same(filter.yarnId, card.yarnId) &&
      same(filter.machineId, card.machineId) &&
      same(filter.cylinderNeedles, card.cylinderNeedles) &&
      same(filter.restState, card.restState) &&
      same(filter.state, card.state) &&
      isWithin(stitchesPerInch, filter.stitchesFrom, filter.stitchesTo) &&
      (filter.dayFrom === null || day >= filter.dayFrom) &&
      (filter.dayTo === null || day <= filter.dayTo) &&
      words.every((word) => searchText.includes(word)),
  );
};
