import type { CameraLevel } from '../../src/domain/cameraLevel';
import { cornerCentre } from '../../src/domain/countWindow';
import { levelOfFabric } from '../../src/domain/fabricTilt';
import type { StitchGrid } from '../../src/domain/grid';
import type { ScaleReference, StitchFinding } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import { localScale } from '../../src/domain/planeFitAlgebra';
import { statementsIn } from '../../src/domain/referenceSentence';
import type { ReferenceCorrection } from '../contract';
import type { ReferenceFinder, ScaleContext } from './kind';
import { referenceKinds } from './registry';
import { sameThing } from './sameThing';

const finderOf = ({ kind }: ScaleReference): ReferenceFinder | undefined =>
  referenceKinds.find((k) => k.kind === kind);

/** What the swatch, once found, tells of where the scale is wanted and how the table stands to the camera. */
export type FabricSeen = Pick<StitchFinding, 'grid' | 'window'>;

/** A photo in which the swatch is known. */
type FabricContext = ScaleContext & { readonly swatchAt: { readonly x: number; readonly y: number } };

/** The fabric's level, where it tells more than the rest of the photo does. */
const levelSeenIn = (context: ScaleContext, grid: StitchGrid): CameraLevel | null => {
  if (context.grid() !== null) return null;
  const level = levelOfFabric(grid, context.photo);
  return level !== null && level.uncertainty < context.level().uncertainty ? level : null;
};

/**
 * The same photo, with the scale wanted in the middle of the swatch and the level of the table as the fabric's own stitches tell it, where nothing else, such as a
 * printed grid, tells it better. Null where no swatch was found.
 */
const besideFabric = (context: ScaleContext, { grid, window }: FabricSeen): FabricContext | null => {
  if (grid === null || window === null || window.corners.length === 0) return null;
  const level = levelSeenIn(context, grid);
  return {
    ...context,
    level: level === null ? context.level : () => level,
    swatchAt: cornerCentre(window.corners),
  };
};

/** What stands for less is left as it is: fitting it again is not worth the time. */
const leastScore = 0.2;
/** Two scales from the same thing that differ by more than so many of their standard uncertainties contradict each other. */
const contradiction = 2.5;
/** What is fitted to more observations should hardly move, and not by so many of the standard uncertainties that it had with fewer. */
const ownContradiction = 2;

const planeOf = (reference: ScaleReference): PlaneMap | null => reference.plane ?? reference.unitPlane;

/** ln of how much longer one plane makes lengths than another, at a place. */
const longerAt = (a: PlaneMap, b: PlaneMap, { x, y }: { x: number; y: number }): number =>
  Math.log(localScale(a.photoToPlane, x, y) / localScale(b.photoToPlane, x, y));

/** Says before the question at the end of a sentence where the tilt comes from. */
const told = (sentence: string, words: string): string => {
  const statements = statementsIn(sentence);
  return `${statements} ${words}${sentence.slice(statements.length)}`;
};

const tiltTold = 'How the camera was tilted is told by the evenness of the stitches.';
const tiltDoubted =
  'How the camera was tilted is told by the evenness of the stitches, but this does not agree with what was seen of the tilt otherwise, so the ± is wider.';

/** A reference that was fitted beside the fabric, with a word on it. */
const toldByFabric = (reference: ScaleReference): ScaleReference => ({
  ...reference,
  sentence: told(reference.sentence, tiltTold),
});

/** The thing fitted again in another context; null when it is not found there any more. */
const fittedAgain = (
  kind: ReferenceFinder,
  context: FabricContext,
  found: ScaleReference,
): ScaleReference | null => {
  const { placed, paperSize } = context.hints;
  try {
    return kind.correct(context, {
      kind: found.kind,
      handles: found.handles,
      pitchMm: found.pitchMm,
      lengthMm: placed?.kind === found.kind ? placed.lengthMm : null,
      paperSize: paperSize ?? null,
    });
  } catch (cause) {
    if (cause instanceof RangeError) return null;
    throw cause;
  }
};

const widened = (reference: ScaleReference, least: number): ScaleReference => {
  const wide = (plane: PlaneMap | null): PlaneMap | null =>
    plane && { ...plane, relativeUncertainty: Math.max(plane.relativeUncertainty, least) };
  return { ...reference, plane: wide(reference.plane), unitPlane: wide(reference.unitPlane) };
};

/** A scale from handles that leaves more than this open (standard, as a share), because fabric and photo contradict each other, is not taken unasked. */
const mostDoubt = 0.0175;
const doubtfulScore = 0.25;

