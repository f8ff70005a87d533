import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { decodeInNode } from '../../cli/decode';
import { verdictOf } from '../../cli/verdict';
import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import { gaugeOf } from '../../src/domain/gaugeOf';
import type { Measurement } from '../../src/domain/measurement';
import { type PlaneMap, toPlane } from '../../src/domain/plane';
import { perMmToPerInch, uncertainPerInch } from '../../src/domain/units';
import type { MeasureHints } from '../../workers/contract';
import type { RgbaImage } from '../../workers/image';
import { measure } from '../../workers/measure';
import { openPhoto } from '../../workers/photo/openPhoto';
import { drawScene } from '../builders/scene';
import { randomSpec, SCENE_KINDS } from '../builders/scene-random';
import { knownFromScene } from './known';
import { type BenchCase, type BenchRow, type KnownPhoto, pictureName } from './row';
import { isWithin } from './summary';

/** Nothing is said of the thickness: the user rarely does. */
const FABRIC = { thicknessMm: null, layers: 1 } as const;

/** Longer side of the picture that is kept of a photo that came out wrong. */
const PICTURE_PX = 320;

/** Writes a drawn photo as JPEG, as a camera would. */
export const asJpeg = (image: RgbaImage, quality: number): Promise<Buffer> =>
  sharp(image.data, { raw: { width: image.widthPx, height: image.heightPx, channels: 4 } })
    .removeAlpha()
    .jpeg({ quality })
    .toBuffer();

const sourceOf = async ({ source }: BenchCase): Promise<{ bytes: Uint8Array; known: KnownPhoto }> => {
  if (source.from === 'file') return { bytes: readFileSync(source.path), known: source.known };
  const kind = SCENE_KINDS.find((name) => name === source.kind);
  const { spec } = randomSpec(source.seed, kind, source.maximumPx);
  const { image, truth } = drawScene(spec);
  return { bytes: await asJpeg(image, spec.jpegQuality ?? 95), known: knownFromScene(truth) };
};

const regionOf = ({ region }: KnownPhoto): PhotoPoint[] | null => {
  if (region === null) return null;
  const [left, top, right, bottom] = region;
  return [photoPoint(left, top), photoPoint(right, top), photoPoint(right, bottom), photoPoint(left, bottom)];
};

/** The true plane of the fabric, exact and with nothing above it. */
const truePlane = (photoToFabric: PlaneMap['photoToPlane']): PlaneMap => ({
  photoToPlane: photoToFabric,
  residualPx: 0,
  relativeUncertainty: 0,
  tiltRad: null,
  cameraHeightMm: null,
  referenceHeightMm: 0,
});

const stitchErrorOf = ({ stitches }: Measurement, known: KnownPhoto): BenchRow['stitchError'] => {
  const { grid, window, pitchPx } = stitches;
  if (known.pitchPx !== null && pitchPx !== null) {
    return {
      stitches: known.pitchPx.wale / pitchPx.wale - 1,
      rows: known.pitchPx.course / pitchPx.course - 1,
    };
  }
  if (grid === null || window === null || known.gauge === null || known.photoToFabric === null) return null;
  const result = gaugeOf(grid, window, truePlane(known.photoToFabric), FABRIC);
  if (!result.ok) return null;
  return {
    stitches: perMmToPerInch(result.gauge.walesPerMm.value) / known.gauge.stitchesPerInch - 1,
    rows: perMmToPerInch(result.gauge.coursesPerMm.value) / known.gauge.rowsPerInch - 1,
  };
};

/** Mean error of all distances between the known places, as a share. */
const scaleErrorOf = (plane: PlaneMap | null, { scalePoints }: KnownPhoto): number | null => {
  if (plane === null || scalePoints.length < 2) return null;
  const ratios: number[] = [];
  scalePoints.forEach((a, i) => {
    for (const b of scalePoints.slice(i + 1)) {
      const p = toPlane(plane, photoPoint(...a.px));
      const q = toPlane(plane, photoPoint(...b.px));
      ratios.push(Math.hypot(p.x - q.x, p.y - q.y) / Math.hypot(a.mm[0] - b.mm[0], a.mm[1] - b.mm[1]));
    }
  });
  return ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length - 1;
};

/** Measures one photo with what its user would have said once, and compares. OpenCV must be ready. */
export const runCase = async (benchCase: BenchCase): Promise<BenchRow> => {
  const { bytes, known } = await sourceOf(benchCase);
  const begun = performance.now();
  const { work, facts } = await openPhoto(bytes, decodeInNode);
  const decode = performance.now() - begun;
  const hints: MeasureHints = {
    gridPitchMm: known.gridPitchMm,
    reference: known.referenceKind === 'none' ? 'none' : 'auto',
    region: regionOf(known),
    thicknessMm: null,
  };
  const measurement = measure(work, facts, hints);
  const verdict = verdictOf(measurement, hints, FABRIC);
  const total = performance.now() - begun;
  const found = verdict.gauge?.gauge;
  const value = found
    ? {
        stitchesPerInch: uncertainPerInch(found.walesPerMm),
        rowsPerInch: uncertainPerInch(found.coursesPerMm),
      }
    : null;
  const plane = verdict.reference?.plane ?? null;
  const { confidence, pitchPx } = measurement.stitches;
  const row: BenchRow = {
    name: benchCase.name,
    set: benchCase.set,
    kind: benchCase.kind,
    referenceKind: known.referenceKind,
    widthPx: facts.widthPx,
    heightPx: facts.heightPx,
    pxPerStitch: pitchPx?.wale ?? null,
    truth: known.gauge,
    value,
    gaugeError:
      value && known.gauge
        ? {
            stitches: value.stitchesPerInch.value / known.gauge.stitchesPerInch - 1,
            rows: value.rowsPerInch.value / known.gauge.rowsPerInch - 1,
          }
        : null,
    stitchError: stitchErrorOf(measurement, known),
    tolerance: known.pitchPx?.tolerance ?? 0,
    scaleError: scaleErrorOf(plane, known),
    scalePlusMinus: plane === null ? null : 2 * plane.relativeUncertainty,
    foundReference: plane === null ? null : (verdict.reference?.kind ?? null),
    status: verdict.status,
    stitchStatus: confidence.status,
    chance: confidence.chance,
    stitchReasons: confidence.reasons,
    timingsMs: { decode, ...measurement.timingsMs, total },
  };
  if (benchCase.pictureFolder !== null && !isWithin(row)) {
    await sharp(bytes)
      .resize(PICTURE_PX, PICTURE_PX, { fit: 'inside' })
      .jpeg({ quality: 60 })
      .toFile(join(benchCase.pictureFolder, pictureName(row.name)));
  }
  return row;
};
