import { axesOf, type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { localScale, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { PlaneFit } from '../../src/domain/planeFitCovariance';
import { bowed, type LensBow, straightLens } from '../../src/domain/planeFitLens';
import { homographyFromPoints, squareToQuad } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import { lightShift } from './lightEdge';
import type { Corner } from './quads';
import { planeThroughSides, type RectangleSize, sizeCorners } from './rectangleFit';
import { type BowSeen, bowOfSides } from './sideBow';
import { type MeasuredSide, movedSide, sideChoices } from './sides';
import { cameraFoot, faceEdgeBeside, wallShare } from './wall';

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

/** Walls narrower than this shift no edge that matters, px. */
const leastWallPx = 0.25;
/** Nor can photos from above show more of a thin thing's wall, px: an outline that asks for it stands almost upright, and is no thing that lies on the table. */
const mostWallPx = 30;

/** A side with its places moved from the strongest edge to the edge of the face, where the wall below it shows. */
const onFace = (
  images: readonly GreyImage[],
  side: MeasuredSide,
  inside: Corner,
  outwardMm: number,
  pxPerMm: number,
  leaveOut: number,
): MeasuredSide => {
  const wallPx = outwardMm * pxPerMm;
  const [first, last] = [side.places[0], side.places[side.places.length - 1]];
  if (!(wallPx > leastWallPx && wallPx < mostWallPx) || first === undefined || last === undefined)
    return side;
  const { nx, ny, d } = lineThrough(side);
  const out = nx * inside.x + ny * inside.y > d ? -1 : 1;
  const onLine = (p: Corner): Corner => {
    const off = nx * p.x + ny * p.y - d;
    return { x: p.x - off * nx, y: p.y - off * ny };
  };
  const normal = [out * nx, out * ny] as const;
  const { px, uncertaintyPx } = faceEdgeBeside(
    images,
    [onLine(first), onLine(last)],
    normal,
    wallPx,
    leaveOut,
  );
  return { ...movedSide(side, normal, px), openPx: uncertaintyPx };
};

/** A side with its places where the light has its edge. */
const inLight = ([lightness]: readonly GreyImage[], side: MeasuredSide): MeasuredSide => {
  if (lightness === undefined) return side;
  const { nx, ny } = lineThrough(side);
  return movedSide(side, [nx, ny], lightShift(lightness, side.places, [nx, ny]));
};

/**
 * A strip of shadow narrower than this beside a thing that is darker than the ground cannot be told from the thing, px: the side may lie anywhere within it
 * (rectangular distribution, JCGM 100:2008, 4.3.7).
 */
const hiddenShadowPx = 1.4;

/** A side that may hide a strip of its own shadow is open by so much. */
const withShadow = (side: MeasuredSide): MeasuredSide =>
  side.step < 0 ? { ...side, openPx: Math.hypot(side.openPx, hiddenShadowPx / Math.sqrt(12)) } : side;

/** All sides on the edge of the face, the camera standing as a first fit says. */
const sidesOnFace = (
  images: readonly GreyImage[],
  sides: readonly MeasuredSide[],
  corners: readonly Corner[],
  size: RectangleSize,
  photoToPlane: Homography,
  camera: CameraFacts,
): MeasuredSide[] => {
  if (size.heightMm === 0) return [...sides];
  const foot = cameraFoot(photoToPlane, camera);
  const share = wallShare(size.heightMm, foot);
  const inside = centreOf(corners);
  // From each side outwards to the point under the camera.
  const outward = [-foot.y, foot.x - size.longMm, foot.y - size.shortMm, -foot.x];
  return sides.map((side, n) => {
    const [a, b] = [corners[n], corners[(n + 1) % 4]];
    if (a === undefined || b === undefined) return side;
    const middle = localScale(photoToPlane, (a.x + b.x) / 2, (a.y + b.y) / 2);
    return withShadow(onFace(images, side, inside, share * (outward[n] ?? 0), 1 / middle, 0));
  });
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
        : sidesOnFace(images, edges, corners, size, start, camera).map((side) => inLight(images, side));
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
    result = { ...rest, sides, doubt: doubtOf(choices, corners), corners };
  }
  return result;
};
