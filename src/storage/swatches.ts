import type { Measurement } from '../domain/measurement';
import type { Id, Swatch } from '../domain/records';
import { type SwatchCard, toCard } from './cards';
import type { Database, SwatchRow } from './database';
import { newId, now } from './ids';

/** What became of a swatch that was to be stored. */
export type WriteOutcome =
  | { readonly kind: 'stored'; readonly swatch: Swatch; readonly revision: number }
  /** Another window had changed it meanwhile: both are kept, this one under a new id. */
  | {
      readonly kind: 'copied';
      readonly swatch: Swatch;
      readonly revision: number;
      readonly sentence: string;
    };

/** What a window knows of the stored row when it writes. */
export interface WriteContext {
  /** The window that writes. */
  readonly writer: Id;
  /** The revision that its version started from; undefined when it never read the row. */
  readonly knownRevision: number | undefined;
  /** The measurement that is surely stored already, so that it need not be written again; undefined when unsure. */
  readonly storedMeasurement: Measurement | null | undefined;
}

export const keptBothSentence =
  'This swatch was changed in another window as well; both are kept, and what you have here is now a copy of its own.';

/** The tables that a swatch is spread over. */
export const swatchTables = (database: Database) => [
  database.swatches,
  database.cards,
  database.measurements,
];

/** Puts one swatch into all its tables; to be called inside a transaction over `swatchTables`. */
export const putSwatch = async (
  database: Database,
  swatch: Swatch,
  revision: number,
  writer: Id,
  storedMeasurement?: Measurement | null,
): Promise<void> => {
  const { measurement, ...rest } = swatch;
  await database.swatches.put({ ...rest, revision, writer });
  await database.cards.put(toCard(rest));
  if (measurement === storedMeasurement) return;
  if (measurement) await database.measurements.put({ swatchId: swatch.id, measurement });
  else await database.measurements.delete(swatch.id);
};

/**
 * Stores a swatch unless somebody else wrote it since the known revision was read; then it becomes a copy, so that neither
 * version is lost. A row that this same window wrote last is never in conflict.
 */
export const writeSwatch = (
  database: Database,
  swatch: Swatch,
  { writer, knownRevision, storedMeasurement }: WriteContext,
): PromiseLike<WriteOutcome> =>
  database.transaction('rw', swatchTables(database), async () => {
    const row = await database.swatches.get(swatch.id);
    const stamped: Swatch = { ...swatch, updatedAt: now() };
    if (row === undefined || row.writer === writer || row.revision === knownRevision) {
      const revision = (row?.revision ?? 0) + 1;
      await putSwatch(database, stamped, revision, writer, row && storedMeasurement);
      return { kind: 'stored', swatch: stamped, revision };
    }
    const copy: Swatch = { ...stamped, id: newId(), copiedFrom: swatch.id };
    await putSwatch(database, copy, 1, writer);
    return { kind: 'copied', swatch: copy, revision: 1, sentence: keptBothSentence };
  });

/** A stored row and its measurement as the swatch they are. */
export const toSwatch = (row: SwatchRow, measurement: Measurement | null): Swatch => {
  const { revision: _revision, writer: _writer, ...rest } = row;
  return { ...rest, measurement };
};

/** A swatch with the revision it was read at; undefined when there is none of that id. */
export const readSwatch = (
  database: Database,
  id: Id,
): PromiseLike<{ swatch: Swatch; revision: number } | undefined> =>
  database.transaction('r', database.swatches, database.measurements, async () => {
    const row = await database.swatches.get(id);
    const found = await database.measurements.get(id);
    return row && { swatch: toSwatch(row, found?.measurement ?? null), revision: row.revision };
  });

/** The id of the draft that was worked on last, or undefined when there is none. */
export const latestDraftId = async (database: Database): Promise<Id | undefined> => {
  const drafts = await database.swatches.where('state').equals('draft').toArray();
  return drafts
    .filter((draft) => draft.deletedAt === null)
    .sort((a, b) => b.updatedAt.localeCompare(a.updatedAt))[0]?.id;
};

/** Cards of all swatches, drafts and deleted ones too; the caller picks. */
export const readCards = (database: Database): PromiseLike<SwatchCard[]> => database.cards.toArray();

/** Cards by id; undefined where there is none (any more). */
export const readCardsOf = (
  database: Database,
  ids: readonly Id[],
): PromiseLike<(SwatchCard | undefined)[]> => database.cards.bulkGet([...ids]);

/** Cards that are unpacked in one go: few enough that the page answers in between. */
const CARDS_A_PART = 1_000;

/** Cards of all swatches as they are at one moment, part by part in no order that matters. */
export const readCardsInParts = (
  database: Database,
  onPart: (cards: readonly SwatchCard[]) => void,
): PromiseLike<void> =>
  database.transaction('r', database.cards, async () => {
    let last = '';
    for (;;) {
      const part = await database.cards.where('id').above(last).limit(CARDS_A_PART).toArray();
      onPart(part);
      const end = part.at(-1);
      if (!end || part.length < CARDS_A_PART) return;
      last = end.id;
    }
  });

/**
 * Cards of the swatches begun last, newest first. A list read backwards comes one card at a time, so the place where to begin is looked
 * up first and the cards are then read forwards, all at once.
 */
export const readNewestCards = (database: Database, count: number): PromiseLike<SwatchCard[]> =>
  database.transaction('r', database.cards, async () => {
    const begins = await database.cards
      .orderBy('createdAt')
      .reverse()
      .offset(count - 1)
      .limit(1)
      .keys();
    const [from] = begins;
    const found =
      from === undefined
        ? await database.cards.orderBy('createdAt').toArray()
        : await database.cards.where('createdAt').aboveOrEqual(from).toArray();
    return found.reverse().slice(0, count);
  });

/** Marks a swatch as deleted, or (with null) as no longer deleted. Nothing happens when there is none of that id. */
export const markDeleted = (
  database: Database,
  id: Id,
  writer: Id,
  deletedAt: string | null,
): PromiseLike<void> =>
  database.transaction('rw', database.swatches, database.cards, async () => {
    const row = await database.swatches.get(id);
    if (!row) return;
    await database.swatches.put({ ...row, deletedAt, revision: row.revision + 1, writer });
    await database.cards.update(id, { deletedAt });
  });

/**
 * Removes for good what was deleted before `moment`, with the photos that no other swatch uses.
 * @returns how many swatches went.
 */
export const purgeDeleted = (database: Database, moment: string): PromiseLike<number> =>
  database.transaction('rw', [...swatchTables(database), database.photos, database.thumbnails], async () => {
    const gone = await database.cards.where('deletedAt').below(moment).toArray();
    const ids = gone.map((card) => card.id);
    for (const table of swatchTables(database)) await table.bulkDelete(ids);
    for (const { photoId } of gone) {
      if (photoId === null || (await database.swatches.where('photoId').equals(photoId).count()) > 0)
        continue;
      await database.photos.delete(photoId);
      await database.thumbnails.delete(photoId);
    }
    return gone.length;
  });
