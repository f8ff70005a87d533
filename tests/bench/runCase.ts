import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { decodeInNode } from '../../cli/decode';
import { verdictOf } from '../../cli/verdict';
import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { MeasureHints } from '../../workers/contract';
import type { RgbaImage } from '../../workers/image';
import { measure } from '../../workers/measure';
import { openPhoto } from '../../workers/photo/openPhoto';
import { jpegWithExif } from '../builders/exif';
import { drawScene } from '../builders/scene';
import { randomSpec, SCENE_KINDS } from '../builders/scene-random';
import { fabricSaid, faultRow, rowFrom } from './compare';
import { knownFromScene } from './known';
import { type BenchCase, type BenchRow, type KnownPhoto, pictureName } from './row';
import { isRight } from './summary';

/** Longer side of the picture that is kept of a photo that came out wrong. */
const PICTURE_PX = 320;

/** Writes a drawn photo as JPEG, as a camera would; null for a file that does not say its focal length. */
export const asJpeg = async (
  image: RgbaImage,
  quality: number,
  focalLength35Mm: number | null = null,
): Promise<Uint8Array> => {
  const bare = await sharp(image.data, { raw: { width: image.widthPx, height: image.heightPx, channels: 4 } })
    .removeAlpha()
    .jpeg({ quality })
    .toBuffer();
  return focalLength35Mm === null
    ? bare
    : jpegWithExif(bare, { focalLengthIn35mmFilm: Math.round(focalLength35Mm) });
};

/** The bytes of a case's photo, read or drawn, and what is known of it. */
export const sourceOf = async ({ source }: BenchCase): Promise<{ bytes: Uint8Array; known: KnownPhoto }> => {
  if (source.from === 'file') return { bytes: readFileSync(source.path), known: source.known };
  const kind = SCENE_KINDS.find((name) => name === source.kind);
  const { spec, tellsFocalLength } = randomSpec(source.seed, kind, source.maximumPx);
  const { image, truth } = drawScene(spec);
  const focalLength35Mm = tellsFocalLength ? truth.focalLength35Mm : null;
  return {
    bytes: await asJpeg(image, spec.jpegQuality ?? 95, focalLength35Mm),
    known: knownFromScene(truth),
  };
};

/** Where to look, as a polygon; null for everywhere. */
export const regionOf = ({ region }: KnownPhoto): PhotoPoint[] | null => {
  if (region === null) return null;
  const [left, top, right, bottom] = region;
  return [photoPoint(left, top), photoPoint(right, top), photoPoint(right, bottom), photoPoint(left, bottom)];
};

const measured = async (benchCase: BenchCase, bytes: Uint8Array, known: KnownPhoto): Promise<BenchRow> => {
  const begun = performance.now();
  const { work, facts } = await openPhoto(bytes, decodeInNode);
  const decode = performance.now() - begun;
  const hints: MeasureHints = {
    ...known.said,
    reference: known.referenceKind === 'none' ? 'none' : 'auto',
    region: regionOf(known),
    thicknessMm: null,
  };
  const measurement = measure(work, facts, hints);
  const verdict = verdictOf(measurement, hints, fabricSaid(known));
  const total = performance.now() - begun;
  return rowFrom(benchCase, known, measurement, verdict, { decode, ...measurement.timingsMs, total });
};

/** Measures one photo with what its user would have said once, and compares. OpenCV must be ready. */
export const runCase = async (benchCase: BenchCase): Promise<BenchRow> => {
  const { bytes, known } = await sourceOf(benchCase);
  const row = await measured(benchCase, bytes, known).catch((cause: unknown) =>
    faultRow(benchCase, known, cause),
  );
  if (benchCase.pictureFolder !== null && !isRight(row)) {
    await sharp(bytes)
      .resize(PICTURE_PX, PICTURE_PX, { fit: 'inside' })
      .jpeg({ quality: 60 })
      .toFile(join(benchCase.pictureFolder, pictureName(row.name)));
  }
  return row;
};
