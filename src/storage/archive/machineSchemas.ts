import * as v from 'valibot';
import type {
  CamLog,
  CamStep,
  LandmarkProfile,
  MachineProfile,
  SameSettingRecord,
  TurnRecord,
} from '../../domain/machineRecords';
import type { Landmark, Machine } from '../../domain/records';
import { count, type FieldsOf, id, list, moment, number, positive, reading, stamps, text } from './fields';

const direction = v.picklist(['clockwise', 'anticlockwise']);

/** A reading that something is worked out from: it has at least one repeat, within a caliper's range. */
const takenReading = v.pipe(
  reading,
  v.check(({ repeats }) => repeats.length > 0 && repeats.every(({ mm }) => mm >= 0 && mm <= 1000)),
);

const machineFields: FieldsOf<Machine> = {
  id,
  name: text,
  cylinderNeedles: list(count, 1_000),
  notes: text,
  ...stamps,
};
const machineProfileFields: FieldsOf<MachineProfile> = {
  cylinders: list(v.looseObject({ needles: count, diameterMm: v.nullable(positive) }), 1_000),
  mountedNeedles: v.nullable(count),
  looserDirection: direction,
  stepTurns: positive,
  finishDirection: v.nullable(direction),
  nominalPitchMm: v.nullable(positive),
  photoId: v.nullable(id),
};
/** A machine; archives of the first days know nothing but its name and needles. */
export const machinesSchema: v.GenericSchema<unknown, Machine[]> = list(
  v.looseObject({ ...v.partial(v.looseObject(machineProfileFields)).entries, ...machineFields }),
);

const landmarkFields: FieldsOf<Landmark> = {
  id,
  machineId: id,
  name: text,
  jaw: v.picklist(['outside', 'inside', 'depth']),
  description: text,
  ...stamps,
};
const landmarkProfileFields: FieldsOf<LandmarkProfile> = {
  growth: v.nullable(v.picklist(['grows', 'shrinks'])),
  sloping: v.boolean(),
  mark: text,
  photoId: v.nullable(id),
  dots: list(v.looseObject({ x: number, y: number }), 2),
};
/** A landmark; archives of the first days know nothing but its name, jaw and sentence. */
export const landmarksSchema: v.GenericSchema<unknown, Landmark[]> = list(
  v.looseObject({ ...v.partial(v.looseObject(landmarkProfileFields)).entries, ...landmarkFields }),
);

const turnFields: FieldsOf<TurnRecord> = {
  id,
  machineId: id,
  landmarkId: id,
  start: takenReading,
  lastMoveBefore: v.nullable(direction),
  moves: list(v.looseObject({ direction, turns: positive, after: takenReading }), 1_000),
  createdAt: moment,
  deletedAt: v.nullable(moment),
};
export const turnsSchema: v.GenericSchema<unknown, TurnRecord[]> = list(v.looseObject(turnFields));

const sameSettingFields: FieldsOf<SameSettingRecord> = {
  id,
  machineId: id,
  readings: list(takenReading, 100),
  createdAt: moment,
  deletedAt: v.nullable(moment),
};
export const sameSettingsSchema: v.GenericSchema<unknown, SameSettingRecord[]> = list(
  v.looseObject(sameSettingFields),
);

const stepFields: FieldsOf<CamStep> = {
  id,
  machineId: id,
  landmarkId: id,
  at: moment,
  presentMm: number,
  targetMm: number,
  direction: v.nullable(direction),
  turns: number,
  pastTurns: number,
  insideTolerance: v.boolean(),
  sentence: text,
  reading: takenReading,
  lastMove: v.nullable(direction),
};
const camLogFields: FieldsOf<CamLog> = {
  id,
  machineId: id,
  landmarkId: id,
  swatchId: v.nullable(id),
  targetMm: number,
  goal: text,
  toleranceMm: positive,
  wantedNeedles: v.nullable(count),
  cautions: list(text, 100),
  steps: list(v.looseObject(stepFields), 1_000),
  startedAt: moment,
  finishedAt: v.nullable(moment),
};
export const camLogsSchema: v.GenericSchema<unknown, CamLog[]> = list(v.looseObject(camLogFields));
