import type { ScaleReference } from './measurement';
import type { Homography, PlaneMap } from './plane';

/** A plane in units of a reference's own step, in millimetres once the step is known. */
const inMillimetres = (unit: PlaneMap, stepMm: number): PlaneMap => {
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
  return {
    ...unit,
    photoToPlane,
    cameraHeightMm: height && {
      value: height.value * stepMm,
      standardUncertainty: height.standardUncertainty * stepMm,
    },
  };
};

/**
 * A reference whose open question has been answered: its step (a mat's heavy line spacing, the length between two points)
 * is `stepMm` millimetres. A reference that knows no plane in its own units is returned with its question still open.
 * @throws RangeError when the step is not a positive length.
 */
export const withStep = (reference: ScaleReference, stepMm: number): ScaleReference => {
  if (!(stepMm > 0) || !Number.isFinite(stepMm)) throw new RangeError('A step must be a positive length.');
  if (reference.unitPlane === null) return reference;
  return {
    ...reference,
    pitchMm: stepMm,
    question: null,
    plane: inMillimetres(reference.unitPlane, stepMm),
  };
};
