/** A notebook exactly as schema version 1 stored it, table by table. Never changed again. */
export const schema1Stores = {
  yarns: 'id',
  machines: 'id',
  landmarks: 'id, machineId',
  swatches: 'id, state, yarnId, machineId, photoId',
  photos: 'id',
  thumbnails: 'photoId',
  namedReferences: 'id',
  meta: 'key',
};

const swatch = {
  photoFacts: {
    widthPx: 4000,
    heightPx: 3000,
    mime: 'image/jpeg',
    takenAt: '2026-01-12T09:15:00',
    focalLength35Mm: 26,
    remarks: [],
  },
  scale: null,
  thicknessMm: 1.8,
  layers: 1,
  edits: [{ kind: 'removeLine', family: 'wale', at: { x: 812.5, y: 1200 } }],
  undone: [],
  window: null,
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
  restState: 'rested',
  createdAt: '2026-01-12T09:20:00.000Z',
  deletedAt: null,
  revision: 3,
  writer: 'window-1',
};

const measurement = {
  photo: swatch.photoFacts,
  references: [],
  chosenReference: null,
  stitches: {
    grid: null,
    window: null,
    pitchPx: { wale: 41.2, course: 30.6 },
    face: 'knit',
    region: [],
    scatter: null,
    disagreements: [],
    confidence: { status: 'proposal', chance: 0.8, reasons: ['Little contrast.'] },
  },
  timingsMs: { decode: 210 },
};

export const schema1Rows: Record<string, readonly object[]> = {
  yarns: [
    {
      id: 'yarn-1',
      name: 'Harbour sock',
      maker: 'Tern & Tide',
      fibre: '75 % wool, 25 % nylon',
      colour: 'slate',
      lot: '41',
      tex: 110,
      notes: '',
      createdAt: '2026-01-02T08:00:00.000Z',
      updatedAt: '2026-01-02T08:00:00.000Z',
    },
  ],
  machines: [
    {
      id: 'machine-1',
      name: 'Loft machine',
      cylinderNeedles: [72, 64],
      notes: '',
      createdAt: '2026-01-02T08:00:00.000Z',
      updatedAt: '2026-01-02T08:00:00.000Z',
    },
  ],
  landmarks: [],
  swatches: [
    {
      ...swatch,
      id: 'swatch-1',
      state: 'saved',
      photoId: 'photo-1',
      measurement,
      reading: { landmarkId: null, unit: 'in', repeats: [{ typed: '0.987', mm: 25.0698 }] },
      notes: 'first one',
      updatedAt: '2026-01-12T09:30:00.000Z',
    },
    {
      ...swatch,
      id: 'swatch-2',
      state: 'draft',
      photoId: null,
      measurement: null,
      reading: null,
      notes: '',
      updatedAt: '2026-01-13T09:30:00.000Z',
    },
  ],
  photos: [
    {
      id: 'photo-1',
      fileName: 'IMG_0001.JPG',
      mime: 'image/jpeg',
      bytes: Uint8Array.of(255, 216, 255, 224, 0, 16).buffer,
      createdAt: '2026-01-12T09:20:00.000Z',
    },
  ],
  thumbnails: [{ photoId: 'photo-1', mime: 'image/webp', bytes: Uint8Array.of(1, 2, 3).buffer }],
  namedReferences: [],
  meta: [{ key: 'lastArchive', value: '2026-01-12T20:00:00.000Z' }],
};
