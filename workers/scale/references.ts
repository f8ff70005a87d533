import type { PhotoFacts, ScaleReference } from '../../src/domain/measurement';
import type { MeasureHints, ReferenceCorrection } from '../contract';
import type { WorkImage } from '../image';
import { weighedAgainstGrid } from './agreement';
import { scaleContext } from './context';
import type { ScaleContext } from './kind';
import { correctedBeside } from './levelled';
import { referenceKinds } from './registry';

/**
 * Finds everything of known length in a photo, best first. Nothing found gives an empty list. Photo coordinates in and out are px of
 * the full, upright photo; planes are in mm, or in steps of the reference while its `question` is open.
 */
export const findReferences = (work: WorkImage, photo: PhotoFacts, hints: MeasureHints): ScaleReference[] => {
  if (hints.reference === 'none') return [];
  return referencesIn(scaleContext(work, photo, hints));
};

/** {@link findReferences} in a photo whose pictures are there already. */
export const referencesIn = (context: ScaleContext): ScaleReference[] => {
  const { hints } = context;
  const found = referenceKinds
    .filter((kind) => hints.reference === 'auto' || kind.kind === hints.reference)
    .flatMap((kind) => kind.find(context))
    .sort((a, b) => b.score - a.score);
  return weighedAgainstGrid(found).sort((a, b) => b.score - a.score);
};

/**
 * Fits one reference again to the handles that the user moved: they are snapped to the edges and lines nearby, two free points are
 * taken exactly. Stitches that are known already tell how the camera was tilted.
 * @throws RangeError with a sentence for the user when the handles cannot be what they should be.
 */
export const correctReference = (
  work: WorkImage,
  photo: PhotoFacts,
  correction: ReferenceCorrection,
): ScaleReference => {
  const kind = referenceKinds.find((k) => k.kind === correction.kind);
  if (kind === undefined)
    throw new RangeError('This kind of reference cannot be corrected by hand; place two points instead.');
  const hints: MeasureHints = {
    gridPitchMm: correction.pitchMm,
    tickPitchMm: correction.pitchMm,
    coinDiameterMm: correction.lengthMm,
    paperSize: correction.paperSize ?? null,
    reference: correction.kind,
    region: null,
    thicknessMm: null,
  };
  return correctedBeside(kind, scaleContext(work, photo, hints), correction);
};
