import type { LandmarkRecord, MachineRecord, TurnRecord } from '../../src/domain/machineRecords';
import type { Swatch, Yarn } from '../../src/domain/records';
import { blankYarn } from '../../src/storage/blank';
import { archiveOf, type Files, json } from '../unit/archiveMaking';
import { flatMeasurement } from './flatMeasurement';
import { camTop, countedTurns, loftMachine, readingOf } from './machine-book';
import { measuredSwatch } from './measuredSwatch';

/** A swatch of the loft machine by what is exactly true of it. */
export interface KnownSwatch {
  readonly id: string;
  readonly yarn: string;
  readonly readingMm: number;
  readonly walePitchMm: number;
  readonly coursePitchMm: number;
}

const yarnIdOf = (name: string): string => `yarn-${name.toLowerCase().replaceAll(' ', '-')}`;

/** The swatch as it is kept: columns and rows drawn at these pitches in a flat photo, read three times with the caliper. */
const measured = (
  { id, yarn, readingMm, walePitchMm, coursePitchMm }: KnownSwatch,
  index: number,
): Swatch => {
  const measurement = flatMeasurement({ wales: 25.4 / walePitchMm, courses: 25.4 / coursePitchMm });
  return measuredSwatch(measurement, {
    id,
    photoId: `photo-${id}`,
    yarnId: yarnIdOf(yarn),
    machineId: 'loft',
    cylinderNeedles: 72,
    restState: 'washedAndDried',
    reading: readingOf('camTop', readingMm - 0.01, readingMm, readingMm + 0.01),
    createdAt: `2026-03-0${index + 1}T10:00:00.000Z`,
  });
};

/** An archive of the loft machine with its counted turns and these swatches, all with the same picture as their photo. */
export const machineArchive = (swatches: readonly KnownSwatch[], picture: Uint8Array): Buffer => {
  const yarns: Yarn[] = [...new Set(swatches.map(({ yarn }) => yarn))].map((name) => ({
    ...blankYarn(name),
    id: yarnIdOf(name),
  }));
  const machines: MachineRecord[] = [loftMachine({ mountedNeedles: 72 })];
  const landmarks: LandmarkRecord[] = [camTop()];
  const turns: TurnRecord[] = [countedTurns()];
  const photos = swatches.map(({ id }) => ({
    id: `photo-${id}`,
    fileName: `${id}.jpg`,
    mime: 'image/jpeg',
    createdAt: '2026-03-01T09:00:00.000Z',
    path: `photos/photo-${id}.jpg`,
    thumbnail: null,
  }));
  const files: Files = {
    'README.txt': new TextEncoder().encode('A machine and its swatches.'),
    'yarns.json': json(yarns),
    'machines.json': json(machines),
    'landmarks.json': json(landmarks),
    'references.json': json([]),
    'turns.json': json(turns),
    'photos.json': json(photos),
  };
  swatches.forEach((swatch, index) => {
    files[`swatches/${swatch.id}.json`] = json(measured(swatch, index));
    files[`photos/photo-${swatch.id}.jpg`] = picture;
  });
  return Buffer.from(archiveOf(files));
};
