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
  /** Whether the evenness of the fabric's own stitches tells it; its uncertainty is then that of measured places, not a rough guess. */
  readonly isFromFabric?: boolean;
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

/** A level told by a printed grid is better known than this, rad. */
const ownPlane = 0.01;
/** Rows, threads and grain may be bent and not square: a thing that shows its own tilt leans on them this much less than they themselves say. */
const bentShare = 1.5;

/**
 * The level for a thing that shows its own tilt: that of a printed grid is taken as it is, that of rows, threads and grain only keeps a fit from running
 * off.
 */
export const levelBeside = (level: CameraLevel): CameraLevel =>
  level.uncertainty < ownPlane ? level : { ...level, uncertainty: bentShare * level.uncertainty };
