import * as fc from 'fast-check';
import { photoPoint } from '../../src/domain/coordinates';
import type { GridEdit } from '../../src/domain/edits';
import {
  type CamLog,
  type LandmarkRecord,
  type MachineRecord,
  type SameSettingRecord,
  type TurnRecord,
  withLandmarkProfile,
  withProfile,
} from '../../src/domain/machineRecords';
import type { CaliperReading, NamedReference, Photo, Swatch, Yarn } from '../../src/domain/records';
import { blankLandmark, blankMachine, blankSwatch, blankYarn } from '../../src/storage/blank';

/** Everything a notebook can hold, made at random. */
export interface Notebook {
  readonly yarns: readonly Yarn[];
  readonly machines: readonly MachineRecord[];
  readonly landmarks: readonly LandmarkRecord[];
  readonly references: readonly NamedReference[];
  readonly turns: readonly TurnRecord[];
  readonly sameSettings: readonly SameSettingRecord[];
  readonly camLogs: readonly CamLog[];
  readonly photos: readonly Photo[];
  readonly swatches: readonly Swatch[];
}

const id = fc.stringMatching(/^[a-z0-9]{16}$/);
const text = fc.string({ unit: 'grapheme', maxLength: 30 });
/** Signs that are hard on files: control signs, halves of pairs, markup, quotes. */
const sign = fc.constantFrom(
  'a',
  'ä',
  '𝄞',
  '\ud834',
  '\udd1e',
  '\0',
  '\n',
  '\u2028',
  '"',
  '\\',
  '<',
  '&',
  '\ufeff',
);
/** JSON knows no negative zero. */
const number = fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => (x === 0 ? 0 : x));
const positive = fc.double({ min: 1e-3, max: 1e6, noNaN: true });
const moment = fc
  .date({ min: new Date('2020-01-01'), max: new Date('2040-01-01'), noInvalidDate: true })
  .map((date) => date.toISOString());
const point = fc.tuple(number, number).map(([x, y]) => photoPoint(x, y));
const bytes = fc.uint8Array({ maxLength: 300 }).map((array) => new Uint8Array(array).buffer as ArrayBuffer);

const yarn = fc
  .record({
    id,
    name: text,
    fibre: text,
    colour: text,
    tex: fc.option(positive),
    createdAt: moment,
    updatedAt: moment,
    more: fc.record(
      { wrapsPerInch: fc.option(positive), seenColour: fc.option(fc.constant('#0a1b2c')) },
      { requiredKeys: [] },
    ),
  })
  .map(({ more, ...some }): Yarn => ({ ...blankYarn(''), ...some, ...more }));
const direction = fc.constantFrom('clockwise' as const, 'anticlockwise' as const);
const machine = fc
  .record({
    id,
    name: text,
    cylinderNeedles: fc.array(fc.nat(200), { maxLength: 4 }),
    createdAt: moment,
    updatedAt: moment,
  })
  .chain((some) =>
    fc
      .record({
        looserDirection: direction,
        stepTurns: positive,
        finishDirection: fc.option(direction),
        nominalPitchMm: fc.option(positive),
      })
      .map((profile): MachineRecord => ({ ...withProfile({ ...blankMachine(''), ...some }), ...profile })),
  );
/** A reading that something is worked out from: one to nine repeats within a caliper's range. */
const takenReading: fc.Arbitrary<CaliperReading> = fc.record({
  landmarkId: fc.option(id),
  unit: fc.constantFrom('mm' as const, 'in' as const),
  repeats: fc.array(fc.record({ typed: text, mm: fc.double({ min: 0.001, max: 1000, noNaN: true }) }), {
    minLength: 1,
    maxLength: 9,
  }),
});
const reference: fc.Arbitrary<NamedReference> = fc.record({
  id,
  name: text,
  kind: fc.constantFrom('grid' as const, 'ruler' as const, 'sheet' as const),
  pitchMm: fc.option(positive),
  lastUsedAt: moment,
});
const turns: fc.Arbitrary<Omit<TurnRecord, 'machineId' | 'landmarkId'>> = fc.record({
  id,
  start: takenReading,
  lastMoveBefore: fc.option(direction),
  moves: fc.array(fc.record({ direction, turns: positive, after: takenReading }), { maxLength: 3 }),
  createdAt: moment,
  deletedAt: fc.option(moment),
});
const sameSetting: fc.Arbitrary<Omit<SameSettingRecord, 'machineId'>> = fc.record({
  id,
  readings: fc.array(takenReading, { maxLength: 3 }),
  createdAt: moment,
  deletedAt: fc.option(moment),
});
const camLog: fc.Arbitrary<Omit<CamLog, 'machineId' | 'landmarkId'>> = fc.record({
  id,
  swatchId: fc.option(id),
  targetMm: number,
  goal: text,
  toleranceMm: positive,
  wantedNeedles: fc.option(fc.nat(200)),
  cautions: fc.array(text, { maxLength: 2 }),
  steps: fc.constant([]),
  startedAt: moment,
  finishedAt: fc.option(moment),
});
const photo = fc.record({
  id,
  fileName: text,
  mime: fc.constantFrom('image/jpeg', 'image/png', 'image/heic', 'image/x-something'),
  bytes,
  thumbnail: fc.option(fc.record({ mime: fc.constant('image/webp'), bytes })),
  createdAt: moment,
});

