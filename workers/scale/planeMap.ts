import { type CameraFacts, cameraPose, relativeScaleUncertainty } from '../../src/domain/camera';
import type { PlaneMap } from '../../src/domain/plane';
import type { PlaneFit } from '../../src/domain/planeFitCovariance';

/**
 * A plane map from a fit whose plane is in mm (or in steps of the reference; the camera's height is then in steps too).
 * @param tolerance relative standard uncertainty of the reference's own length.
 * @param at where in the photo (px) the scale is wanted; in its middle unless said.
 */
export const planeMapFrom = (
  fit: PlaneFit,
  camera: CameraFacts,
  tolerance: number,
  referenceHeightMm: number,
  at: { readonly x: number; readonly y: number } = { x: camera.widthPx / 2, y: camera.heightPx / 2 },
): PlaneMap => {
  const pose = cameraPose(fit, camera);
  return {
    photoToPlane: fit.photoToPlane,
    residualPx: fit.residualPx,
    relativeUncertainty: Math.hypot(relativeScaleUncertainty(fit, at.x, at.y), tolerance),
    tiltRad: pose.tiltRad,
    cameraHeightMm: {
      value: pose.height.value,
      standardUncertainty: pose.height.standardUncertainty,
    },
    referenceHeightMm,
  };
};
