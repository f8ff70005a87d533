import { type CameraFacts, priorFocalPx } from './camera';
import type { Homography } from './plane';
import { mapPoint, normalised } from './planeFitAlgebra';

/** An ellipse in the photo: centre, half axes (major first) in px and the major axis' direction in radians. */
export interface Ellipse {
  readonly x: number;
  readonly y: number;
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
}

/** The point of an ellipse at parameter `t` (0 … 2π). */
export const ellipsePoint = (e: Ellipse, t: number): { x: number; y: number } => {
  const [c, s] = [Math.cos(e.angle), Math.sin(e.angle)];
  const [p, q] = [e.major * Math.cos(t), e.minor * Math.sin(t)];
  return { x: e.x + p * c - q * s, y: e.y + p * s + q * c };
};

/** Eigenvalues and eigenvectors of a symmetric 3×3 matrix by Jacobi's rotations, largest value first. */
export const symmetricEigen = (
  matrix: readonly number[],
): { value: number; vector: [number, number, number] }[] => {
  const a = [...matrix];
  const v = [1, 0, 0, 0, 1, 0, 0, 0, 1];
  const at = (m: readonly number[], i: number, j: number): number => m[3 * i + j] ?? 0;
  for (let sweep = 0; sweep < 40; sweep++) {
    for (const [p, q] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ] as const) {
      const off = at(a, p, q);
      if (Math.abs(off) < 1e-300) continue;
      const theta = (at(a, q, q) - at(a, p, p)) / (2 * off);
      const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
      const c = 1 / Math.sqrt(t * t + 1);
      const s = t * c;
      for (let k = 0; k < 3; k++) {
        const [x, y] = [at(a, k, p), at(a, k, q)];
        a[3 * k + p] = c * x - s * y;
        a[3 * k + q] = s * x + c * y;
      }
      for (let k = 0; k < 3; k++) {
        const [x, y] = [at(a, p, k), at(a, q, k)];
        a[3 * p + k] = c * x - s * y;
        a[3 * q + k] = s * x + c * y;
      }
      for (let k = 0; k < 3; k++) {
        const [x, y] = [at(v, k, p), at(v, k, q)];
        v[3 * k + p] = c * x - s * y;
        v[3 * k + q] = s * x + c * y;
      }
    }
  }
  return [0, 1, 2]
    .map((k) => ({
      value: at(a, k, k),
      vector: [at(v, 0, k), at(v, 1, k), at(v, 2, k)] as [number, number, number],
    }))
    .sort((x, y) => y.value - x.value);
};

/** A plane on which the ellipse is a circle of radius 1, and its tilt against the camera's axis. */
export interface CirclePlane {
  readonly photoToPlane: Homography;
  readonly tiltRad: number;
}

/** Matrix of the cone through the camera's centre and the ellipse, for rays (x, y, 1) with focal length 1. */
const coneOf = (e: Ellipse, camera: CameraFacts, focalPx: number): number[] => {
  const x = (e.x - camera.widthPx / 2) / focalPx;
  const y = (e.y - camera.heightPx / 2) / focalPx;
  const [c, s] = [Math.cos(e.angle), Math.sin(e.angle)];
  const [ia, ib] = [(focalPx / e.major) ** 2, (focalPx / e.minor) ** 2];
  const A = c * c * ia + s * s * ib;
  const B = c * s * (ia - ib);
  const C = s * s * ia + c * c * ib;
  return [
    A,
    B,
    -(A * x + B * y),
    B,
    C,
    -(B * x + C * y),
    -(A * x + B * y),
    -(B * x + C * y),
    A * x * x + 2 * B * x * y + C * y * y - 1,
  ];
};

