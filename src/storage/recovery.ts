import type { Database } from './database';
import type { Journal, UnsavedSwatch } from './journal';
import { readSwatch, writeSwatch } from './swatches';

const recoverOne = async (database: Database, entry: UnsavedSwatch): Promise<boolean> => {
  const row = await database.swatches.get(entry.swatch.id);
  if (row && row.writer === entry.writer && row.updatedAt > entry.at) return false;
  const stored = entry.withoutMeasurement ? await readSwatch(database, entry.swatch.id) : undefined;
  const swatch = stored ? { ...entry.swatch, measurement: stored.swatch.measurement } : entry.swatch;
  await writeSwatch(database, swatch, {
    writer: entry.writer,
    knownRevision: entry.knownRevision ?? undefined,
    storedMeasurement: undefined,
  });
  return true;
};

/**
 * Stores what closed windows left in the journal, each under the name of the window that wrote it, and empties the journal.
 * @returns how many swatches were brought up to date.
 */
export const recoverUnsaved = async (database: Database, journal: Journal): Promise<number> => {
  let recovered = 0;
  for (const entry of journal.read()) {
    if (await recoverOne(database, entry)) recovered += 1;
    journal.forget(entry);
  }
  return recovered;
};
