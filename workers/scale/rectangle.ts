import { axesOf, type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { PlaneFit } from '../../src/domain/planeFitCovariance';
import { bowed, type LensBow, straightLens } from '../../src/domain/planeFitLens';
import { homographyFromPoints, squareToQuad } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import { sidesOfFace } from './faceSides';
import { lightShift } from './lightEdge';
import type { Corner } from './quads';
import { planeThroughSides, type RectangleSize, sizeCorners } from './rectangleFit';
import { type BowSeen, bowOfSides } from './sideBow';
import { type MeasuredSide, movedSide, sideChoices } from './sides';
import { lineThrough, meeting } from './straightLine';

/** A rectangle of known size fitted to its four sides: work px → mm, with the measured sides. */
export interface FittedRectangle {
  readonly fit: PlaneFit;
  /** The same sides without any assumption about the camera. */
  readonly free: PlaneFit;
  readonly sides: readonly MeasuredSide[];
  /** By how much the places of a side's rival edges differ at most, as a share of the short side. */
  readonly doubt: number;
  /** By how much lengths may be off because the lens bows, which one plane does not follow, as a share. */
  readonly leftover: number;
  readonly corners: readonly Corner[];
}

/** What the rest of the photo tells. */
export interface RestOfPhoto {
  /** How the table stands to the camera. */
  readonly level: CameraLevel | null;
  /** How the lens bows, where a printed grid shows it; else the rectangle's own sides must. */
  readonly lens: LensBow | null;
}

const centreOf = (corners: readonly Corner[]): Corner => ({
  x: corners.reduce((s, c) => s + c.x, 0) / corners.length,
  y: corners.reduce((s, c) => s + c.y, 0) / corners.length,
});

/** How well ratio (ln) and angle (cosine) of a rectangle's sides are known through a camera of usual focal length. */
const shapeSlack = { ratio: 0.008, cosine: 0.006 };

/** How far four sides are from a rectangle of the wanted aspect, squared and in units of what can be told. */
const misfit = (sides: readonly MeasuredSide[], aspect: number, camera: CameraFacts): number => {
  const [first, second, third, fourth] = sides.map(({ places }) => lineThrough(places));
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
    const line = lineThrough(first.places);
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

/** A side with its places where the light has its edge. */
const inLight = ([lightness]: readonly GreyImage[], side: MeasuredSide): MeasuredSide => {
  if (lightness === undefined) return side;
  const { nx, ny } = lineThrough(side.places);
  return movedSide(side, [nx, ny], lightShift(lightness, side.places, [nx, ny]));
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
  { level, lens: knownLens }: RestOfPhoto,
): FittedRectangle | null => {
  const straight = straightLens(camera.widthPx, camera.heightPx);
  let h: Homography | null = homographyFromPoints(rough, sizeCorners(size));
  if (h === null) return null;
  let corners = rough;
  let result: FittedRectangle | null = null;
  for (const reach of [searchPx, 2.5]) {
    const inside = centreOf(corners);
    const start: Homography = h;
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
    const edges = likeliest(choices, size.longMm / size.shortMm, camera);
    if (edges === null) return null;
    const sides: MeasuredSide[] =
      result === null
        ? edges
        : size.heightMm > 0
          ? sidesOfFace(images, edges, corners, size, start, camera)
          : edges.map((side) => inLight(images, side));
    const bow: BowSeen =
      result === null
        ? { lens: straight, uncertainty: 0 }
        : knownLens === null
          ? bowOfSides(sides, straight)
          : { lens: knownLens, uncertainty: 0 };
    const fitted = planeThroughSides(sides, bow, start, size, camera, level);
    if (fitted === null) return null;
    const { straightened, ...rest } = fitted;
    h = straightened;
    const back = invertHomography(h);
    corners = sizeCorners(size).map((c) => {
      const [x, y] = bowed(bow.lens, ...mapPoint(back, c.x, c.y));
      return { x, y };
    });
    result = {
      ...rest,
      sides,
      doubt: sides.every(({ colours }) => colours !== undefined) ? 0 : doubtOf(choices, corners),
      corners,
    };
  }
  return result;
};
