import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import * as v from 'valibot';
import { type PaperName, paperSizes } from '../../src/domain/paper';
import type { Homography } from '../../src/domain/plane';
import type { SceneTruth } from '../builders/scene';
import type { BenchCase, KnownPhoto } from './row';

const point = v.tuple([v.number(), v.number()]);
const row3 = v.tuple([v.number(), v.number(), v.number()]);
const matrix = v.tuple([row3, row3, row3]);

/** The truth file beside a path-traced photo. */
const truthFile = v.object({
  kind: v.string(),
  notes: v.optional(v.string(), ''),
  gauge: v.object({
    stitches_per_inch: v.number(),
    rows_per_inch: v.number(),
    region_px: v.array(point),
  }),
  homography_px_to_fabric_visible_mm: matrix,
  homography_px_to_mat_mm: matrix,
  reference: v.object({
    type: v.string(),
    pitch_mm: v.optional(v.number()),
    tick_pitch_mm: v.optional(v.number()),
    diameter_mm: v.optional(v.number()),
    thickness_mm: v.optional(v.number()),
    top_height_mm: v.optional(v.number()),
  }),
  camera: v.object({ position_mm: row3 }),
});

/** A file of labels made by eye on photographs: pitches in px over a crop. */
const labelsFile = v.object({
  knit: v.array(
    v.object({
      file: v.string(),
      name: v.string(),
      stitch: v.string(),
      crop: v.tuple([v.number(), v.number(), v.number(), v.number()]),
      wale_px: v.number(),
      course_px: v.number(),
      tol_pct: v.number(),
    }),
  ),
});

const readJson = (path: string): unknown => JSON.parse(readFileSync(path, 'utf8'));

const apply = (h: Homography, [x, y]: readonly [number, number]): [number, number] => {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
};

const knownFrom = (truth: v.InferOutput<typeof truthFile>): KnownPhoto => {
  const mat = truth.homography_px_to_mat_mm.flat() as unknown as Homography;
  // Seen from the camera, the same px lies nearer on a raised face: lengths shrink with the distance that is left.
  const height = truth.camera.position_mm[2];
  const shrink = (height - (truth.reference.top_height_mm ?? truth.reference.thickness_mm ?? 0)) / height;
  return {
    gauge: { stitchesPerInch: truth.gauge.stitches_per_inch, rowsPerInch: truth.gauge.rows_per_inch },
    photoToFabric: truth.homography_px_to_fabric_visible_mm.flat() as unknown as Homography,
    pitchPx: null,
    scalePoints: truth.gauge.region_px.map((px) => {
      const [x, y] = apply(mat, px);
      return { px, mm: [x * shrink, y * shrink] };
    }),
    referenceKind: truth.reference.type === 'mat' ? 'grid' : truth.reference.type,
    said: {
      gridPitchMm: truth.reference.pitch_mm ?? null,
      tickPitchMm: truth.reference.tick_pitch_mm ?? null,
      coinDiameterMm: truth.reference.diameter_mm ?? null,
    },
    layers: /\btube\b/.test(truth.notes) ? 2 : 1,
    region: null,
  };
};

/** The name of a sheet with these sides. */
const paperNamed = ([widthMm, lengthMm]: readonly [number, number]): PaperName | null =>
  paperSizes.find(({ shortMm, longMm }) => shortMm === widthMm && longMm === lengthMm)?.name ?? null;

const saidOf = (reference: SceneTruth['reference']): KnownPhoto['said'] => {
  switch (reference.kind) {
    case 'grid':
      return { gridPitchMm: reference.pitchMm };
    case 'ruler':
      return { gridPitchMm: null, tickPitchMm: reference.tickMm };
    case 'coin':
      return { gridPitchMm: null, coinDiameterMm: reference.diameterMm };
    case 'paper':
      return { gridPitchMm: null, paperSize: paperNamed(reference.sizeMm) };
    case 'sheet':
      return { gridPitchMm: null, sheetPrint: reference.print };
    default:
      return { gridPitchMm: null };
  }
};

/** What is known of a drawn photo. */
export const knownFromScene = (truth: SceneTruth): KnownPhoto => ({
  gauge: { stitchesPerInch: truth.gauge.stitchesPerInch, rowsPerInch: truth.gauge.visibleRowsPerInch },
  photoToFabric: truth.photoToFabric,
  pitchPx: null,
  scalePoints: truth.scalePoints,
  referenceKind: truth.reference.kind,
  said: saidOf(truth.reference),
  layers: 1,
  region: null,
});

/** The photos of a folder that have a truth file beside them: `name.truth.json` or `name.json`. */
export const casesInFolder = (folder: string, set: 'sample' | 'extra'): BenchCase[] =>
  readdirSync(folder)
    .filter((name) => /\.jpe?g$/i.test(name))
    .sort()
    .flatMap((file): BenchCase[] => {
      const bare = join(folder, file.replace(/\.jpe?g$/i, ''));
      const truthPath = [`${bare}.truth.json`, `${bare}.json`].find((path) => existsSync(path));
      if (truthPath === undefined) return [];
      const truth = v.parse(truthFile, readJson(truthPath));
      return [
        {
          name: basename(bare),
          set,
          kind: truth.kind,
          pictureFolder: null,
          source: { from: 'file', path: join(folder, file), known: knownFrom(truth) },
        },
      ];
    });

/** Photographs labelled by eye, listed in `labels.json` of a folder; none where there is no such file. */
export const labelledCases = (folder: string): BenchCase[] => {
  const path = join(folder, 'labels.json');
  if (!existsSync(path)) return [];
  return v.parse(labelsFile, readJson(path)).knit.map((label) => ({
    name: label.name,
    set: 'real',
    kind: label.stitch,
    pictureFolder: null,
    source: {
      from: 'file',
      path: join(folder, label.file),
      known: {
        gauge: null,
        photoToFabric: null,
        pitchPx: { wale: label.wale_px, course: label.course_px, tolerance: label.tol_pct / 100 },
        scalePoints: [],
        referenceKind: 'none',
        said: { gridPitchMm: null },
        layers: 1,
        region: label.crop,
      },
    },
  }));
};
