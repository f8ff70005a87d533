import type { CameraFacts } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import type { Homography } from '../../src/domain/plane';
import { fitPlaneToLines } from '../../src/domain/planeFit';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import type { LensBow } from '../../src/domain/planeFitLens';
import { flattened } from './gridFit';
import type { Corner } from './quads';
import { type BowSeen, straightenedSides } from './sideBow';
import { type MeasuredSide, movedSide, sideSightings } from './sides';

export interface RectangleSize {
  /** Length of the first and third side, mm. */
  readonly longMm: number;
  readonly shortMm: number;
  /** Share of a side left out at its ends. */
  readonly leaveOut: number;
  /** Height of the face above the table, mm. */
  readonly heightMm: number;
}

/** The corners in mm, as the sides follow one another. */
export const sizeCorners = (size: RectangleSize): Corner[] => [
  { x: 0, y: 0 },
  { x: size.longMm, y: 0 },
  { x: size.longMm, y: size.shortMm },
  { x: 0, y: size.shortMm },
];

/**
 * A side is placed to so many px by its edges: tight enough that four sides of known ratio tell the focal length, which is only assumed beforehand.
 */
const sidePx = 0.2;
/** A side that is read by face, wall and shadow together is placed to so many px, beside what is open about the whole of it (seen on drawn photos). */
const readSidePx = 0.12;
/** Four sides of known ratio tell the focal length of longer lenses and crops, which a tilt would else be bent to make up for. */
const focalSlack = 4;
/** What bevel, shadow and a bowing lens do to whole sides that are placed by their edges alone makes the fit so many times less certain than the edges say (seen on drawn photos). */
const wholeSides = 2;
/**
 * Places on the sharp sides of a flat thing lie no further than this from the rectangle, px (seen on drawn photos); the more soft, faint or uneven sides leave,
 * the less certain is the fit (Birge's ratio: R. T. Birge, "The calculation of errors by the method of least squares", 1932).
 */
const sharpPx = 0.3;

/** Every few places, as many as tell the fit all it can learn. */
const thinned = (sightings: readonly LineSighting[]): LineSighting[] => {
  const every = Math.max(1, Math.floor(sightings.length / 160));
  return sightings.filter((_, i) => i % every === 0);
};

/** The plane through the four sides, as a lens of this bow shows them: with the camera's pose, and free of any assumption about it. */
const planeThrough = (
  sides: readonly MeasuredSide[],
  lens: LensBow,
  start: Homography,
  size: RectangleSize,
  camera: CameraFacts,
  level: CameraLevel | null,
): { posed: PlaneFit; free: PlaneFit } | null => {
  const sightings: LineSighting[] = straightenedSides(sides, lens).flatMap((side, n) =>
    sideSightings(side, n % 2 === 0 ? 1 : 0, n === 1 ? size.longMm : n === 2 ? size.shortMm : 0, n),
  );
  const free = fitPlaneToLines(sightings, start);
  if (free === null) return null;
  const isRead = sides.every(({ colours }) => colours !== undefined);
  const placePx = isRead ? readSidePx : sidePx;
  const posed = fitCameraToLines(thinned(sightings), free.photoToPlane, camera, placePx, level, focalSlack);
  if (posed === null) return null;
  const wider = ((isRead ? 1 : wholeSides) * Math.max(1, posed.residualPx / sharpPx)) ** 2;
  return { free, posed: { ...posed, covariance: posed.covariance.map((v) => v * wider) } };
};

/** A fit that may as well be another one, which lies one standard uncertainty away: the step between them joins its covariance (JCGM 100:2008, 5.1.3). */
const openBetween = (fit: PlaneFit, other: PlaneFit): PlaneFit => {
  const step = fit.photoToPlane.map((v, i) => (other.photoToPlane[i] ?? v) - v);
  return {
    ...fit,
    covariance: fit.covariance.map((v, k) => v + (step[k >> 3] ?? 0) * (step[k & 7] ?? 0)),
  };
};

/** A side that is known to this many px changes nothing that counts. */
const leastOpenPx = 0.1;

/** All sides with one of them moved by its own standard uncertainty, for each that is open by enough to matter. */
const withOneMoved = (sides: readonly MeasuredSide[]): (readonly MeasuredSide[])[] =>
  sides.flatMap((side, n) => {
    const [first, last] = [side.places[0], side.places[side.places.length - 1]];
    if (side.openPx < leastOpenPx || first === undefined || last === undefined) return [];
    const [dx, dy] = [last.x - first.x, last.y - first.y];
    const length = Math.hypot(dx, dy) || 1;
    const moved = movedSide(side, [-dy / length, dx / length], side.openPx);
    return [sides.map((other, i) => (i === n ? moved : other))];
  });

/** The plane that four sides tell. */
export interface PlaneOfSides {
  /** Nearest plane of the photo as it is, its lens's bow flattened. */
  readonly fit: PlaneFit;
  /** The same sides without any assumption about the camera. */
  readonly free: PlaneFit;
  /** By how much lengths may be off because the lens bows, which one plane does not follow, as a share. */
  readonly leftover: number;
  /** The plane of the photo as it would be without bow. */
  readonly straightened: Homography;
}

/**
 * Fits the plane to the four sides of a rectangle, in the order of its corners; what is open about the bow and about whole sides joins the fit's covariance.
 * @param start a plane near to it.
 * @returns null when the sides do not determine it.
 */
export const planeThroughSides = (
  sides: readonly MeasuredSide[],
  { lens, uncertainty }: BowSeen,
  start: Homography,
  size: RectangleSize,
  camera: CameraFacts,
  level: CameraLevel | null,
): PlaneOfSides | null => {
  const told = planeThrough(sides, lens, start, size, camera, level);
  if (told === null) return null;
  const { fit, leftover } = flattened({ ...told.posed, lens, bowUncertainty: null });
  const bent = { ...lens, bow: lens.bow + uncertainty };
  const rivals = [
    ...(uncertainty === 0 ? [] : [{ sides, lens: bent }]),
    ...withOneMoved(sides).map((moved) => ({ sides: moved, lens })),
  ];
  const others = rivals.flatMap((rival) => {
    const other = planeThrough(rival.sides, rival.lens, start, size, camera, level);
    return other === null ? [] : [flattened({ ...other.posed, lens: rival.lens, bowUncertainty: null }).fit];
  });
  return {
    // Each step is taken from the told fit; what is added before it widens the covariance only.
    fit: others.reduce(openBetween, fit),
    free: told.free,
    leftover,
    straightened: told.posed.photoToPlane,
  };
};
