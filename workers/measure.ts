import type { Measurement, PhotoFacts, ScaleReference, StitchFinding } from '../src/domain/measurement';
import { TRUSTED_SCORE } from '../src/domain/scaleDoubt';
import { type MeasureHints, type Stage, VisionFailure } from './contract';
import type { WorkImage } from './image';
import { onlyRegion } from './photo/onlyRegion';
import { scaleContext } from './scale/context';
import { levelledByFabric } from './scale/levelled';
import { correctReference, referencesIn } from './scale/references';
import { findStitches } from './stitches/findStitches';

/** Called as the pipeline goes on: the stage that runs and the share of the whole that is done, 0 to 1. */
export type OnStage = (stage: Stage, share: number) => void;

/** Flat things that lie beside the swatch and whose own pattern must not be taken for stitches. */
const besideSwatch: ReadonlySet<ScaleReference['kind']> = new Set([
  'card',
  'ruler',
  'coin',
  'caliper',
  'sheet',
]);

/** Share of the whole that is usually done when a stage begins: what the stages took on sample photos. */
const beginsAt: Readonly<Record<Stage, number>> = {
  load: 0,
  decode: 0,
  reference: 0,
  pitch: 0.4,
  template: 0.65,
  grid: 0.85,
  confidence: 0.98,
};
const stages = Object.keys(beginsAt) as Stage[];

/**
 * Turns "so much of this stage" into "so much of the whole". A stage may come again when a first attempt was not good enough; the share then stays
 * where it was, because progress that runs backwards tells nobody anything.
 */
const forwards = (onStage: OnStage): OnStage => {
  let reached = 0;
  return (stage, shareOfStage) => {
    const next = stages[stages.indexOf(stage) + 1];
    const end = next === undefined ? 1 : beginsAt[next];
    reached = Math.max(reached, beginsAt[stage] + shareOfStage * (end - beginsAt[stage]));
    onStage(stage, reached);
  };
};

const chosenAmong = (references: readonly ScaleReference[]): number | null => {
  const at = references.findIndex(
    (reference) => reference.plane !== null && reference.score >= TRUSTED_SCORE,
  );
  return at < 0 ? null : at;
};

/** What the user has pointed out comes first: it was put there on purpose. @throws VisionFailure when nothing of the kind is there. */
const placedReference = (work: WorkImage, photo: PhotoFacts, { placed }: MeasureHints): ScaleReference[] => {
  if (!placed) return [];
  try {
    return [correctReference(work, photo, placed)];
  } catch (cause) {
    if (cause instanceof RangeError) throw new VisionFailure('correctionRefused', cause.message, { cause });
    throw cause;
  }
};

/** From this score on a reference is beyond doubt; where there is one, another must come near it to be kept off the fabric: round spots are many. */
const SURE_SCORE = 0.9;
const NEARLY_SURE_SCORE = 0.8;

const masksFrom = (references: readonly ScaleReference[]): ScaleReference['outline'] => {
  const least = references.some(({ score }) => score >= SURE_SCORE) ? NEARLY_SURE_SCORE : TRUSTED_SCORE;
  return references
    .filter((reference) => besideSwatch.has(reference.kind) && reference.score >= least)
    .flatMap((reference) => reference.outline.filter((line) => line.length >= 3));
};

const findStitchesFrom = (
  work: WorkImage,
  hints: MeasureHints,
  references: readonly ScaleReference[],
  onStage: OnStage,
): StitchFinding =>
  findStitches(hints.region ? onlyRegion(work, hints.region) : work, {
    region: hints.region,
    maskOut: masksFrom(references),
    onStage,
  });

/** Keeps how long each part took, ms. */
const stopwatch = (): { lap(name: string): void; readonly timingsMs: Record<string, number> } => {
  const timingsMs: Record<string, number> = {};
  let last = performance.now();
  return {
    timingsMs,
    lap: (name) => {
      const now = performance.now();
      timingsMs[name] = (timingsMs[name] ?? 0) + now - last;
      last = now;
    },
  };
};

/**
 * The whole pipeline for one photo: references, then stitches, then the references once more with what the stitches tell of the tilt; with what each found and how
 * sure it is.
 * OpenCV must be ready. `timingsMs` holds the milliseconds of each stage and their `total`.
 */
export const measure = (
  work: WorkImage,
  photo: PhotoFacts,
  hints: MeasureHints,
  onStage: OnStage = () => undefined,
): Measurement => {
  const { lap, timingsMs } = stopwatch();
  const report = forwards(onStage);
  report('reference', 0);
  const context = scaleContext(work, photo, hints);
  const found = hints.reference === 'none' ? [] : referencesIn(context);
  const seen = [...placedReference(work, photo, hints), ...found];
  lap('reference');
  let stage: Stage = 'pitch';
  const stitches = findStitchesFrom(work, hints, seen, (next, share) => {
    if (next !== stage) lap(stage);
    stage = next;
    report(next, share);
  });
  lap(stage);
  const references = levelledByFabric(context, seen, stitches);
  lap('reference');
  const total = Object.values(timingsMs).reduce((sum, ms) => sum + ms, 0);
  return {
    photo,
    references,
    chosenReference: chosenAmong(references),
    stitches,
    timingsMs: { ...timingsMs, total },
  };
};

/** Looks for the stitches again, in the region that the hints give, with the references masked out. */
export const measureStitches = (
  work: WorkImage,
  photo: PhotoFacts,
  hints: MeasureHints,
  onStage: OnStage = () => undefined,
): StitchFinding => measure(work, photo, hints, onStage).stitches;
