import type { Id, Photo } from '../domain/records';
import type { Database } from './database';

/** Stores a photo byte for byte, and its thumbnail if it has one, in one transaction. */
export const writePhoto = (database: Database, photo: Photo): PromiseLike<void> =>
  database.transaction('rw', database.photos, database.thumbnails, async () => {
    const { thumbnail, ...row } = photo;
    await database.photos.put(row);
    if (thumbnail) await database.thumbnails.put({ photoId: photo.id, ...thumbnail });
    else await database.thumbnails.delete(photo.id);
  });

/** Stores or replaces the thumbnail of a photo alone. */
export const writeThumbnail = async (
  database: Database,
  photoId: Id,
  thumbnail: NonNullable<Photo['thumbnail']>,
): Promise<void> => {
  await database.thumbnails.put({ photoId, ...thumbnail });
};

/** A photo with its thumbnail; undefined when there is none of that id. */
export const readPhoto = (database: Database, id: Id): PromiseLike<Photo | undefined> =>
  database.transaction('r', database.photos, database.thumbnails, async () => {
    const row = await database.photos.get(id);
    return row && { ...row, thumbnail: (await readThumbnail(database, id)) ?? null };
  });

/** The small picture of a photo; undefined when there is none. */
export const readThumbnail = async (
  database: Database,
  photoId: Id,
): Promise<NonNullable<Photo['thumbnail']> | undefined> => {
  const row = await database.thumbnails.get(photoId);
  return row && { mime: row.mime, bytes: row.bytes };
};

/** The small pictures of several photos, by photo id; those that have none are left out. */
export const readThumbnails = async (
  database: Database,
  photoIds: readonly Id[],
): Promise<ReadonlyMap<Id, NonNullable<Photo['thumbnail']>>> => {
  const rows = await database.thumbnails.bulkGet([...photoIds]);
  return new Map(
    rows.filter((row) => row !== undefined).map(({ photoId, mime, bytes }) => [photoId, { mime, bytes }]),
  );
};

/** The photos that yarns, machines and landmarks show. */
export const photosOfRecords = async (database: Database): Promise<Set<Id>> => {
  const tables = [database.yarns, database.machines, database.landmarks];
  const rows = (await Promise.all(tables.map((table) => table.toArray()))).flat();
  return new Set(rows.map((row) => ('photoId' in row ? row.photoId : null)).filter((id) => id != null));
};