const family = fc.constantFrom('wale' as const, 'course' as const);
const edit: fc.Arbitrary<GridEdit> = fc.oneof(
  fc.record({ kind: fc.constantFrom('addLine' as const, 'removeLine' as const), family, at: point }),
  fc.record({ kind: fc.constant('moveLine' as const), family, from: point, to: point }),
  fc.record({ kind: fc.constant('placeLine' as const), family, points: fc.array(point, { maxLength: 5 }) }),
  fc.record({ kind: fc.constant('markNeedleGap' as const), at: point, gap: fc.boolean() }),
);
const measurement = fc.record({
  photo: fc.constant({
    widthPx: 4,
    heightPx: 3,
    mime: 'image/png',
    takenAt: null,
    focalLength35Mm: null,
    remarks: ['Dark.'],
  }),
  references: fc.constant([]),
  chosenReference: fc.constant(null),
  stitches: fc.record({
    grid: fc.option(
      fc.record({
        wales: fc.array(
          fc.record({
            id: text,
            kind: fc.constantFrom('stitch' as const, 'needleGap' as const),
            points: fc.array(point, { maxLength: 4 }),
            origin: fc.constantFrom('detected' as const, 'placed' as const),
          }),
          { maxLength: 3 },
        ),
        courses: fc.constant([]),
      }),
    ),
    window: fc.option(fc.record({ corners: fc.array(point, { maxLength: 4 }) })),
    pitchPx: fc.option(fc.record({ wale: number, course: number })),
    face: fc.constantFrom('knit' as const, 'purl' as const, 'unknown' as const),
    region: fc.array(point, { maxLength: 4 }),
    scatter: fc.constant(null),
    disagreements: fc.array(point, { maxLength: 2 }),
    confidence: fc.record({
      status: fc.constantFrom('measured' as const, 'proposal' as const),
      chance: number,
      reasons: fc.array(text, { maxLength: 2 }),
    }),
  }),
  timingsMs: fc.dictionary(fc.stringMatching(/^[a-z]{1,8}$/), number, { maxKeys: 3 }),
});

const swatch = fc
  .record({
    id,
    state: fc.constantFrom('draft' as const, 'saved' as const),
    measurement: fc.option(measurement),
    thicknessMm: fc.option(positive),
    layers: fc.constantFrom(1 as const, 2 as const),
    edits: fc.array(edit, { maxLength: 4 }),
    undone: fc.array(edit, { maxLength: 2 }),
    cylinderNeedles: fc.option(fc.nat(200)),
    reading: fc.option(
      fc.record({
        landmarkId: fc.constant(null),
        unit: fc.constantFrom('mm' as const, 'in' as const),
        repeats: fc.array(fc.record({ typed: text, mm: number }), { maxLength: 9 }),
      }),
    ),
    restState: fc.option(
      fc.constantFrom('offMachine' as const, 'rested' as const, 'washedAndDried' as const, 'worn' as const),
    ),
    notes: fc.string({ unit: sign, maxLength: 60 }),
    createdAt: moment,
    updatedAt: moment,
    deletedAt: fc.option(moment),
  })
  .map((some): Swatch => ({ ...blankSwatch(), ...some }));

const unique = <T extends { readonly id: string }>(item: fc.Arbitrary<T>, maxLength: number) =>
  fc.uniqueArray(item, { selector: (record) => record.id, maxLength });

/** Random notebooks whose swatches refer to its yarns, machines and photos, and whose machines have records of their own. */
export const notebooks: fc.Arbitrary<Notebook> = fc
  .record({
    yarns: unique(yarn, 3),
    machines: unique(machine, 2),
    photos: unique(photo, 4),
    swatches: unique(swatch, 5),
    references: unique(reference, 2),
    turns: unique(turns, 2),
    sameSettings: unique(sameSetting, 2),
    camLogs: unique(camLog, 2),
  })
  .map((book) => {
    const owner = book.machines[0];
    const landmarks = book.machines.map(({ id: machineId }) =>
      withLandmarkProfile(blankLandmark(machineId, 'cam to plate')),
    );
    const ofOwner = owner ? { machineId: owner.id, landmarkId: landmarks[0]?.id ?? owner.id } : null;
    // Photos that no record shows do not belong to a notebook for good.
    const shownBySwatches = Math.max(book.swatches.length, book.yarns.length);
    const photos = book.photos.slice(0, owner ? shownBySwatches + 1 : shownBySwatches);
    return {
      ...book,
      photos,
      landmarks,
      machines: book.machines.map((one, i) =>
        i === 0 ? { ...one, photoId: photos.at(-1)?.id ?? null } : one,
      ),
      turns: ofOwner ? book.turns.map((record) => ({ ...record, ...ofOwner })) : [],
      sameSettings: owner ? book.sameSettings.map((record) => ({ ...record, machineId: owner.id })) : [],
      camLogs: ofOwner ? book.camLogs.map((record) => ({ ...record, ...ofOwner })) : [],
      yarns: book.yarns.map((one, i) => {
        const photoId = book.photos[i]?.id;
        return photoId === undefined ? one : { ...one, photoId };
      }),
      swatches: book.swatches.map((one, i) => ({
        ...one,
        ...(i > 0 && book.swatches[0] ? { pieceId: book.swatches[0].id } : {}),
        yarnId: book.yarns[i]?.id ?? null,
        machineId: book.machines[i]?.id ?? null,
        photoId: book.photos[i]?.id ?? null,
      })),
    };
  });
