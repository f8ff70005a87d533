import type { CameraFacts } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import { invertHomography } from '../../src/domain/plane';
import { fitPlaneToLines } from '../../src/domain/planeFit';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import type { Corner } from './quads';
import { type MeasuredSide, measureSide, sideSightings } from './sides';

export interface RectangleSize {
  /** Length of the first and third side, mm. */
  readonly longMm: number;
  readonly shortMm: number;
  /** Share of a side left out at its ends. */
  readonly leaveOut: number;
  /** Height of the face above the table, mm. */
  readonly heightMm: number;
}

/** A rectangle of known size fitted to its four sides: work px → mm, with the measured sides. */
export interface FittedRectangle {
  readonly fit: PlaneFit;
  /** The same sides without any assumption about the camera. */
  readonly free: PlaneFit;
  readonly sides: readonly MeasuredSide[];
  readonly corners: readonly Corner[];
}

const centreOf = (corners: readonly Corner[]): Corner => ({
  x: corners.reduce((s, c) => s + c.x, 0) / corners.length,
  y: corners.reduce((s, c) => s + c.y, 0) / corners.length,
});

const sizeCorners = (size: RectangleSize): Corner[] => [
  { x: 0, y: 0 },
  { x: size.longMm, y: 0 },
  { x: size.longMm, y: size.shortMm },
  { x: 0, y: size.shortMm },
];

/** A side's place is uncertain by this much as a whole: bevel, shadow, blur (assumed), px. */
const sidePx = 0.6;

/** Every few places, as many as tell the fit all it can learn. */
const thinned = (sightings: readonly LineSighting[]): LineSighting[] => {
  const every = Math.max(1, Math.floor(sightings.length / 160));
  return sightings.filter((_, i) => i % every === 0);
};

/**
 * Fits the plane to the four straight sides of a rectangle of known size, starting from rough corners (first side long).
 * @returns null when a side cannot be seen.
 */
export const fitRectangle = (
  images: readonly GreyImage[],
  rough: readonly Corner[],
  size: RectangleSize,
  camera: CameraFacts,
  searchPx: number,
): FittedRectangle | null => {
  let h = homographyFromPoints(rough, sizeCorners(size));
  if (h === null) return null;
  let corners = rough;
  let result: FittedRectangle | null = null;
  for (const reach of [searchPx, 2.5]) {
    const inside = centreOf(corners);
    const start = h;
    const sides: MeasuredSide[] = [];
    for (let n = 0; n < 4; n++) {
      const a = corners[n];
      const b = corners[(n + 1) % 4];
      if (a === undefined || b === undefined) return null;
      // A face's foot and its shadow show beside it by up to about the thickness, seen aslant.
      const pxPerMm = Math.hypot(b.x - a.x, b.y - a.y) / (n % 2 === 0 ? size.longMm : size.shortMm);
      const footPx = result === null ? 0 : 1.1 * size.heightMm * pxPerMm;
      const side = measureSide(images, a, b, inside, { searchPx: reach, leaveOut: size.leaveOut, footPx });
      if (side === null) return null;
      sides.push(side);
    }
    const sightings = sides.flatMap((side, n) =>
      sideSightings(side, n % 2 === 0 ? 1 : 0, n === 1 ? size.longMm : n === 2 ? size.shortMm : 0, n),
    );
    const free = fitPlaneToLines(sightings, start);
    const fit =
      free === null ? null : fitCameraToLines(thinned(sightings), free.photoToPlane, camera, sidePx);
    if (free === null || fit === null) return null;
    h = fit.photoToPlane;
    const back = invertHomography(h);
    corners = sizeCorners(size).map((c) => {
      const [x, y] = mapPoint(back, c.x, c.y);
      return { x, y };
    });
    result = { fit, free, sides, corners };
  }
  return result;
};
