import type { Table } from 'dexie';
import {
  type CamLog,
  type LandmarkRecord,
  type MachineRecord,
  type SameSettingRecord,
  type TurnRecord,
  withLandmarkProfile,
  withProfile,
} from '../domain/machineRecords';
import type { Id, Swatch } from '../domain/records';
import type { Database } from './database';
import { guarded } from './errors';
import { now } from './ids';

/** What a machine's screens need of a swatch. */
export type MachineSwatch = Pick<
  Swatch,
  | 'id'
  | 'gauge'
  | 'yarnId'
  | 'machineId'
  | 'cylinderNeedles'
  | 'reading'
  | 'restState'
  | 'notes'
  | 'createdAt'
>;

/** Everything that belongs to one machine, oldest first. Deleted turns and pairs are left out. */
export interface MachineContents {
  readonly machine: MachineRecord;
  readonly landmarks: readonly LandmarkRecord[];
  readonly turns: readonly TurnRecord[];
  readonly sameSettings: readonly SameSettingRecord[];
  readonly camLogs: readonly CamLog[];
  /** Finished swatches that are not deleted. */
  readonly swatches: readonly MachineSwatch[];
}

/** Reading and writing of what a machine remembers. All functions reject with a `StorageError`. */
export interface MachineShelf {
  /** Null when there is no machine of that id. */
  readonly readMachine: (id: Id) => Promise<MachineContents | null>;
  /** How many finished swatches that are not deleted each of these machines has; reads no swatch. */
  readonly countSwatches: (machineIds: readonly Id[]) => Promise<ReadonlyMap<Id, number>>;
  readonly saveTurns: (record: TurnRecord) => Promise<void>;
  readonly saveSameSetting: (record: SameSettingRecord) => Promise<void>;
  readonly saveCamLog: (log: CamLog) => Promise<void>;
  /** Marks a record as deleted, or brings it back. */
  readonly markTurns: (id: Id, deleted: boolean) => Promise<void>;
  readonly markSameSetting: (id: Id, deleted: boolean) => Promise<void>;
}

const oldestFirst = <T extends { readonly createdAt: string }>(records: T[]): T[] =>
  records.sort((a, b) => a.createdAt.localeCompare(b.createdAt));

const kept = <T extends { readonly createdAt: string; readonly deletedAt: string | null }>(records: T[]) =>
  oldestFirst(records.filter(({ deletedAt }) => deletedAt === null));

const readMachine = (database: Database, id: Id): PromiseLike<MachineContents | null> =>
  database.transaction(
    'r',
    [
      database.machines,
      database.landmarks,
      database.turns,
      database.sameSettings,
      database.camLogs,
      database.swatches,
    ],
    async () => {
      const machine = await database.machines.get(id);
      if (!machine) return null;
      const own = <T>(table: Table<T, Id>): PromiseLike<T[]> => table.where('machineId').equals(id).toArray();
      const swatches = await own(database.swatches);
      return {
        machine: withProfile(machine),
        landmarks: oldestFirst(await own(database.landmarks)).map(withLandmarkProfile),
        turns: kept(await own(database.turns)),
        sameSettings: kept(await own(database.sameSettings)),
        camLogs: (await own(database.camLogs)).sort((a, b) => a.startedAt.localeCompare(b.startedAt)),
        swatches: oldestFirst(swatches.filter((row) => row.state === 'saved' && row.deletedAt === null)),
      };
    },
  );

const countSwatches = (database: Database, machineIds: readonly Id[]): PromiseLike<ReadonlyMap<Id, number>> =>
  database.transaction('r', [database.swatches, database.cards], async () => {
    const finished = new Set(await database.swatches.where('state').equals('saved').primaryKeys());
    // What is not deleted has no key in this index.
    for (const id of await database.cards.orderBy('deletedAt').primaryKeys()) finished.delete(id);
    const counts = new Map<Id, number>();
    for (const machineId of machineIds) {
      const own = await database.swatches.where('machineId').equals(machineId).primaryKeys();
      counts.set(machineId, own.filter((id) => finished.has(id)).length);
    }
    return counts;
  });

/** The records of turns, of landmarks read together, and of journeys to a setting. `beforeSave` runs ahead of every write. */
export const createMachineShelf = (database: Database, beforeSave: () => void): MachineShelf => {
  const put =
    <T>(table: Table<T, Id>) =>
    (record: T): Promise<void> =>
      guarded(async () => {
        beforeSave();
        await table.put(record);
      });
  const mark =
    (table: Table<TurnRecord, Id> | Table<SameSettingRecord, Id>) =>
    (id: Id, deleted: boolean): Promise<void> =>
      guarded(async () => {
        await (table as Table<{ readonly deletedAt: string | null }, Id>).update(id, {
          deletedAt: deleted ? now() : null,
        });
      });
  return {
    readMachine: (id) => guarded(() => readMachine(database, id)),
    countSwatches: (machineIds) => guarded(() => countSwatches(database, machineIds)),
    saveTurns: put(database.turns),
    saveSameSetting: put(database.sameSettings),
    saveCamLog: put(database.camLogs),
    markTurns: mark(database.turns),
    markSameSetting: mark(database.sameSettings),
  };
};