/** A reference as it was fitted beside the fabric; what it was without the fabric widens its ± where the two contradict each other. */
const besideBare = (
  context: FabricContext,
  before: ScaleReference,
  after: ScaleReference,
): { readonly agrees: boolean; readonly reference: ScaleReference } => {
  const [a, b] = [planeOf(before), planeOf(after)];
  if (a === null || b === null) return { agrees: true, reference: toldByFabric(after) };
  const apart = Math.abs(longerAt(b, a, context.swatchAt));
  if (apart < contradiction * Math.hypot(a.relativeUncertainty, b.relativeUncertainty))
    return { agrees: true, reference: toldByFabric(after) };
  const least = Math.max(a.relativeUncertainty, apart / 2);
  return {
    agrees: false,
    reference: {
      ...widened(after, least),
      sentence: told(after.sentence, tiltDoubted),
    },
  };
};

/**
 * A reference that is fitted to handles beside what the stitches tell of the tilt.
 * @throws RangeError as the kind of reference does.
 */
export const correctedBeside = (
  kind: ReferenceFinder,
  context: ScaleContext,
  correction: ReferenceCorrection,
): ScaleReference => {
  const beside = correction.stitches ? besideFabric(context, correction.stitches) : null;
  if (beside === null || kind.sameWithin === undefined) return kind.correct(context, correction);
  const after = kind.correct(beside, correction);
  if (beside.level().isFromFabric !== true) return after;
  try {
    const before = kind.correct({ ...context, swatchAt: beside.swatchAt }, correction);
    const { agrees, reference } = besideBare(beside, before, after);
    const isDoubtful = !agrees && (planeOf(reference)?.relativeUncertainty ?? 0) > mostDoubt;
    return isDoubtful ? { ...reference, score: Math.min(reference.score, doubtfulScore) } : reference;
  } catch (cause) {
    // Without the fabric the handles make no sense, so nothing contradicts it.
    if (cause instanceof RangeError) return toldByFabric(after);
    throw cause;
  }
};

/** One reference with the fabric's level taken into its fit; as it was where that cannot be done. */
const levelled = (context: FabricContext, found: ScaleReference): ScaleReference => {
  const before = planeOf(found);
  const kind = finderOf(found);
  if (before === null || kind?.sameWithin === undefined || found.score < leastScore) return found;
  const again = fittedAgain(kind, context, found);
  const after = again && planeOf(again);
  if (again === null || after === null || (found.plane === null) !== (again.plane === null)) return found;
  const changed = Math.abs(longerAt(after, before, cornerCentre(found.handles)));
  if (changed > kind.sameWithin) return found;
  const apart = Math.abs(longerAt(after, before, context.swatchAt));
  const agrees =
    changed <= sameThing &&
    apart < contradiction * Math.hypot(before.relativeUncertainty, after.relativeUncertainty);
  // A thing that shows its own tilt as well as the fabric does gains nothing; where what is known besides moves it by more than its own ± allows, that was too narrow.
  const stays = apart <= ownContradiction * before.relativeUncertainty;
  if (agrees && stays && kind.showsTilt !== true && after.relativeUncertainty >= before.relativeUncertainty)
    return found;
  const kept = { ...again, score: found.score };
  if (context.level().isFromFabric !== true) return kept;
  return agrees
    ? toldByFabric(kept)
    : {
        ...widened(kept, Math.max(before.relativeUncertainty, apart / 2, changed / 2)),
        sentence: told(again.sentence, tiltDoubted),
      };
};

/**
 * References with what the stitches tell of the tilt of the table. A coin, a ruler or a card gives the scale where it lies; how that changes on the way to the swatch
 * hangs on the tilt, which the thing itself hardly shows and an even fabric shows well. Each is fitted again to its own edges and marks with the fabric's level
 * beside them, so that every observation counts once. Contradiction between the two widens the ±. What shows its own tilt is fitted again wherever the swatch is known: its ±
 * holds there.
 */
export const levelledByFabric = (
  context: ScaleContext,
  references: readonly ScaleReference[],
  fabric: FabricSeen,
): readonly ScaleReference[] => {
  if (!references.some((reference) => finderOf(reference)?.sameWithin !== undefined)) return references;
  const beside = besideFabric(context, fabric);
  if (beside === null) return references;
  const isTold = beside.level().isFromFabric === true;
  return references.map((reference) =>
    isTold || finderOf(reference)?.showsTilt === true ? levelled(beside, reference) : reference,
  );
};
