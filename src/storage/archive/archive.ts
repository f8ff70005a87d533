import { toStorageError } from '../errors';
import { now } from '../ids';
import type { Storage } from '../repository';
import { type ApplyOptions, applyImport, type ImportResult } from './apply';
import { ArchiveError } from './archiveError';
import { type PackedArchive, type PackOptions, packArchive } from './pack';
import { type ImportPlan, planImport } from './plan';
import { type ReadOptions, readArchive } from './read';

const lastArchiveKey = 'lastArchive';

/** Any failure as one that carries a sentence. */
const withSentence = async <T>(work: () => PromiseLike<T>): Promise<T> => {
  try {
    return await work();
  } catch (error) {
    throw error instanceof ArchiveError ? error : toStorageError(error);
  }
};

/**
 * One file with everything in the notebook, or with a selection of swatches and what belongs to them.
 * @throws ArchiveError or StorageError, each with a sentence.
 */
export const makeArchive = (storage: Storage, options: PackOptions = {}): Promise<PackedArchive> =>
  withSentence(async () => {
    await storage.flush();
    return await packArchive(storage.database, options);
  });

/** Remembers that a whole archive has just been handed to the user. */
export const noteArchived = (storage: Storage): Promise<void> => storage.setMeta(lastArchiveKey, now());

/** When the last whole archive was made; null when there never was one. */
export const lastArchived = async (storage: Storage): Promise<string | null> => {
  const value = await storage.getMeta(lastArchiveKey);
  return typeof value === 'string' ? value : null;
};

/**
 * Checks all of an archive and compares it with the notebook; changes nothing.
 * @throws ArchiveError or StorageError, each with a sentence.
 */
export const openArchive = (storage: Storage, file: Blob, options: ReadOptions = {}): Promise<ImportPlan> =>
  withSentence(async () => {
    const contents = await readArchive(file, options);
    await storage.flush();
    return await planImport(storage.database, contents);
  });

/**
 * Takes the archive in, all or nothing.
 * @throws ArchiveError or StorageError, each with a sentence; then nothing was changed.
 */
export const takeIn = (storage: Storage, plan: ImportPlan, options: ApplyOptions): Promise<ImportResult> =>
  withSentence(() => applyImport(storage.database, plan, options));
