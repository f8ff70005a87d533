import { schema2Rows, schema2Stores } from './storageSchema2';

/** A notebook exactly as schema version 3 stored it, as far as it differs from version 2. Never changed again. */
export const schema3Stores = {
  ...schema2Stores,
  turns: 'id, machineId',
  sameSettings: 'id, machineId',
  camLogs: 'id, machineId',
};

export const schema3Rows: Record<string, readonly object[]> = {
  ...schema2Rows,
  turns: [
    {
      id: 'turns-1',
      machineId: 'machine-1',
      landmarkId: 'landmark-1',
      start: { landmarkId: 'landmark-1', unit: 'mm', repeats: [{ typed: '28.9', mm: 28.9 }] },
      lastMoveBefore: null,
      moves: [],
      createdAt: '2026-01-14T08:00:00.000Z',
      deletedAt: null,
    },
  ],
  sameSettings: [],
  camLogs: [],
};
