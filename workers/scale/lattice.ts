import { axesSeenWith, type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { Homography } from '../../src/domain/plane';
import { fitPlaneToLines } from '../../src/domain/planeFit';
import { mapPoint, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { type Comb, findComb, type Mark } from './comb';
import type { Segment } from './segments';
import { type Bundle, cross, dot, type Projective } from './vanishing';

/** A first guess at a grid: picture px → (u, v), whole numbers on its lines. */
export interface LatticeGuess {
  readonly toLattice: Homography;
  /** Summed length of the segments that lie on its lines, px of the picture. */
  readonly supportPx: number;
  /** Share of the two bundles' length that lies on its lines. */
  readonly agreement: number;
  /** How well its lines could be squares, 0 to 1. */
  readonly squareness: number;
}

/** A line through two points at infinity's own coordinates, brought to picture px. */
const inPicture = (line: Projective, widthPx: number, heightPx: number): Projective => {
  const half = Math.hypot(widthPx, heightPx) / 2;
  return [line[0] / half, line[1] / half, line[2] - (line[0] * widthPx + line[1] * heightPx) / (2 * half)];
};

/**
 * Homography that sends two vanishing points to infinity, so that both bundles become parallel lines at constant u and constant v; near the
 * picture's centre u and v are in px.
 */
const rectifying = (a: Projective, b: Projective, widthPx: number, heightPx: number): Homography | null => {
  const horizon = cross(a, b);
  if (Math.abs(horizon[2]) < 1e-6 * Math.hypot(...horizon)) return null;
  const centre: Projective = [0, 0, 1];
  const rows = [cross(a, centre), cross(b, centre)].map((line) => {
    const size = Math.hypot(line[0], line[1]);
    return line.map((v) => v / size) as unknown as Projective;
  });
  const half = Math.hypot(widthPx, heightPx) / 2;
  const scaled = horizon.map((v) => v / horizon[2]) as unknown as Projective;
  const [first, second] = rows;
  if (first === undefined || second === undefined) return null;
  return normalised([
    ...inPicture(first, widthPx, heightPx).map((v) => v * half),
    ...inPicture(second, widthPx, heightPx).map((v) => v * half),
    ...inPicture(scaled, widthPx, heightPx),
  ]);
};

/** Printed lines are followed further than stripes and ribs of fabric: pieces shorter than this share of the picture's diagonal count less. */
const longPiece = 0.08;

const weightOf = (lengthPx: number, extent: number): number =>
  lengthPx * Math.min(1, lengthPx / (longPiece * extent));

/** Places of the segments along one axis; those near the horizon, where px run to infinity, say nothing. */
const marksOf = (segments: readonly Segment[], h: Homography, axis: 0 | 1, extent: number): Mark[] =>
  segments
    .map((s) => ({
      at: mapPoint(h, (s.x0 + s.x1) / 2, (s.y0 + s.y1) / 2)[axis],
      weight: weightOf(s.lengthPx, extent),
    }))
    .filter((m) => Math.abs(m.at) < 2 * extent);

/** Marks nearer to each other than `gap` become one, so that a heavily broken line counts like a whole one. */
const gathered = (marks: readonly Mark[], gap: number): Mark[] => {
  const sorted = [...marks].sort((a, b) => a.at - b.at);
  const out: { at: number; weight: number }[] = [];
  for (const mark of sorted) {
    const last = out[out.length - 1];
    if (last !== undefined && mark.at - last.at < gap) {
      const weight = last.weight + mark.weight;
      last.at = (last.at * last.weight + mark.at * mark.weight) / weight;
      last.weight = weight;
    } else out.push({ ...mark });
  }
  return out;
};

const sightingsOf = (bundles: readonly [Bundle, Bundle], h: Homography, within: number): LineSighting[] =>
  bundles.flatMap((bundle, axis) =>
    bundle.members.flatMap((s) => {
      const ends = [
        [s.x0, s.y0],
        [s.x1, s.y1],
      ] as const;
      const values = ends.map(([x, y]) => mapPoint(h, x, y)[axis as 0 | 1]);
      const index = Math.round(((values[0] ?? 0) + (values[1] ?? 0)) / 2);
      if (values.some((v) => !(Math.abs(v - index) < within))) return [];
      return ends.map(([x, y]) => ({ x, y, axis: axis as 0 | 1, index, group: 2 * index + axis }));
    }),
  );

/** Focal lengths (35 mm equivalent) that are tried when the likely one makes no square grid of the lines, mm. */
const otherFocals35Mm = [20, 36, 50, 75, 110];

/**
 * How often each axis' comb must be divided so that both have the same spacing in space, for a camera that sees them square; null when no
 * whole number and no usual lens does it.
 */
const evenedOut = (h: Homography, camera: CameraFacts): [number, number] | null => {
  const long = Math.max(camera.widthPx, camera.heightPx);
  const focals = [priorFocalPx(camera).value, ...otherFocals35Mm.map((f) => (f / 36) * long)];
  for (const focalPx of focals) {
    const { ratio, cosine } = axesSeenWith(h, camera, focalPx);
    if (Math.abs(cosine) > 0.1) continue;
    for (const k of [1, 2, 3, 4, 5, 8, 10]) {
      if (Math.abs(Math.log(ratio / k)) < 0.1) return [k, 1];
      if (Math.abs(Math.log(ratio * k)) < 0.1) return [1, k];
    }
  }
  return null;
};

/**
 * Numbers the lines of two bundles: a comb along each axis of the rectified picture, then the homography refitted to all segments
 * that lie near a whole number.
 * @param camera of the very picture that the segments come from.
 * @returns null when the two bundles are no square grid.
 */
export const guessLattice = (
  bundles: readonly [Bundle, Bundle],
  camera: CameraFacts,
): LatticeGuess | null => {
  const [first, second] = bundles;
  const { widthPx, heightPx } = camera;
  const flat = rectifying(first.point, second.point, widthPx, heightPx);
  if (flat === null) return null;
  const extent = Math.hypot(widthPx, heightPx);
  const combs = bundles.map((bundle, axis) =>
    findComb(gathered(marksOf(bundle.members, flat, axis as 0 | 1, extent), 3), 7, extent / 3),
  );
  const [across, down] = combs as [Comb | null | undefined, Comb | null | undefined];
  if (!across || !down || across.agreement < 0.45 || down.agreement < 0.45) return null;
  let h = normalised(
    multiply3(
      [
        1 / across.pitch,
        0,
        -across.start / across.pitch,
        0,
        1 / down.pitch,
        -down.start / down.pitch,
        0,
        0,
        1,
      ],
      flat,
    ),
  );
  const divide = evenedOut(h, camera);
  if (divide === null) return null;
  h = normalised(multiply3([divide[0], 0, 0, 0, divide[1], 0, 0, 0, 1], h));
  for (const within of [0.25, 0.2, 0.15]) {
    const fit = fitPlaneToLines(sightingsOf(bundles, h, within), h, 4);
    if (fit === null) return null;
    h = fit.photoToPlane;
  }
  const onLines = sightingsOf(bundles, h, 0.12);
  let supportPx = 0;
  let weight = 0;
  for (let i = 0; i + 1 < onLines.length; i += 2) {
    const [a, b] = [onLines[i], onLines[i + 1]];
    if (!a || !b) continue;
    const lengthPx = Math.hypot(a.x - b.x, a.y - b.y);
    supportPx += lengthPx;
    weight += weightOf(lengthPx, extent);
  }
  const full = bundles
    .flatMap((bundle) => bundle.members)
    .reduce((sum, { lengthPx }) => sum + weightOf(lengthPx, extent), 0);
  return {
    toLattice: h,
    supportPx,
    agreement: weight / Math.max(full, 1e-9),
    squareness: squareness(h, camera),
  };
};

/** How far from square and even a grid may look through a lens of usual focal length: photos are cropped (assumed). */
const squareSlack = 0.04;

/** How well the lines of a lattice could be squares for some usual camera, 0 to 1: columns of fabric stand askew to a mat's lines. */
export const squareness = (toLattice: Homography, camera: CameraFacts): number => {
  const long = Math.max(camera.widthPx, camera.heightPx);
  const focals = [priorFocalPx(camera).value, ...otherFocals35Mm.map((f) => (f / 36) * long)];
  const off = focals.map((focalPx) => {
    const { ratio, cosine } = axesSeenWith(toLattice, camera, focalPx);
    return Math.hypot(Math.log(ratio), cosine);
  });
  return Math.exp(-0.5 * (Math.min(...off) / squareSlack) ** 2);
};

/** Whether the angle between two bundles, near the picture's centre, is wide enough for a grid. */
export const crossSquarely = (a: Bundle, b: Bundle): boolean => {
  const da = [a.point[0], a.point[1]] as const;
  const db = [b.point[0], b.point[1]] as const;
  const sine = Math.abs(da[0] * db[1] - da[1] * db[0]) / (Math.hypot(...da) * Math.hypot(...db) || 1);
  return sine > 0.5 && Number.isFinite(dot(a.point, b.point));
};
