import * as v from 'valibot';
import { photoPoint } from '../../domain/coordinates';
import type { GridEdit } from '../../domain/edits';
import type { Measurement, ScaleReference } from '../../domain/measurement';
import type { Homography, PlaneMap } from '../../domain/plane';
import type { NamedReference, Swatch, Yarn } from '../../domain/records';
import { count, type FieldsOf, id, list, moment, number, positive, reading, stamps, text } from './fields';

/*
 * What every record must look like when it comes in from outside. Objects may carry more fields than are named here; those
 * come along unchanged, so that a later version's additions survive. The types make sure that no field of ours is forgotten.
 */

const point = v.pipe(
  v.object({ x: number, y: number }),
  v.transform(({ x, y }) => photoPoint(x, y)),
);

const homography: v.GenericSchema<unknown, Homography> = v.tuple([
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
]);

const planeFields: FieldsOf<PlaneMap> = {
  photoToPlane: homography,
  residualPx: number,
  relativeUncertainty: number,
  tiltRad: v.nullable(number),
  cameraHeightMm: v.nullable(v.looseObject({ value: number, standardUncertainty: number })),
  referenceHeightMm: number,
};
const plane = v.looseObject(planeFields);

const referenceKind = v.picklist(['grid', 'card', 'twoPoints', 'ruler', 'coin', 'paper', 'sheet', 'caliper']);

/** What a printer made of true size. */
const printScale = v.looseObject({ across: positive, along: positive });

type SometimesKnown = 'printScale' | 'gridLines' | 'longMarkEvery';
const referenceFields: FieldsOf<Omit<ScaleReference, SometimesKnown>> = {
  kind: referenceKind,
  score: number,
  outline: list(list(point)),
  handles: list(point),
  pitchMm: v.nullable(positive),
  question: v.nullable(
    v.picklist(['gridPitch', 'tickPitch', 'coinDiameter', 'paperSize', 'length', 'checkRulers']),
  ),
  plane: v.nullable(plane),
  unitPlane: v.nullable(plane),
  sentence: text,
};
const reference = v.looseObject({
  ...referenceFields,
  printScale: v.exactOptional(printScale),
  gridLines: v.exactOptional(v.picklist(['heavy', 'neighbouring', 'unclear'])),
  longMarkEvery: v.exactOptional(v.nullable(number)),
});

const family = v.picklist(['wale', 'course']);
const gridLine = v.looseObject({
  id: text,
  kind: v.picklist(['stitch', 'needleGap']),
  holds: v.exactOptional(v.picklist(['purl'])),
  points: list(point),
  origin: v.picklist(['detected', 'placed']),
});
const grid = v.looseObject({ wales: list(gridLine), courses: list(gridLine) });
const countWindow = v.looseObject({ corners: list(point, 1_000) });

const edit: v.GenericSchema<unknown, GridEdit> = v.variant('kind', [
  v.looseObject({ kind: v.literal('addLine'), family, at: point }),
  v.looseObject({ kind: v.literal('removeLine'), family, at: point }),
  v.looseObject({ kind: v.literal('moveLine'), family, from: point, to: point }),
  v.looseObject({ kind: v.literal('splitLine'), family, at: point }),
  v.looseObject({ kind: v.literal('joinLines'), family, at: point }),
  v.looseObject({ kind: v.literal('markNeedleGap'), at: point, gap: v.boolean() }),
  v.looseObject({ kind: v.literal('placeLine'), family, points: list(point) }),
  v.looseObject({ kind: v.literal('setWindow'), window: countWindow }),
  v.looseObject({ kind: v.literal('restoreLines'), family, lines: list(gridLine) }),
]);

const photoFacts = v.looseObject({
  widthPx: count,
  heightPx: count,
  mime: text,
  takenAt: v.nullable(text),
  focalLength35Mm: v.nullable(number),
  remarks: list(text),
});

const pitchPair = v.looseObject({ wale: number, course: number });

const measurementFields: FieldsOf<Measurement> = {
  photo: photoFacts,
  references: list(reference, 1_000),
  chosenReference: v.nullable(count),
  stitches: v.looseObject({
    grid: v.nullable(grid),
    window: v.nullable(countWindow),
    pitchPx: v.nullable(pitchPair),
    face: v.picklist(['knit', 'purl', 'unknown']),
    region: list(point),
    scatter: v.nullable(pitchPair),
    disagreements: list(point),
    confidence: v.looseObject({
      status: v.picklist(['measured', 'proposal', 'unreadable']),
      chance: number,
      reasons: list(text),
    }),
  }),
  timingsMs: v.record(text, number),
};
const measurement = v.looseObject(measurementFields);

