import { type CameraFacts, priorFocalPx } from './camera';
import type { CameraLevel } from './cameraLevel';
import { costOf, dampedLeastSquares } from './dampedLeastSquares';
import type { Homography } from './plane';
import { invertHomography } from './plane';
import { choleskyInverse, mapPoint, normalised } from './planeFitAlgebra';
import type { LineSighting, PlaneFit } from './planeFitCovariance';

/** Rotation (as a vector: axis times angle), position of the plane's origin before the camera, and focal length in px. */
type Pose = readonly [number, number, number, number, number, number, number];

/** Rotation matrix of a rotation vector (Rodrigues). */
const rotationOf = (x: number, y: number, z: number): number[] => {
  const angle = Math.hypot(x, y, z);
  if (angle < 1e-12) return [1, -z, y, z, 1, -x, -y, x, 1];
  const [a, b, c] = [x / angle, y / angle, z / angle];
  const s = Math.sin(angle);
  const k = 1 - Math.cos(angle);
  return [
    1 - k * (b * b + c * c),
    k * a * b - s * c,
    k * a * c + s * b,
    k * a * b + s * c,
    1 - k * (a * a + c * c),
    k * b * c - s * a,
    k * a * c - s * b,
    k * b * c + s * a,
    1 - k * (a * a + b * b),
  ];
};

const planeToPhotoOf = (pose: Pose, camera: CameraFacts): Homography => {
  const [rx, ry, rz, tx, ty, tz, f] = pose;
  const r = rotationOf(rx, ry, rz);
  const [cx, cy] = [camera.widthPx / 2, camera.heightPx / 2];
  const columns = [
    [r[0] ?? 0, r[3] ?? 0, r[6] ?? 0],
    [r[1] ?? 0, r[4] ?? 0, r[7] ?? 0],
    [tx, ty, tz],
  ] as const;
  const row = (k: (c: readonly [number, number, number]) => number): number[] => columns.map(k);
  return [
    ...row(([x, , z]) => f * x + cx * z),
    ...row(([, y, z]) => f * y + cy * z),
    ...row(([, , z]) => z),
  ] as unknown as Homography;
};

const cross = (a: readonly number[], b: readonly number[]): number[] => [
  (a[1] ?? 0) * (b[2] ?? 0) - (a[2] ?? 0) * (b[1] ?? 0),
  (a[2] ?? 0) * (b[0] ?? 0) - (a[0] ?? 0) * (b[2] ?? 0),
  (a[0] ?? 0) * (b[1] ?? 0) - (a[1] ?? 0) * (b[0] ?? 0),
];

const unit = (a: readonly number[]): number[] => {
  const n = Math.hypot(...a) || 1;
  return a.map((v) => v / n);
};

/** The pose nearest to a homography for a given focal length (Zhang 2000, section 3.1). */
const poseFrom = (photoToPlane: Homography, camera: CameraFacts, focalPx: number): Pose => {
  const m = invertHomography(photoToPlane);
  const column = (k: number): number[] => {
    const [x, y, z] = [m[k] ?? 0, m[3 + k] ?? 0, m[6 + k] ?? 0];
    return [(x - (camera.widthPx / 2) * z) / focalPx, (y - (camera.heightPx / 2) * z) / focalPx, z];
  };
  const [a, b, t] = [column(0), column(1), column(2)];
  const scale = Math.sqrt(Math.hypot(...a) * Math.hypot(...b)) * Math.sign(t[2] ?? 1);
  const r1 = unit(a.map((v) => v / scale));
  const along = r1.reduce((s, v, i) => s + v * ((b[i] ?? 0) / scale), 0);
  const r2 = unit(b.map((v, i) => v / scale - along * (r1[i] ?? 0)));
  const r3 = cross(r1, r2);
  const trace = (r1[0] ?? 0) + (r2[1] ?? 0) + (r3[2] ?? 0);
  const angle = Math.acos(Math.max(-1, Math.min(1, (trace - 1) / 2)));
  const axis = [(r2[2] ?? 0) - (r3[1] ?? 0), (r3[0] ?? 0) - (r1[2] ?? 0), (r1[1] ?? 0) - (r2[0] ?? 0)];
  const size = Math.hypot(...axis);
  const vector =
    size > 1e-9 ? axis.map((v) => (v * angle) / size) : angle < 1 ? [0, 0, 0] : halfTurn(r1, r2, r3);
  return [...vector, ...t.map((v) => v / scale), focalPx] as unknown as Pose;
};

/** Rotation vector of a half turn, where the antisymmetric part of the matrix vanishes. */
const halfTurn = (r1: readonly number[], r2: readonly number[], r3: readonly number[]): number[] => {
  const d = [r1[0] ?? 0, r2[1] ?? 0, r3[2] ?? 0].map((v) => Math.sqrt(Math.max(0, (v + 1) / 2)));
  const [x = 0, y = 0, z = 0] = d;
  const signed = [x, x > 1e-6 && (r2[0] ?? 0) < 0 ? -y : y, x > 1e-6 && (r3[0] ?? 0) < 0 ? -z : z];
  return unit(signed).map((v) => v * Math.PI);
};

