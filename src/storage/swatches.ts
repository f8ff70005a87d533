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

export const keptBothSentence =
  'This swatch was changed in another window as well; both are kept, and what you have here is now a copy of its own.';

const toSwatch = ({ revision: _revision, writer: _writer, ...swatch }: SwatchRow): Swatch => swatch;

/**
 * Stores a swatch unless somebody else wrote it since `knownRevision` was read; then it becomes a copy, so that neither
 * version is lost. A row that this same window wrote last is never in conflict.
 */
export const writeSwatch = (
  database: Database,
  swatch: Swatch,
  writer: Id,
  knownRevision: number | undefined,
): PromiseLike<WriteOutcome> =>
  database.transaction('rw', database.swatches, async () => {
    const row = await database.swatches.get(swatch.id);
    const stamped: Swatch = { ...swatch, updatedAt: now() };
    if (row === undefined || row.writer === writer || row.revision === knownRevision) {
      const revision = (row?.revision ?? 0) + 1;
      await database.swatches.put({ ...stamped, revision, writer });
      return { kind: 'stored', swatch: stamped, revision };
    }
    const copy: Swatch = { ...stamped, id: newId(), copiedFrom: swatch.id };
    await database.swatches.add({ ...copy, revision: 1, writer });
    return { kind: 'copied', swatch: copy, revision: 1, sentence: keptBothSentence };
  });

/** A swatch with the revision it was read at; undefined when there is none of that id. */
export const readSwatch = async (
  database: Database,
  id: Id,
): Promise<{ swatch: Swatch; revision: number } | undefined> => {
  const row = await database.swatches.get(id);
  return row && { swatch: toSwatch(row), revision: row.revision };
};

/** The id of the draft that was worked on last, or undefined when there is none. */
export const latestDraftId = async (database: Database): Promise<Id | undefined> => {
  const drafts = await database.swatches.where('state').equals('draft').toArray();
  return drafts
    .filter((draft) => draft.deletedAt === null)
    .sort((a, b) => b.updatedAt.localeCompare(a.updatedAt))[0]?.id;
};

/** Cards of all swatches, drafts and deleted ones too; the caller picks. */
export const readCards = async (database: Database): Promise<SwatchCard[]> =>
  (await database.swatches.toArray()).map(toCard);

/** Marks a swatch as deleted, or (with null) as no longer deleted. Nothing happens when there is none of that id. */
export const markDeleted = (
  database: Database,
  id: Id,
  writer: Id,
  deletedAt: string | null,
): PromiseLike<void> =>
  database.transaction('rw', database.swatches, async () => {
    const row = await database.swatches.get(id);
    if (row) await database.swatches.put({ ...row, deletedAt, revision: row.revision + 1, writer });
  });

/**
 * Removes for good what was deleted before `moment`, with the photos that no other swatch uses.
 * @returns how many swatches went.
 */
export const purgeDeleted = (database: Database, moment: string): PromiseLike<number> =>
  database.transaction('rw', database.swatches, database.photos, database.thumbnails, async () => {
    const gone = (await database.swatches.toArray()).filter(
      (row) => row.deletedAt !== null && row.deletedAt < moment,
    );
    await database.swatches.bulkDelete(gone.map((row) => row.id));
    for (const { photoId } of gone) {
      if (photoId === null || (await database.swatches.where('photoId').equals(photoId).count()) > 0)
        continue;
      await database.photos.delete(photoId);
      await database.thumbnails.delete(photoId);
    }
    return gone.length;
  });
