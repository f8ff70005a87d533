import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { choleskyFactor, choleskySolve } from '../../src/domain/planeFitAlgebra';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { Corner } from './quads';

/** Where a camera stands over a plane: the plane's point under it and its height, in the plane's units. */
export interface CameraFoot {
  readonly x: number;
  readonly y: number;
  readonly height: number;
}

/** Centre of a camera of the usual focal length over a plane, from H ~ K [r1 r2 t] (Zhang 2000, section 3.1). */
export const cameraFoot = (photoToPlane: Homography, camera: CameraFacts): CameraFoot => {
  const focal = priorFocalPx(camera).value;
  const m = invertHomography(photoToPlane);
  const column = (k: number): [number, number, number] => {
    const [x, y, z] = [m[k] ?? 0, m[3 + k] ?? 0, m[6 + k] ?? 0];
    return [(x - (camera.widthPx / 2) * z) / focal, (y - (camera.heightPx / 2) * z) / focal, z];
  };
  const [a, b, t] = [column(0), column(1), column(2)];
  const squared = Math.hypot(...a) * Math.hypot(...b);
  const dot = (p: readonly number[], q: readonly number[]): number =>
    p.reduce((sum, v, i) => sum + v * (q[i] ?? 0), 0);
  const [x, y] = [-dot(a, t) / squared, -dot(b, t) / squared];
  const away = dot(t, t) / squared - x * x - y * y;
  return { x, y, height: Math.sqrt(Math.max(0, away)) };
};

/**
 * By how much the foot of a wall shows outside the face's edge, as a share of the distance to the camera's foot square to the edge: a point that lies deeper
 * than the plane is seen nearer to the camera's foot.
 */
export const wallShare = (thickness: number, { height }: CameraFoot): number =>
  thickness / (height + thickness);

/** Half px steps of the profile across a side. */
const fine = 0.5;
/** How far inside and outside the wall the profile is looked at, px. */
const besidePx = 3.5;
/** Soft focus of photos, standard deviations in px. */
const blurs = [0.6, 0.9, 1.3, 1.8];
/** A wall of a thing's own colour is darker than its face: in the shade or in grazing light (assumed), as a share of the face. */
const wallDarkness = { value: 0.75, uncertainty: 0.25 };
/** What grain and noise leave in a profile that is averaged along a side, grey levels. */
const profileNoise = 2.5;

/** Mean brightness across a side, from inside to outside, all along it. */
const profileAcross = (
  image: GreyImage,
  [a, b]: readonly [Corner, Corner],
  [nx, ny]: readonly [number, number],
  [from, to]: readonly [number, number],
  leaveOut: number,
): Float64Array => {
  const count = Math.round((to - from) / fine) + 1;
  const sums = new Float64Array(count);
  const places = 60;
  let used = 0;
  for (let k = 0; k < places; k++) {
    const t = leaveOut + ((1 - 2 * leaveOut) * (k + 0.5)) / places;
    const [x, y] = [a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)];
    const row = Array.from({ length: count }, (_, i) => {
      const off = from + i * fine;
      return sampleAt(image, x + off * nx, y + off * ny);
    });
    if (row.some(Number.isNaN)) continue;
    row.forEach((v, i) => {
      sums[i] = (sums[i] as number) + v;
    });
    used++;
  }
  return sums.map((v) => v / Math.max(1, used));
};

/** Share of a blurred step that is passed at a distance beyond it (logistic curve close to a Gaussian's). */
const passed = (off: number, blurPx: number): number => 1 / (1 + Math.exp((-1.702 * off) / blurPx));

/** What is left of a profile that is explained by face, wall and ground, the edge of the face lying at `edge`. */
const misfitAt = (
  profile: Float64Array,
  offs: readonly number[],
  edge: number,
  wallPx: number,
  blurPx: number,
  hasWallPrior: boolean,
): number => {
  const rows = offs.map((off) => {
    const [p, q] = [passed(off - edge, blurPx), passed(off - edge - wallPx, blurPx)];
    return [1 - p, p - q, q];
  });
  const values = [...profile];
  const weight = 1 / profileNoise;
  const weighted = rows.map((row) => row.map((v) => v * weight));
  const right = values.map((v) => v * weight);
  // The wall's colour is held by the face's; without a usable prior only lightly.
  const meanFace = values[0] ?? 128;
  const hold = 1 / (wallDarkness.uncertainty * Math.max(20, meanFace));
  if (hasWallPrior) {
    weighted.push([-wallDarkness.value * hold, hold, 0]);
    right.push(0);
  }
  const matrix = [0, 1, 2].flatMap((i) =>
    [0, 1, 2].map((j) => weighted.reduce((s, r) => s + (r[i] ?? 0) * (r[j] ?? 0), i === j ? 1e-9 : 0)),
  );
  const factor = choleskyFactor(matrix, 3);
  if (factor === null) return Number.POSITIVE_INFINITY;
  const solved = choleskySolve(
    factor,
    3,
    [0, 1, 2].map((i) => weighted.reduce((s, r, k) => s + (r[i] ?? 0) * (right[k] ?? 0), 0)),
  );
  return weighted.reduce((sum, r, k) => {
    const off = r.reduce((s, v, i) => s + v * (solved[i] ?? 0), 0) - (right[k] ?? 0);
    return sum + off * off;
  }, 0);
};

/**
 * Finds the edge of a face whose wall shows outside it, from the mean profile across the side: face, wall and ground, blurred. The wall's width is known from
 * the thickness and how the camera stands; where it is too narrow to be seen by itself it still shifts the side's strongest edge.
 * @returns how far outward of the line the edge lies, px, and its standard uncertainty: where wall and ground look alike there is little to tell where it lies.
 * @param images lightness first.
 * @param side from corner to corner, along the line that was measured.
 * @param outward unit normal of the side.
 */
export const faceEdgeBeside = (
  images: readonly GreyImage[],
  side: readonly [Corner, Corner],
  outward: readonly [number, number],
  wallPx: number,
  leaveOut: number,
): { readonly px: number; readonly uncertaintyPx: number } => {
  const reach = wallPx + 1;
  const [from, to] = [-reach - besidePx, wallPx + besidePx];
  const profiles = images.map((image) => profileAcross(image, side, outward, [from, to], leaveOut));
  const offs = Array.from(profiles[0] ?? [], (_, i) => from + i * fine);
  const tried: { edge: number; cost: number }[] = [];
  for (let edge = -reach; edge <= 1; edge += 0.1) {
    let cost = Number.POSITIVE_INFINITY;
    for (const blurPx of blurs) {
      const sum = profiles.reduce(
        (s, profile, k) => s + misfitAt(profile, offs, edge, wallPx, blurPx, k === 0),
        0,
      );
      cost = Math.min(cost, sum);
    }
    tried.push({ edge, cost });
  }
  const least = Math.min(...tried.map(({ cost }) => cost));
  // Grain and shadow leave more than noise: costs are judged beside what is left at best.
  const temper = Math.max(1, least / Math.max(1, offs.length - 6));
  let [weights, sum, squares] = [0, 0, 0];
  for (const { edge, cost } of tried) {
    const weight = Math.exp(-0.5 * ((cost - least) / temper));
    weights += weight;
    sum += weight * edge;
    squares += weight * edge * edge;
  }
  const px = sum / weights;
  return { px, uncertaintyPx: Math.sqrt(Math.max(0, squares / weights - px * px)) };
};