/** How far a pose is from a known level, in its standard uncertainties; the level was seen with the assumed focal length. */
const levelResiduals = (pose: Pose, level: CameraLevel | null, priorPx: number): number[] => {
  if (level === null) return [];
  const r = rotationOf(pose[0], pose[1], pose[2]);
  const share = pose[6] / priorPx;
  const [x, y, z] = [r[2] ?? 0, r[5] ?? 0, r[8] ?? 1];
  return [
    (x / z - level.slopeX * share) / level.uncertainty,
    (y / z - level.slopeY * share) / level.uncertainty,
  ];
};

/** A camera's pose over a plane, as the plane that it sees. */
export interface CameraFit extends PlaneFit {
  /** Sum of the squares of what is left, of places, focal length and level alike, each in its standard uncertainty. */
  readonly misfit: number;
}

/** One line of the reference counts as this many independent places, each known to `placePx`. */
const placesPerLine = 4;

/**
 * Fits a camera's pose over a plane in mm to places on lines of known position, the focal length held by what is known of it beforehand. Where a reference is
 * small in the photo this carries its scale further than a free homography does.
 * @param placePx standard uncertainty of a line's place, px.
 * @param level what else is known of how the table stands to the camera.
 * @param focalSlack how many times less a focal length that no file states is held: things whose own shape tells it must not be bent to a wrong one.
 * @returns null when the pose is not determined.
 */
export const fitCameraToLines = (
  sightings: readonly LineSighting[],
  start: Homography,
  camera: CameraFacts,
  placePx: number,
  level: CameraLevel | null = null,
  focalSlack = 1,
): CameraFit | null => {
  const prior = priorFocalPx(camera);
  const focalPx = (camera.focalLength35Mm === null ? focalSlack : 1) * prior.standardUncertainty;
  const counts = new Map<number, number>();
  for (const s of sightings) counts.set(s.group, (counts.get(s.group) ?? 0) + 1);
  const weights = sightings.map((s) => Math.sqrt(placesPerLine / (counts.get(s.group) ?? 1)) / placePx);
  const residualsOf = (pose: Pose): number[] => {
    const m = planeToPhotoOf(pose, camera);
    const h = invertHomography(m);
    const out = sightings.map((s, i) => {
      const [u, v] = mapPoint(h, s.x, s.y);
      const step = 0.5;
      const [ux, vx] = mapPoint(h, s.x + step, s.y);
      const [uy, vy] = mapPoint(h, s.x, s.y + step);
      const gradient = s.axis === 0 ? Math.hypot(ux - u, uy - u) : Math.hypot(vx - v, vy - v);
      return ((((s.axis === 0 ? u : v) - s.index) * step) / (gradient || 1e-12)) * (weights[i] ?? 1);
    });
    return [...out, (pose[6] - prior.value) / focalPx, ...levelResiduals(pose, level, prior.value)];
  };
  const found = dampedLeastSquares(poseFrom(start, camera, prior.value), residualsOf, {
    stepsAt: stepsOf,
    rounds: 30,
    leastGain: 1e-9,
    mostDamping: 1e8,
  });
  if (found === null) return null;
  const residuals = found.residuals.slice(0, sightings.length);
  return {
    ...fitFromPose(found.values, choleskyInverse(found.factor, 7), camera, residuals, weights),
    misfit: costOf(found.residuals),
  };
};

const stepsOf = (pose: Pose): number[] => pose.map((v, i) => (i < 3 ? 1e-6 : 1e-6 * (Math.abs(v) + 1)));

const fitFromPose = (
  pose: Pose,
  covariance: readonly number[],
  camera: CameraFacts,
  residuals: readonly number[],
  weights: readonly number[],
): PlaneFit => {
  const mapOf = (p: Pose): Homography => normalised(invertHomography(planeToPhotoOf(p, camera)));
  const photoToPlane = mapOf(pose);
  const columns = stepsOf(pose).map((step, k) => {
    const moved = mapOf(pose.map((v, i) => (i === k ? v + step : v)) as unknown as Pose);
    return moved.slice(0, 8).map((v, i) => (v - (photoToPlane[i] ?? 0)) / step);
  });
  const out = new Array<number>(64).fill(0);
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      let sum = 0;
      for (let i = 0; i < 7; i++) {
        for (let j = 0; j < 7; j++)
          sum += (columns[i]?.[a] ?? 0) * (covariance[7 * i + j] ?? 0) * (columns[j]?.[b] ?? 0);
      }
      out[8 * a + b] = sum;
    }
  }
  const squares = residuals.reduce((s, r, i) => s + (r / (weights[i] ?? 1)) ** 2, 0);
  return { photoToPlane, covariance: out, residualPx: Math.sqrt(squares / Math.max(1, residuals.length)) };
};