const uncertain = v.looseObject({ value: number, plusMinus95: number });

const swatchFields: FieldsOf<Omit<Swatch, 'copiedFrom' | 'pieceId'>> = {
  id,
  state: v.picklist(['draft', 'saved']),
  photoId: v.nullable(id),
  photoFacts: v.nullable(photoFacts),
  measurement: v.nullable(measurement),
  scale: v.nullable(
    v.looseObject({
      reference,
      confirmedBy: v.picklist(['user', 'remembered']),
      namedReferenceId: v.nullable(id),
    }),
  ),
  thicknessMm: v.nullable(number),
  layers: v.picklist([1, 2]),
  edits: list(edit),
  undone: list(edit),
  window: v.nullable(countWindow),
  gauge: v.nullable(
    v.looseObject({
      walesPerMm: uncertain,
      coursesPerMm: uncertain,
      walesInWindow: number,
      coursesInWindow: number,
      status: v.picklist(['measured', 'proposal', 'byHand']),
    }),
  ),
  yarnId: v.nullable(id),
  machineId: v.nullable(id),
  cylinderNeedles: v.nullable(count),
  reading: v.nullable(reading),
  restState: v.nullable(v.picklist(['offMachine', 'rested', 'washedAndDried', 'worn'])),
  notes: text,
  createdAt: moment,
  updatedAt: moment,
  deletedAt: v.nullable(moment),
};
export const swatchSchema: v.GenericSchema<unknown, Swatch> = v.looseObject({
  ...swatchFields,
  copiedFrom: v.exactOptional(id),
  pieceId: v.exactOptional(id),
});

const yarnFields: FieldsOf<Omit<Yarn, 'wrapsPerInch' | 'seenColour' | 'photoId'>> = {
  id,
  name: text,
  maker: text,
  fibre: text,
  colour: text,
  lot: text,
  tex: v.nullable(positive),
  notes: text,
  ...stamps,
};
export const yarnsSchema: v.GenericSchema<unknown, Yarn[]> = list(
  v.looseObject({
    ...yarnFields,
    wrapsPerInch: v.exactOptional(v.nullable(positive)),
    seenColour: v.exactOptional(v.nullable(v.pipe(v.string(), v.regex(/^#[0-9a-f]{6}$/)))),
    photoId: v.exactOptional(v.nullable(id)),
  }),
);

const namedReferenceFields: FieldsOf<Omit<NamedReference, 'printScale'>> = {
  id,
  name: text,
  kind: referenceKind,
  pitchMm: v.nullable(positive),
  lastUsedAt: moment,
};
export const namedReferencesSchema: v.GenericSchema<unknown, NamedReference[]> = list(
  v.looseObject({ ...namedReferenceFields, printScale: v.exactOptional(printScale) }),
);

/** Pictures made of pixels only: a drawing in SVG could carry scripts. */
const mime = v.pipe(v.string(), v.regex(/^image\/(?!svg)[a-z0-9.+-]{1,60}$/));

/** One photo of the archive: what is known of it and where its bytes lie. */
const photoEntry = v.looseObject({
  id,
  fileName: text,
  mime,
  createdAt: moment,
  path: text,
  thumbnail: v.nullable(v.looseObject({ mime, path: text })),
});
export type PhotoEntry = v.InferOutput<typeof photoEntry>;
export const photosSchema: v.GenericSchema<unknown, PhotoEntry[]> = list(photoEntry);

export const formatName = 'walewright-archive';
export const formatVersion = 1;

/** What every version of the manifest has; read first, so that a future version is told apart from rubbish. */
export const manifestHeadSchema = v.looseObject({
  format: v.literal(formatName),
  version: v.pipe(v.number(), v.safeInteger(), v.minValue(1)),
});

export const manifestSchema = v.looseObject({
  format: v.literal(formatName),
  version: v.literal(formatVersion),
  madeAt: moment,
  files: list(
    v.looseObject({ path: text, bytes: count, sha256: v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/)) }),
    65_535,
  ),
});
export type Manifest = v.InferOutput<typeof manifestSchema>;
