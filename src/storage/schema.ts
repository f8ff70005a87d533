import type { Dexie, Transaction } from 'dexie';
import { fillProfiles, namePieces, splitMeasurements } from './migrations';

interface SchemaStep {
  readonly version: number;
  /** Tables that are new or changed, in Dexie's notation: primary key first, then the indexes. */
  readonly tables: Readonly<Record<string, string>>;
  /** Brings the rows of the version before to this one. */
  readonly upgrade?: (transaction: Transaction) => PromiseLike<unknown>;
}

/** Every schema the notebook ever had, oldest first. A step that has been in use is never changed again. */
const steps: readonly SchemaStep[] = [
  {
    version: 1,
    tables: {
      yarns: 'id',
      machines: 'id',
      landmarks: 'id, machineId',
      swatches: 'id, state, yarnId, machineId, photoId',
      photos: 'id',
      thumbnails: 'photoId',
      namedReferences: 'id',
      meta: 'key',
    },
  },
  {
    version: 2,
    tables: { measurements: 'swatchId', cards: 'id' },
    upgrade: splitMeasurements,
  },
  {
    version: 3,
    tables: { turns: 'id, machineId', sameSettings: 'id, machineId', camLogs: 'id, machineId' },
    upgrade: fillProfiles,
  },
  // The index lets a list show its first screen before it has read all cards.
  { version: 4, tables: { cards: 'id, createdAt' } },
  { version: 5, tables: { cards: 'id, createdAt, pieceId' }, upgrade: namePieces },
  // What is not deleted has no key here, so that the deleted ones are found without reading the others.
  { version: 6, tables: { cards: 'id, createdAt, pieceId, deletedAt' } },
];

/** The newest schema's version. */
export const schemaVersion = steps.reduce((newest, step) => Math.max(newest, step.version), 0);

/** Declares all schema versions and their migrations on a database that is not open yet. */
export const applySchema = (database: Dexie): void => {
  for (const step of steps) {
    const version = database.version(step.version).stores({ ...step.tables });
    if (step.upgrade) version.upgrade(step.upgrade);
  }
};
