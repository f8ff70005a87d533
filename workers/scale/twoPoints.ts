import { priorFocalPx } from '../../src/domain/camera';
import type { ScaleReference } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import type { ReferenceFinder } from './kind';

/** A tap lands within about this of the point that was meant, px of the photo's long side of 2000 (assumed; the loupe shows pixels). */
const tapPxPer2000 = 0.8;
/**
 * Without tilt information lengths at other places and directions are off by up to the tilt's effect: a hand-held photo is tilted by
 * about 8° (assumed), which shortens lengths by up to 1 − cos 8° along the tilt and changes the scale across the swatch.
 */
const unknownTiltShare = 0.012;

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

export const twoPointsKind: ReferenceFinder = {
  kind: 'twoPoints',
  find: () => [],
  correct: ({ photo }, { handles, lengthMm }): ScaleReference => {
    const [a, b] = handles;
    if (a === undefined || b === undefined)
      throw new RangeError('Put down two points with a known length between them.');
    const lengthPx = Math.hypot(b.x - a.x, b.y - a.y);
    if (lengthPx < 10) throw new RangeError('The two points are too close together; put them further apart.');
    if (lengthMm !== null && !(lengthMm > 0))
      throw new RangeError('The length between the two points must be more than zero.');
    const tapPx = (tapPxPer2000 * Math.max(photo.widthPx, photo.heightPx)) / 2000;
    const relative = Math.hypot((Math.SQRT2 * tapPx) / lengthPx, unknownTiltShare);
    const unit = levelPlane(1 / lengthPx, photo, relative, 0);
    return {
      kind: 'twoPoints',
      score: 0.5,
      outline: [[a, b]],
      handles: [a, b],
      pitchMm: null,
      question: lengthMm === null ? 'length' : null,
      plane: lengthMm === null ? null : levelPlane(lengthMm / lengthPx, photo, relative, 0),
      unitPlane: unit,
      sentence:
        'Two points give one length and say nothing of the camera’s tilt: hold the camera square over the swatch; the ± is wider for it.',
    };
  },
};
