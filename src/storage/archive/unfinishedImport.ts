import type { Id } from '../../domain/records';
import type { Database } from '../database';
import { photosOfRecords } from '../photos';

const key = 'unfinishedImport';

interface Unfinished {
  readonly photoIds: readonly Id[];
}

const read = async (database: Database): Promise<Unfinished> => {
  const value = (await database.meta.get(key))?.value as Unfinished | undefined;
  return value ?? { photoIds: [] };
};

/** Notes which photos are about to be stored that nothing refers to yet. */
export const beginImport = async (database: Database, photoIds: readonly Id[]): Promise<void> => {
  await database.meta.put({ key, value: { photoIds } satisfies Unfinished });
};

/** Notes that the photos are referred to now; part of the transaction that writes the records. */
export const endImport = async (database: Database): Promise<void> => {
  await database.meta.delete(key);
};

/** The photos, and everything that may refer to one. */
const photoTables = (database: Database) => [
  database.photos,
  database.thumbnails,
  database.swatches,
  database.yarns,
  database.machines,
  database.landmarks,
];

/** Removes the photos of an import that never came to its end, but for those that something refers to after all. */
const undoUnfinished = (database: Database): PromiseLike<void> =>
  database.transaction('rw', [...photoTables(database), database.meta], async () => {
    const shown = await photosOfRecords(database);
    for (const id of (await read(database)).photoIds) {
      if (shown.has(id) || (await database.swatches.where('photoId').equals(id).count()) > 0) continue;
      await database.photos.delete(id);
      await database.thumbnails.delete(id);
    }
    await database.meta.delete(key);
  });

const withLock = async <T>(database: Database, work: () => Promise<T>): Promise<T> => {
  const { locks } = globalThis.navigator ?? {};
  return locks ? await locks.request(`${database.name}.import`, work) : await work();
};

/** Runs an import, one at a time over all windows, and takes its photos out again when it fails. */
export const whileImporting = <T>(database: Database, work: () => Promise<T>): Promise<T> =>
  withLock(database, async () => {
    await undoUnfinished(database);
    try {
      return await work();
    } catch (error) {
      await undoUnfinished(database);
      throw error;
    }
  });

/** Removes photos stored before `moment` that nothing refers to: ones that were replaced before they were saved. */
const removeLoosePhotos = (database: Database, moment: string): PromiseLike<void> =>
  database.transaction('rw', photoTables(database), async () => {
    const shown = await photosOfRecords(database);
    const used = new Set([
      ...(await database.swatches.orderBy('photoId').uniqueKeys()).map(String),
      ...shown,
    ]);
    for (const id of await database.photos.toCollection().primaryKeys()) {
      if (used.has(id)) continue;
      const photo = await database.photos.get(id);
      if (photo === undefined || photo.createdAt >= moment) continue;
      await database.photos.delete(id);
      await database.thumbnails.delete(id);
    }
  });

/**
 * Cleans up after an import that was cut short, and removes loose photos from before `moment`; does nothing while an import runs
 * in some window.
 */
export const tidyPhotos = async (database: Database, moment: string): Promise<void> => {
  const { locks } = globalThis.navigator ?? {};
  if (!locks) return;
  await locks.request(`${database.name}.import`, { ifAvailable: true }, async (lock) => {
    if (!lock) return;
    await undoUnfinished(database);
    await removeLoosePhotos(database, moment);
  });
};
