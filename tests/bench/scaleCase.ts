import { readFileSync } from 'node:fs';
import { decodeInNode } from '../../cli/decode';
import { foundScale } from '../../cli/verdict';
import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { PhotoFacts, ScaleReference } from '../../src/domain/measurement';
import { TRUSTED_SCORE } from '../../src/domain/scaleDoubt';
import type { MeasureHints } from '../../workers/contract';
import type { WorkImage } from '../../workers/image';
import { openPhoto } from '../../workers/photo/openPhoto';
import { correctReference, findReferences } from '../../workers/scale/references';
import { seeded } from '../builders/random';
import { drawScene } from '../builders/scene';
import { tellsFocalLength } from '../builders/scene-random';
import { type ScaleKind, scaleSpec } from '../builders/scene-scale';
import { scaleErrorOf } from './compare';
import { knownFromScene } from './known';
import type { KnownPhoto } from './row';
import { asJpeg } from './runCase';

/** One photo whose scale is to be found: a given one with its truth, or one to be drawn. */
export interface ScaleCase {
  readonly name: string;
  readonly kind: string;
  readonly source:
    | { readonly from: 'file'; readonly path: string; readonly known: KnownPhoto }
    | { readonly from: 'seed'; readonly seed: number; readonly kind: ScaleKind; readonly maximumPx: number };
}

/** What came of one photo's scale. Errors are shares: value / truth − 1. */
export interface ScaleRow {
  readonly name: string;
  readonly kind: string;
  /** Error of the reference that is there, found untouched (a caliper: after a tap on either jaw) and told its size; null where it was not found. */
  readonly error: number | null;
  /** Its own ±, as a share at 95 %. */
  readonly plusMinus: number | null;
  readonly score: number | null;
  /** Whether the reference that is there was found, but is too unsure to give lengths unasked. */
  readonly isAskedAbout: boolean;
  /** What is wrong with a scale that would be taken without a question, in words; null where all is well. */
  readonly wrong: string | null;
  readonly millisecondsToFind: number;
}

/** A photo ready to be looked at, and where a user would tap it. */
export interface ScalePhoto {
  readonly bytes: Uint8Array;
  readonly known: KnownPhoto;
  /** A point on either jaw of a caliper and how far it is opened, if there is one. */
  readonly jaws: { readonly taps: readonly PhotoPoint[]; readonly openingMm: number } | null;
}

/** A reference further off than this is another thing that was taken for it. */
const FOUND_WITHIN = 0.05;
/** A scale is wrong where it is off by more than this and by more than its own ±. */
const WRONG_BEYOND = 0.01;
/** A finger lands within this share of the photo's long side of the jaw that it means. */
const TAP_SHARE = 0.003;

/** Draws or reads the photo of a case. */
export const scalePhoto = async ({ source }: ScaleCase): Promise<ScalePhoto> => {
  if (source.from === 'file') {
    return { bytes: readFileSync(source.path), known: source.known, jaws: null };
  }
  const spec = scaleSpec(source.seed, source.kind, source.maximumPx);
  const { image, truth } = drawScene(spec);
  const scene = seeded(source.seed);
  const focalLength35Mm = tellsFocalLength(scene) ? truth.focalLength35Mm : null;
  const random = scene.fork('taps');
  const off = (): number => random.between(-TAP_SHARE, TAP_SHARE) * Math.max(image.widthPx, image.heightPx);
  const { reference } = truth;
  return {
    bytes: await asJpeg(image, spec.jpegQuality ?? 95, focalLength35Mm),
    known: knownFromScene(truth),
    jaws:
      reference.kind !== 'caliper'
        ? null
        : {
            taps: reference.jawsPx.map(([x, y]) => photoPoint(x + off(), y + off())),
            openingMm: reference.openingMm,
          },
  };
};

const hintsFrom = (said: Partial<MeasureHints>): MeasureHints => ({
  gridPitchMm: null,
  reference: 'auto',
  region: null,
  thicknessMm: null,
  ...said,
});

const middleOf = ({ scalePoints }: KnownPhoto): { x: number; y: number } => ({
  x: scalePoints.reduce((sum, { px }) => sum + px[0] / scalePoints.length, 0),
  y: scalePoints.reduce((sum, { px }) => sum + px[1] / scalePoints.length, 0),
});

/** The reference whose millimetres the command would take without a further question, if there is one. */
const acceptedOf = (references: readonly ScaleReference[], known: KnownPhoto): ScaleReference | null => {
  const chosen = references.find(({ plane, score }) => plane !== null && score >= TRUSTED_SCORE);
  return chosen !== undefined && foundScale(chosen, references, middleOf(known)).settled ? chosen : null;
};

/** The plane of another kind of thing lies a little higher or lower than the one that is known; that much cannot count as wrong. */
const HEIGHT_SHARE = 0.01;

const wrongIn = (references: readonly ScaleReference[], known: KnownPhoto, when: string): string | null => {
  const accepted = acceptedOf(references, known);
  const error = scaleErrorOf(accepted?.plane ?? null, known);
  if (!accepted?.plane || error === null) return null;
  const slack = accepted.kind === known.referenceKind ? 0 : HEIGHT_SHARE;
  const limit = Math.max(WRONG_BEYOND, 2 * accepted.plane.relativeUncertainty) + slack;
  return Math.abs(error) > limit ? `${when}: a ${accepted.kind} off by ${(100 * error).toFixed(1)} %` : null;
};

const jawsFound = (work: WorkImage, facts: PhotoFacts, jaws: ScalePhoto['jaws']): ScaleReference[] => {
  if (jaws === null) return [];
  try {
    return [
      correctReference(work, facts, {
        kind: 'caliper',
        handles: jaws.taps,
        pitchMm: null,
        lengthMm: jaws.openingMm,
      }),
    ];
  } catch (cause) {
    if (cause instanceof RangeError) return [];
    throw cause;
  }
};

/** Finds the scale of one photo, first untold and then told what its user would say once. OpenCV must be ready. */
export const scaleRow = async (scaleCase: ScaleCase, photo: ScalePhoto): Promise<ScaleRow> => {
  const { known } = photo;
  const { work, facts } = await openPhoto(photo.bytes, decodeInNode);
  const untold = findReferences(work, facts, hintsFrom({}));
  const begun = performance.now();
  const found = findReferences(work, facts, hintsFrom(known.said));
  const millisecondsToFind = performance.now() - begun;
  const told = [...jawsFound(work, facts, photo.jaws), ...found];
  const ofKind = told.filter(({ kind }) => kind === known.referenceKind);
  const own = ofKind.find(({ score }) => score >= TRUSTED_SCORE);
  const error = scaleErrorOf(own?.plane ?? null, known);
  const right = error !== null && Math.abs(error) < FOUND_WITHIN;
  return {
    name: scaleCase.name,
    kind: scaleCase.kind,
    error: right ? error : null,
    plusMinus: right && own?.plane ? 2 * own.plane.relativeUncertainty : null,
    score: own?.score ?? null,
    isAskedAbout: own === undefined && ofKind.length > 0,
    wrong: wrongIn(untold, known, 'untold') ?? wrongIn(told, known, 'told'),
    millisecondsToFind,
  };
};
