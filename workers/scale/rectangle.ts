import { axesOf, type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { invertHomography } from '../../src/domain/plane';
import { fitPlaneToLines } from '../../src/domain/planeFit';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import { homographyFromPoints, squareToQuad } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import type { Corner } from './quads';
import { type MeasuredSide, sideChoices, sideSightings } from './sides';

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
  /** By how much the places of a side's rival edges differ at most, as a share of the short side. */
  readonly doubt: number;
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

interface StraightLine {
  readonly nx: number;
  readonly ny: number;
  readonly d: number;
}

const lineThrough = ({ places }: MeasuredSide): StraightLine => {
  const n = places.length;
  const mx = places.reduce((s, p) => s + p.x, 0) / n;
  const my = places.reduce((s, p) => s + p.y, 0) / n;
  const xx = places.reduce((s, p) => s + (p.x - mx) ** 2, 0);
  const xy = places.reduce((s, p) => s + (p.x - mx) * (p.y - my), 0);
  const yy = places.reduce((s, p) => s + (p.y - my) ** 2, 0);
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  const [nx, ny] = [-Math.sin(angle), Math.cos(angle)];
  return { nx, ny, d: nx * mx + ny * my };
};

const meeting = (a: StraightLine, b: StraightLine): Corner => {
  const det = a.nx * b.ny - a.ny * b.nx;
  return { x: (a.d * b.ny - b.d * a.ny) / det, y: (a.nx * b.d - b.nx * a.d) / det };
};

/** How well ratio (ln) and angle (cosine) of a rectangle's sides are known through a camera of usual focal length. */
const shapeSlack = { ratio: 0.008, cosine: 0.006 };

/** How far four sides are from a rectangle of the wanted aspect, squared and in units of what can be told. */
const misfit = (sides: readonly MeasuredSide[], aspect: number, camera: CameraFacts): number => {
  const [first, second, third, fourth] = sides.map(lineThrough);
  if (!first || !second || !third || !fourth) return Number.POSITIVE_INFINITY;
  const h = squareToQuad([
    meeting(fourth, first),
    meeting(first, second),
    meeting(second, third),
    meeting(third, fourth),
  ]);
  if (h === null) return Number.POSITIVE_INFINITY;
  const { ratio, cosine } = axesOf(h, camera, priorFocalPx(camera).value);
  return (Math.log(ratio / aspect) / shapeSlack.ratio) ** 2 + (cosine / shapeSlack.cosine) ** 2;
};

/** Of all ways to take one measurement of each side, the one that makes the best rectangle; each second choice must earn its place. */
const likeliest = (
  choices: readonly (readonly MeasuredSide[])[],
  aspect: number,
  camera: CameraFacts,
): MeasuredSide[] | null => {
  let best: { sides: MeasuredSide[]; cost: number } | null = null;
  const extend = (sides: MeasuredSide[], seconds: number): void => {
    const next = choices[sides.length];
    if (next !== undefined) {
      next.forEach((side, k) => {
        extend([...sides, side], seconds + (k > 0 ? 1 : 0));
      });
      return;
    }
    const cost = misfit(sides, aspect, camera) + 0.5 * seconds;
    if (best === null || cost < best.cost) best = { sides, cost };
  };
  extend([], 0);
  return (best as { sides: MeasuredSide[] } | null)?.sides ?? null;
};

/** Greatest distance between two measurements of one side, as a share of the shortest side. */
const doubtOf = (choices: readonly (readonly MeasuredSide[])[], corners: readonly Corner[]): number => {
  const apart = choices.map(([first, second]) => {
    if (first === undefined || second === undefined) return 0;
    const line = lineThrough(first);
    const offs = second.places
      .map((p) => Math.abs(line.nx * p.x + line.ny * p.y - line.d))
      .sort((a, b) => a - b);
    return offs[offs.length >> 1] ?? 0;
  });
  const lengths = corners.map((c, i) => {
    const next = corners[(i + 1) % corners.length] ?? c;
    return Math.hypot(next.x - c.x, next.y - c.y);
  });
  return Math.max(...apart) / Math.max(1, Math.min(...lengths));
};

/** Every few places, as many as tell the fit all it can learn. */
const thinned = (sightings: readonly LineSighting[]): LineSighting[] => {
  const every = Math.max(1, Math.floor(sightings.length / 160));
  return sightings.filter((_, i) => i % every === 0);
};

/**
 * Fits the plane to the four straight sides of a rectangle of known size, starting from rough corners (first side long).
 * @param level what else is known of how the table stands to the camera.
 * @returns null when a side cannot be seen.
 */
export const fitRectangle = (
  images: readonly GreyImage[],
  rough: readonly Corner[],
  size: RectangleSize,
  camera: CameraFacts,
  searchPx: number,
  level: CameraLevel | null,
): FittedRectangle | null => {
  let h = homographyFromPoints(rough, sizeCorners(size));
  if (h === null) return null;
  let corners = rough;
  let result: FittedRectangle | null = null;
  for (const reach of [searchPx, 2.5]) {
    const inside = centreOf(corners);
    const start = h;
    const choices: MeasuredSide[][] = [];
    for (let n = 0; n < 4; n++) {
      const a = corners[n];
      const b = corners[(n + 1) % 4];
      if (a === undefined || b === undefined) return null;
      // A face's foot and its shadow show beside it by up to about the thickness, seen aslant.
      const pxPerMm = Math.hypot(b.x - a.x, b.y - a.y) / (n % 2 === 0 ? size.longMm : size.shortMm);
      const footPx = result === null ? 0 : 1.1 * size.heightMm * pxPerMm;
      const found = sideChoices(images, a, b, inside, { searchPx: reach, leaveOut: size.leaveOut, footPx });
      if (found.length === 0) return null;
      choices.push(found);
    }
    const sides = likeliest(choices, size.longMm / size.shortMm, camera);
    if (sides === null) return null;
    const sightings = sides.flatMap((side, n) =>
      sideSightings(side, n % 2 === 0 ? 1 : 0, n === 1 ? size.longMm : n === 2 ? size.shortMm : 0, n),
    );
    const free = fitPlaneToLines(sightings, start);
    const fit =
      free === null ? null : fitCameraToLines(thinned(sightings), free.photoToPlane, camera, sidePx, level);
    if (free === null || fit === null) return null;
    h = fit.photoToPlane;
    const back = invertHomography(h);
    corners = sizeCorners(size).map((c) => {
      const [x, y] = mapPoint(back, c.x, c.y);
      return { x, y };
    });
    result = { fit, free, sides, doubt: doubtOf(choices, corners), corners };
  }
  return result;
};
