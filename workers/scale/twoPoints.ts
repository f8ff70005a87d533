import { priorFocalPx } from '../../src/domain/camera';
import type { PhotoFacts, ScaleReference } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import { inMillimetres } from '../../src/domain/referenceStep';
import { bowShare } from './bowShare';
import type { ReferenceFinder } from './kind';
import { planeOnLevel } from './planeOnLevel';
import { sameThing } from './sameThing';
import { wantedAt } from './wantedAt';

/** A tap lands within about this of the point that was meant, px of the photo's long side of 2000 (assumed; the loupe shows pixels). */
const tapPxPer2000 = 0.8;
/** Standard deviation of the tilt of a photo taken by hand from above, radians (6°; assumed, the given photos lie between 6° and 12°). */
const handTiltRad = 0.105;
/** Shortening of lengths along the tilt, 1 − cos, for a tilt of twice that: what even a length in the middle of the swatch cannot tell. */
const shorteningShare = 0.012;

/**
 * Relative standard uncertainty of a scale that was taken at one place and is used in the photo's middle, where the swatch is, when the
 * tilt is unknown: along a plane tilted by t the scale changes by tan t for every focal length of picture (pinhole camera).
 */
export const unknownTiltShare = (at: { x: number; y: number }, photo: PhotoFacts): number => {
  const awayPx = Math.hypot(at.x - photo.widthPx / 2, at.y - photo.heightPx / 2);
  return Math.hypot(shorteningShare, (Math.tan(handTiltRad) * awayPx) / priorFocalPx(photo).value);
};

/** A plane that is parallel to the picture, with its scale from one length. */
export const levelPlane = (
  mmPerPx: number,
  photo: { widthPx: number; heightPx: number; focalLength35Mm: number | null },
  relativeUncertainty: number,
  heightMm: number,
): PlaneMap => {
  const focal = priorFocalPx(photo);
  const height = focal.value * mmPerPx;
  return {
    photoToPlane: [mmPerPx, 0, 0, 0, mmPerPx, 0, 0, 0, 1],
    residualPx: 0,
    relativeUncertainty,
    tiltRad: null,
    cameraHeightMm: {
      value: height,
      standardUncertainty:
        height * Math.hypot(focal.standardUncertainty / focal.value, relativeUncertainty, 0.02),
    },
    referenceHeightMm: heightMm,
  };
};

const oneLength = 'Two points give one length.';
const nothingOfTilt =
  'They say nothing of the camera’s tilt: lay them close to the swatch and hold the camera square over it; the ± is wider for it.';

export const twoPointsKind: ReferenceFinder = {
  kind: 'twoPoints',
  sameWithin: sameThing,
  find: () => [],
  correct: (context, { handles, lengthMm }): ScaleReference => {
    const { photo } = context;
    const [a, b] = handles;
    if (a === undefined || b === undefined)
      throw new RangeError('Put down two points with a known length between them.');
    const lengthPx = Math.hypot(b.x - a.x, b.y - a.y);
    if (lengthPx < 10) throw new RangeError('The two points are too close together; put them further apart.');
    if (lengthMm !== null && !(lengthMm > 0))
      throw new RangeError('The length between the two points must be more than zero.');
    const tapPx = (tapPxPer2000 * Math.max(photo.widthPx, photo.heightPx)) / 2000;
    const lengthShare = Math.hypot(
      (Math.SQRT2 * tapPx) / lengthPx,
      bowShare(photo, [a, b], wantedAt(context)),
    );
    const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    const level = context.level();
    const told = level.isFromFabric === true;
    const unit = told
      ? planeOnLevel([a, b], level, photo, wantedAt(context), lengthShare)
      : levelPlane(1 / lengthPx, photo, Math.hypot(lengthShare, unknownTiltShare(middle, photo)), 0);
    return {
      kind: 'twoPoints',
      score: 0.5,
      outline: [[a, b]],
      handles: [a, b],
      pitchMm: null,
      question: lengthMm === null ? 'length' : null,
      plane: lengthMm === null ? null : inMillimetres(unit, lengthMm, null),
      unitPlane: unit,
      sentence: told ? oneLength : `${oneLength} ${nothingOfTilt}`,
    };
  },
};
