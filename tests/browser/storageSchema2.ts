import { schema1Rows, schema1Stores } from './storageSchema1';

/** A notebook exactly as schema version 2 stored it, as far as it differs from version 1. Never changed again. */
export const schema2Stores = { ...schema1Stores, measurements: 'swatchId', cards: 'id' };

const { swatches = [], ...others } = schema1Rows;

const card = {
  gauge: {
    walesPerMm: { value: 0.3189, plusMinus95: 0.003 },
    coursesPerMm: { value: 0.433, plusMinus95: 0.004 },
    walesInWindow: 24,
    coursesInWindow: 30,
    status: 'measured',
  },
  yarnId: 'yarn-1',
  machineId: 'machine-1',
  cylinderNeedles: 72,
  landmarkId: null,
  restState: 'rested',
  copiedFrom: null,
  createdAt: '2026-01-12T09:20:00.000Z',
  deletedAt: null,
};

export const schema2Rows: Record<string, readonly object[]> = {
  ...others,
  swatches: swatches.map((row) => {
    const { measurement: _, ...rest } = row as Record<string, unknown>;
    return rest;
  }),
  measurements: swatches
    .map((row) => row as Record<string, unknown>)
    .filter((row) => row.measurement !== null)
    .map((row) => ({ swatchId: row.id, measurement: row.measurement })),
  cards: [
    {
      ...card,
      id: 'swatch-1',
      state: 'saved',
      photoId: 'photo-1',
      readingsMm: [25.0698],
      readingUnit: 'in',
      notes: 'first one',
      updatedAt: '2026-01-12T09:30:00.000Z',
    },
    {
      ...card,
      id: 'swatch-2',
      state: 'draft',
      photoId: null,
      readingsMm: [],
      readingUnit: null,
      notes: '',
      updatedAt: '2026-01-13T09:30:00.000Z',
    },
  ],
};
