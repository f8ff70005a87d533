import { type CameraFacts, priorFocalPx } from './camera';
import type { Homography } from './plane';

/**
 * How the table stands to the camera: its normal is (slopeX, slopeY, 1) in the camera's axes (right, down, forward), and either slope is known to
 * `uncertainty` (standard, about radians). Slopes are those that a camera of the assumed focal length ({@link priorFocalPx}) sees.
 */
export interface CameraLevel {
  readonly slopeX: number;
  readonly slopeY: number;
  readonly uncertainty: number;
}

/** Nothing is known but that photos of this kind are taken by hand from above: tilts of about 7° and seldom over 15° (assumed; the given photos lie between 6° and 12°). */
export const heldByHand: CameraLevel = { slopeX: 0, slopeY: 0, uncertainty: 0.12 };

/**
 * Slopes of a plane from its map: the last row is the plane's horizon, and the normal is Kᵀ times the horizon (R. Hartley & A. Zisserman, Multiple View
 * Geometry, 2nd ed. 2004, result 8.16).
 */
export const slopesOf = (
  photoToPlane: Homography,
  camera: CameraFacts,
  focalPx = priorFocalPx(camera).value,
): readonly [number, number] => {
  const [, , , , , , g, h, i] = photoToPlane;
  const z = i + (g * camera.widthPx) / 2 + (h * camera.heightPx) / 2;
  return [(focalPx * g) / z, (focalPx * h) / z];
};

/** A thing that shows its own tilt leans on the rest of the photo no more than this, rad: fabric and grain may be bent. */
const leastBesideOwn = 0.08;

/** The level for a thing that shows its own tilt: it only keeps a fit from running off. */
export const looseLevel = (level: CameraLevel): CameraLevel => ({
  ...level,
  uncertainty: Math.max(level.uncertainty, leastBesideOwn),
});
