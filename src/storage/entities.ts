import type { Table } from 'dexie';
import type { Id, Landmark, Machine, NamedReference, Yarn } from '../domain/records';
import type { Database } from './database';
import { guarded } from './errors';
import { now } from './ids';

/** What became of a wish to delete something that swatches may refer to. */
export type DeleteOutcome<T> =
  | { readonly kind: 'deleted'; readonly was: T }
  | { readonly kind: 'inUse'; readonly swatches: number; readonly sentence: string };

/** Reading and writing of one kind of record that stands by itself. */
export interface Records<T> {
  /** All of them, by name. */
  readonly list: () => Promise<T[]>;
  readonly get: (id: Id) => Promise<T | undefined>;
  /** Adds or replaces; gives back what is stored now. */
  readonly save: (record: T) => Promise<T>;
  /** Refuses while anything refers to it. To undo, save what it `was`. */
  readonly remove: (id: Id) => Promise<DeleteOutcome<T> | undefined>;
}

interface Named {
  readonly id: Id;
  readonly name: string;
}

const byName = <T extends Named>(records: T[]): T[] =>
  records.sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true, sensitivity: 'base' }));

/** CRUD over one table; `usedBy` counts the swatches (deleted ones that can still come back included) that refer to a record. */
const recordsOf = <T extends Named>(
  database: Database,
  table: Table<T, Id>,
  what: string,
  usedBy: (id: Id) => PromiseLike<number>,
  stamp: (record: T) => T,
  beforeSave: () => void,
): Records<T> => ({
  list: () => guarded(async () => byName(await table.toArray())),
  get: (id) => guarded(() => table.get(id)),
  save: (record) =>
    guarded(async () => {
      beforeSave();
      const stamped = stamp(record);
      await table.put(stamped);
      return stamped;
    }),
  remove: (id) =>
    guarded(() =>
      database.transaction('rw', table, database.swatches, database.landmarks, async () => {
        const was = await table.get(id);
        if (!was) return undefined;
        const swatches = await usedBy(id);
        if (swatches > 0) {
          const sentence = `This ${what} belongs to ${swatches === 1 ? 'a swatch' : `${swatches} swatches`} (recently deleted ones count too), so it stays: give ${swatches === 1 ? 'it' : 'them'} another ${what} first.`;
          return { kind: 'inUse', swatches, sentence };
        }
        await table.delete(id);
        return { kind: 'deleted', was };
      }),
    ),
});

const touched = <T extends { readonly updatedAt: string }>(record: T): T => ({ ...record, updatedAt: now() });

export interface Entities {
  readonly yarns: Records<Yarn>;
  readonly machines: Records<Machine>;
  readonly landmarks: Records<Landmark>;
  readonly namedReferences: Records<NamedReference>;
}

/** The records that swatches refer to. `beforeSave` runs ahead of every write. */
export const createEntities = (database: Database, beforeSave: () => void): Entities => {
  const { swatches } = database;
  return {
    yarns: recordsOf(
      database,
      database.yarns,
      'yarn',
      (id) => swatches.where('yarnId').equals(id).count(),
      touched,
      beforeSave,
    ),
    machines: recordsOf(
      database,
      database.machines,
      'machine',
      (id) => swatches.where('machineId').equals(id).count(),
      touched,
      beforeSave,
    ),
    landmarks: recordsOf(
      database,
      database.landmarks,
      'pair of points',
      (id) => swatches.filter((row) => row.reading?.landmarkId === id).count(),
      touched,
      beforeSave,
    ),
    namedReferences: recordsOf(
      database,
      database.namedReferences,
      'reference',
      (id) => swatches.filter((row) => row.scale?.namedReferenceId === id).count(),
      (record) => record,
      beforeSave,
    ),
  };
};