/** Photo px → plane with unit normal `n` at distance 1, in an orthonormal frame of the plane. */
const ontoPlane = (
  n: readonly [number, number, number],
  camera: CameraFacts,
  focalPx: number,
): Homography => {
  const size = Math.hypot(n[0], n[2]);
  const ex = size < 1e-9 ? [1, 0, 0] : [n[2] / size, 0, -n[0] / size];
  const ey = [
    n[1] * (ex[2] ?? 0) - n[2] * (ex[1] ?? 0),
    n[2] * (ex[0] ?? 0) - n[0] * (ex[2] ?? 0),
    n[0] * (ex[1] ?? 0) - n[1] * (ex[0] ?? 0),
  ];
  const row = (v: readonly number[]): number[] => [
    v[0] ?? 0,
    v[1] ?? 0,
    (v[2] ?? 0) * focalPx - ((v[0] ?? 0) * camera.widthPx) / 2 - ((v[1] ?? 0) * camera.heightPx) / 2,
  ];
  return normalised([...row(ex), ...row(ey), ...row(n)]);
};

/**
 * The plane with a given unit normal (camera's axes: right, down, forward) on which an ellipse in the photo is, as nearly as it can be, a circle of
 * radius 1.
 */
export const circlePlaneFacing = (
  e: Ellipse,
  normal: readonly [number, number, number],
  camera: CameraFacts,
  focalPx = priorFocalPx(camera).value,
): CirclePlane => {
  const h = ontoPlane(normal, camera, focalPx);
  const rim = Array.from({ length: 64 }, (_, k) => ellipsePoint(e, (2 * Math.PI * k) / 64)).map((r) =>
    mapPoint(h, r.x, r.y),
  );
  const cx = rim.reduce((s, r) => s + r[0], 0) / 64;
  const cy = rim.reduce((s, r) => s + r[1], 0) / 64;
  const middle = circleCentre(rim, cx, cy);
  const k = 1 / middle.radius;
  return {
    photoToPlane: normalised([
      ...h.slice(0, 3).map((v, i) => k * (v - middle.x * (h[6 + i] ?? 0))),
      ...h.slice(3, 6).map((v, i) => k * (v - middle.y * (h[6 + i] ?? 0))),
      ...h.slice(6, 9),
    ]),
    tiltRad: Math.acos(Math.min(1, normal[2])),
  };
};

/**
 * The two planes on which an ellipse in the photo is a circle of radius 1, the less tilted first. Source: the cone's circular sections, e.g.
 * K. Kanatani & L. Wu, "3D interpretation of conics and orthogonality", CVGIP: Image Understanding 58 (1993) 286–301.
 */
export const planesOfCircle = (
  e: Ellipse,
  camera: CameraFacts,
  focalPx = priorFocalPx(camera).value,
): CirclePlane[] => {
  const [a, b, c] = symmetricEigen(coneOf(e, camera, focalPx));
  if (a === undefined || b === undefined || c === undefined || !(b.value > 0 && c.value < 0)) return [];
  const p = Math.sqrt(Math.max(0, (a.value - b.value) / (a.value - c.value)));
  const q = Math.sqrt(Math.max(0, (b.value - c.value) / (a.value - c.value)));
  return [1, -1]
    .map((sign): CirclePlane => {
      const n = [0, 1, 2].map((k) => sign * p * (a.vector[k] ?? 0) + q * (c.vector[k] ?? 0));
      const facing = Math.sign(n[2] ?? 1) || 1;
      const normal = n.map((v) => v * facing) as [number, number, number];
      return circlePlaneFacing(e, normal, camera, focalPx);
    })
    .sort((x, y) => x.tiltRad - y.tiltRad);
};

/** Centre and radius of a circle through points all around it, by a few Gauss–Newton steps. */
const circleCentre = (
  rim: readonly (readonly [number, number])[],
  x0: number,
  y0: number,
): { x: number; y: number; radius: number } => {
  let [x, y] = [x0, y0];
  let radius = 0;
  for (let round = 0; round < 8; round++) {
    const distances = rim.map(([u, v]) => Math.hypot(u - x, v - y));
    radius = distances.reduce((s, d) => s + d, 0) / rim.length;
    const mean = (k: 0 | 1): number =>
      rim.reduce(
        (s, r, i) => s + ((r[k] - (k === 0 ? x : y)) / (distances[i] || 1)) * ((distances[i] ?? 0) - radius),
        0,
      ) / rim.length;
    const [dx, dy] = [2 * mean(0), 2 * mean(1)];
    x += dx;
    y += dy;
  }
  return { x, y, radius };
};
