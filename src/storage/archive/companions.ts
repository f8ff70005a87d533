import type { CamLog, SameSettingRecord, TurnRecord } from '../../domain/machineRecords';
import type { Id, Landmark, Machine, NamedReference, Yarn } from '../../domain/records';
import type { Database } from '../database';

/** The records that go into an archive beside the swatches. */
export interface Companions {
  readonly yarns: readonly Yarn[];
  readonly machines: readonly Machine[];
  readonly landmarks: readonly Landmark[];
  readonly references: readonly NamedReference[];
  readonly turns: readonly TurnRecord[];
  readonly sameSettings: readonly SameSettingRecord[];
  readonly camLogs: readonly CamLog[];
}

const readAll = async (database: Database): Promise<Companions> => {
  const [yarns, machines, landmarks, references, turns, sameSettings, camLogs] = await Promise.all([
    database.yarns.toArray(),
    database.machines.toArray(),
    database.landmarks.toArray(),
    database.namedReferences.toArray(),
    database.turns.toArray(),
    database.sameSettings.toArray(),
    database.camLogs.toArray(),
  ]);
  return { yarns, machines, landmarks, references, turns, sameSettings, camLogs };
};

/**
 * All records beside the swatches or, for a selection, those that belong to it: its yarns, its references, and its machines with
 * everything that was learnt about them, because a caliper reading leads back to a setting only by what its machine's nut does.
 */
export const readCompanions = async (
  database: Database,
  swatches: readonly Id[] | undefined,
): Promise<Companions> => {
  const all = await readAll(database);
  if (swatches === undefined) return all;
  const rows = (await database.swatches.bulkGet([...swatches])).filter((row) => row !== undefined);
  const yarnIds = new Set(rows.map((row) => row.yarnId));
  const referenceIds = new Set(rows.map((row) => row.scale?.namedReferenceId));
  const readOn = new Set(rows.map((row) => row.reading?.landmarkId));
  const machineIds = new Set([
    ...rows.map((row) => row.machineId),
    ...all.landmarks.filter(({ id }) => readOn.has(id)).map(({ machineId }) => machineId),
  ]);
  const ofMachines = <T extends { readonly machineId: Id }>(records: readonly T[]): T[] =>
    records.filter(({ machineId }) => machineIds.has(machineId));
  return {
    yarns: all.yarns.filter(({ id }) => yarnIds.has(id)),
    machines: all.machines.filter(({ id }) => machineIds.has(id)),
    landmarks: ofMachines(all.landmarks),
    references: all.references.filter(({ id }) => referenceIds.has(id)),
    turns: ofMachines(all.turns),
    sameSettings: ofMachines(all.sameSettings),
    camLogs: ofMachines(all.camLogs),
  };
};
