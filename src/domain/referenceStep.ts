import { type FaceHeight, usualFaceHeight } from './faceHeight';
import type { ScaleReference } from './measurement';
import type { Homography, PlaneMap } from './plane';

/**
 * A plane in units of a reference's own step, in millimetres once the step is known; an uncertain height of its face makes its scale uncertain by
 * its share of the camera's height.
 */
export const inMillimetres = (unit: PlaneMap, stepMm: number, face: FaceHeight | null): PlaneMap => {
  const [a, b, c, d, e, f, g, h, i] = unit.photoToPlane;
  const photoToPlane: Homography = [
    a * stepMm,
    b * stepMm,
    c * stepMm,
    d * stepMm,
    e * stepMm,
    f * stepMm,
    g,
    h,
    i,
  ];
  const height = unit.cameraHeightMm;
  const heightShare = face && height ? face.uncertaintyMm / (height.value * stepMm) : 0;
  return {
    ...unit,
    photoToPlane,
    relativeUncertainty: Math.hypot(unit.relativeUncertainty, heightShare),
    referenceHeightMm: face?.heightMm ?? unit.referenceHeightMm,
    cameraHeightMm: height && {
      value: height.value * stepMm,
      standardUncertainty: height.standardUncertainty * stepMm,
    },
  };
};

/**
 * A reference whose open question has been answered: its step (a mat's heavy line spacing, the length between two points)
 * is `stepMm` millimetres. `face` is how high its face lies, where that is known better than usual. A reference that knows no plane in its own units is returned with its question still open.
 * @throws RangeError when the step is not a positive length.
 */
export const withStep = (
  reference: ScaleReference,
  stepMm: number,
  face: FaceHeight | null = usualFaceHeight(reference.kind),
): ScaleReference => {
  if (!(stepMm > 0) || !Number.isFinite(stepMm)) throw new RangeError('A step must be a positive length.');
  if (reference.unitPlane === null) return reference;
  return {
    ...reference,
    pitchMm: stepMm,
    question: null,
    plane: inMillimetres(reference.unitPlane, stepMm, face),
  };
};
