import type { Id, Swatch } from '../../domain/records';
import type { Database } from '../database';
import { newId, now } from '../ids';
import { writePhoto } from '../photos';
import { putSwatch, readSwatch, swatchTables } from '../swatches';
import { ArchiveError, stopIfCancelled } from './archiveError';
import { type ImportItem, type ImportPlan, simpleKinds } from './plan';
import { sameJson } from './sameJson';
import { sha256 } from './sha256';
import { beginImport, endImport, whileImporting } from './unfinishedImport';

/** What to do with a record that differs; a copy beside the one here is possible for swatches only. */
export type Decision = 'keepHere' | 'takeArchive' | 'keepBoth';

export interface ApplyOptions {
  /** Asked for every changed record. */
  readonly decide: (item: ImportItem) => Decision;
  readonly signal?: AbortSignal;
  /** Told after each photo. */
  readonly onProgress?: (done: number, of: number) => void;
}

export interface ImportResult {
  readonly added: number;
  readonly replaced: number;
  readonly copied: number;
  readonly leftAlone: number;
}

interface Step {
  readonly item: ImportItem;
  readonly action: 'add' | 'replace' | 'copy' | 'leave';
}

const stepOf = (item: ImportItem, decide: ApplyOptions['decide']): Step => {
  if (item.state === 'added') return { item, action: 'add' };
  if (item.state === 'same') return { item, action: 'leave' };
  const decision = decide(item);
  if (decision === 'keepBoth' && item.kind !== 'swatch') {
    throw new RangeError('Only a swatch can be kept in two versions.');
  }
  return {
    item,
    action: decision === 'takeArchive' ? 'replace' : decision === 'keepBoth' ? 'copy' : 'leave',
  };
};

/** Where a photo of the archive goes: nowhere when the notebook has that very photo, under a new id when it has another one. */
const placeOf = async (database: Database, id: Id, sum: string): Promise<{ id: Id; isNew: boolean }> => {
  const here = await database.photos.get(id);
  if (here === undefined) return { id, isNew: true };
  return (await sha256(here.bytes)) === sum ? { id, isNew: false } : { id: newId(), isNew: true };
};

/** The photo that a record shows: swatches, yarns, machines and landmarks may have one. */
const photoIdOf = (record: object): Id | null =>
  ('photoId' in record ? (record.photoId as Id | null) : null) ?? null;

/** The record with the photo that it has in the notebook. */
const withPlacedPhoto = <T extends object>(record: T, placed: ReadonlyMap<Id, Id>): T => {
  const photoId = photoIdOf(record);
  return photoId === null ? record : { ...record, photoId: placed.get(photoId) ?? photoId };
};

/**
 * Stores the photos that the steps need, one at a time; nothing refers to them yet.
 * @returns the id in the notebook for each photo id of the archive.
 */
const stagePhotos = async (
  database: Database,
  { contents }: ImportPlan,
  steps: readonly Step[],
  options: ApplyOptions,
): Promise<Map<Id, Id>> => {
  const wanted = new Set(
    steps.filter(({ action }) => action !== 'leave').map(({ item }) => photoIdOf(item.there)),
  );
  const entries = contents.photos.filter(({ id }) => wanted.has(id));
  const places = new Map<Id, { id: Id; isNew: boolean }>();
  for (const entry of entries) {
    places.set(entry.id, await placeOf(database, entry.id, contents.photoSha256(entry)));
  }
  await beginImport(
    database,
    [...places.values()].filter(({ isNew }) => isNew).map(({ id }) => id),
  );
  let done = 0;
  for (const entry of entries) {
    stopIfCancelled(options.signal);
    const place = places.get(entry.id);
    if (place?.isNew) await writePhoto(database, { ...(await contents.readPhoto(entry)), id: place.id });
    done += 1;
    options.onProgress?.(done, entries.length);
  }
  return new Map([...places].map(([id, place]) => [id, place.id]));
};

const changedMeanwhile = (): ArchiveError =>
  new ArchiveError(
    'changedMeanwhile',
    'The notebook was changed in another window meanwhile, so nothing was taken from the archive: open the archive again.',
  );

/** Writes all records in one transaction, after making sure that the notebook still is as it was when the plan was made. */
const writeRecords = (
  database: Database,
  plan: ImportPlan,
  steps: readonly Step[],
  placed: ReadonlyMap<Id, Id>,
): PromiseLike<void> => {
  const kinds = simpleKinds(database, plan.contents);
  const tables = [...swatchTables(database), ...kinds.map(({ table }) => table), database.meta];
  const writer = `archive-${newId()}`;
  return database.transaction('rw', tables, async () => {
    for (const { item, action } of steps) {
      if (action === 'leave') continue;
      const kind = kinds.find((candidate) => candidate.kind === item.kind);
      if (kind) {
        if (!sameJson((await kind.table.get(item.id)) ?? null, item.here)) throw changedMeanwhile();
        await kind.table.put(withPlacedPhoto(item.there, placed));
        continue;
      }
      const current = await readSwatch(database, item.id);
      if (!sameJson(current?.swatch ?? null, item.here)) throw changedMeanwhile();
      const there = item.there as Swatch;
      const swatch = withPlacedPhoto(there, placed);
      if (action === 'copy') {
        await putSwatch(
          database,
          { ...swatch, id: newId(), copiedFrom: there.id, updatedAt: now() },
          1,
          writer,
        );
      } else await putSwatch(database, swatch, (current?.revision ?? 0) + 1, writer);
    }
    await endImport(database);
  });
};

/**
 * Takes what an archive holds into the notebook, all or nothing: photos first, which nothing refers to yet, then every record
 * in one transaction. When it is cut short at any moment, the next start removes the photos again.
 * @throws ArchiveError when cancelled or when the notebook changed since the plan was made.
 */
export const applyImport = (
  database: Database,
  plan: ImportPlan,
  options: ApplyOptions,
): Promise<ImportResult> =>
  whileImporting(database, async () => {
    const steps = plan.items.map((item) => stepOf(item, options.decide));
    const placed = await stagePhotos(database, plan, steps, options);
    stopIfCancelled(options.signal);
    await writeRecords(database, plan, steps, placed);
    const count = (action: Step['action']): number => steps.filter((step) => step.action === action).length;
    return {
      added: count('add'),
      replaced: count('replace'),
      copied: count('copy'),
      leftAlone: count('leave'),
    };
  });
