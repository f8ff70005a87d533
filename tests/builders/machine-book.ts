import type { CamLog, LandmarkRecord, MachineRecord, TurnRecord } from '../../src/domain/machineRecords';
import { withLandmarkProfile, withProfile } from '../../src/domain/machineRecords';
import type { CaliperReading, Id, Swatch } from '../../src/domain/records';
import { blankLandmark, blankMachine, blankSwatch } from '../../src/storage/blank';

const moment = '2026-03-01T10:00:00.000Z';

/** A reading in millimetres as it would be typed, to a hundredth. */
export const readingOf = (landmarkId: Id | null, ...mm: number[]): CaliperReading => ({
  landmarkId,
  unit: 'mm',
  repeats: mm.map((value) => ({ typed: value.toFixed(2), mm: value })),
});

/** A machine with one 72-needle cylinder, which is mounted. */
export const loftMachine = (change: Partial<MachineRecord> = {}): MachineRecord => ({
  ...withProfile({ ...blankMachine('Loft machine'), id: 'loft', cylinderNeedles: [72] }),
  ...change,
});

/** A landmark of the loft machine, read with the depth rod; its reading grows with the stitch. */
export const camTop = (change: Partial<LandmarkRecord> = {}): LandmarkRecord => ({
  ...withLandmarkProfile({ ...blankLandmark('loft', 'cam top to plate'), id: 'camTop', jaw: 'depth' }),
  growth: 'grows',
  createdAt: moment,
  ...change,
});

/** Two turns looser and one back: 0.8 mm a turn, a tenth of a turn of play. */
export const countedTurns = (change: Partial<TurnRecord> = {}): TurnRecord => ({
  id: 'turns-1',
  machineId: 'loft',
  landmarkId: 'camTop',
  start: readingOf('camTop', 28, 28.01, 27.99),
  lastMoveBefore: 'clockwise',
  moves: [
    { direction: 'clockwise', turns: 1, after: readingOf('camTop', 28.8, 28.81, 28.79) },
    { direction: 'clockwise', turns: 1, after: readingOf('camTop', 29.6, 29.61, 29.59) },
    { direction: 'anticlockwise', turns: 1, after: readingOf('camTop', 28.88, 28.89, 28.87) },
  ],
  createdAt: moment,
  deletedAt: null,
  ...change,
});

/** A journey to 28.5 mm that has not begun yet. */
export const freshLog = (change: Partial<CamLog> = {}): CamLog => ({
  id: 'log-1',
  machineId: 'loft',
  landmarkId: 'camTop',
  swatchId: null,
  targetMm: 28.5,
  goal: 'a reading of 28.50 mm',
  toleranceMm: 0.03,
  wantedNeedles: null,
  cautions: [],
  steps: [],
  startedAt: moment,
  finishedAt: null,
  ...change,
});

/** A finished swatch of the loft machine, of so many stitches per inch at a reading. */
export const loftSwatch = (
  id: Id,
  readingMm: number,
  stitchesPerInch: number,
  change: Partial<Swatch> = {},
): Swatch => ({
  ...blankSwatch(),
  id,
  state: 'saved',
  yarnId: 'harbour',
  machineId: 'loft',
  cylinderNeedles: 72,
  restState: 'washedAndDried',
  reading: readingOf('camTop', readingMm - 0.01, readingMm, readingMm + 0.01),
  gauge: {
    walesPerMm: { value: stitchesPerInch / 25.4, plusMinus95: (0.005 * stitchesPerInch) / 25.4 },
    coursesPerMm: { value: (1.35 * stitchesPerInch) / 25.4, plusMinus95: (0.007 * stitchesPerInch) / 25.4 },
    walesInWindow: 24,
    coursesInWindow: 30,
    status: 'measured',
  },
  createdAt: moment,
  ...change,
});
