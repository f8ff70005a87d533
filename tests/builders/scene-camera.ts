import type { Homography } from '../../src/domain/plane';

/** A pinhole camera over the table, with one radial lens coefficient. */
export interface CameraSpec {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Focal length in pixels. */
  readonly focalPx: number;
  /** Point of the table that the middle of the picture shows, mm. */
  readonly targetMm: readonly [number, number];
  /** Distance from that point to the camera, mm. */
  readonly distanceMm: number;
  /** Angle between the camera's axis and the table's normal, radians, and the side to which the camera leans. */
  readonly tiltRad: number;
  readonly azimuthRad: number;
  /** Turn of the camera about its own axis, radians. */
  readonly rollRad: number;
  /** Radial distortion k1: an image point at normalised radius r moves out to r·(1 + k1·r²). */
  readonly radialK1: number;
}

type Vector = readonly [number, number, number];

/**
 * A camera ready to use. World: mm, x to the right and y downward on the table as seen from above, z up towards the camera.
 * Photo px: continuous, origin at the outer corner of the top-left pixel.
 */
export interface Camera {
  readonly spec: CameraSpec;
  readonly position: Vector;
  readonly right: Vector;
  readonly down: Vector;
  readonly forward: Vector;
  /** World point → [x px, y px, depth along the axis in mm]. */
  project(x: number, y: number, z: number): [number, number, number];
  /** Photo px → the point of the level plane at height `z` (mm) that it shows, written into `out`. */
  onPlane(xPx: number, yPx: number, z: number, out: Float64Array): void;
  /** Photo px → mm on the level plane at height `z`; exact for the camera without its lens distortion. */
  homographyToPlane(z: number): Homography;
}

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const combine = (a: Vector, ka: number, b: Vector, kb: number): Vector => [
  a[0] * ka + b[0] * kb,
  a[1] * ka + b[1] * kb,
  a[2] * ka + b[2] * kb,
];

/** Undoes r·(1 + k1·r²) by a few rounds of fixed-point iteration; returns the factor for the distorted point. */
const undistortion = (r2: number, k1: number): number => {
  if (k1 === 0) return 1;
  let factor = 1;
  for (let round = 0; round < 8; round++) factor = 1 / (1 + k1 * r2 * factor * factor);
  return factor;
};

/** Sets a camera up from its description. */
export const cameraOf = (spec: CameraSpec): Camera => {
  const { focalPx: f, tiltRad, azimuthRad, rollRad, distanceMm, radialK1: k1 } = spec;
  const cx = spec.widthPx / 2;
  const cy = spec.heightPx / 2;
  const lean: Vector = [Math.cos(azimuthRad), Math.sin(azimuthRad), 0];
  const side: Vector = [-Math.sin(azimuthRad), Math.cos(azimuthRad), 0];
  const sinT = Math.sin(tiltRad);
  const cosT = Math.cos(tiltRad);
  const leanTilted: Vector = [lean[0] * cosT, lean[1] * cosT, -sinT];
  const backward: Vector = [lean[0] * sinT, lean[1] * sinT, cosT];
  const right0 = combine(leanTilted, lean[0], side, side[0]);
  const down0 = combine(leanTilted, lean[1], side, side[1]);
  const right = combine(right0, Math.cos(rollRad), down0, Math.sin(rollRad));
  const down = combine(right0, -Math.sin(rollRad), down0, Math.cos(rollRad));
  const forward: Vector = [-backward[0], -backward[1], -backward[2]];
  const position: Vector = [
    spec.targetMm[0] + backward[0] * distanceMm,
    spec.targetMm[1] + backward[1] * distanceMm,
    backward[2] * distanceMm,
  ];

  const project = (x: number, y: number, z: number): [number, number, number] => {
    const p: Vector = [x - position[0], y - position[1], z - position[2]];
    const depth = dot(p, forward);
    const nx = dot(p, right) / depth;
    const ny = dot(p, down) / depth;
    const stretch = 1 + k1 * (nx * nx + ny * ny);
    return [cx + f * nx * stretch, cy + f * ny * stretch, depth];
  };

  const onPlane = (xPx: number, yPx: number, z: number, out: Float64Array): void => {
    let nx = (xPx - cx) / f;
    let ny = (yPx - cy) / f;
    const factor = undistortion(nx * nx + ny * ny, k1);
    nx *= factor;
    ny *= factor;
    const vx = right[0] * nx + down[0] * ny + forward[0];
    const vy = right[1] * nx + down[1] * ny + forward[1];
    const vz = right[2] * nx + down[2] * ny + forward[2];
    const reach = (z - position[2]) / vz;
    out[0] = position[0] + vx * reach;
    out[1] = position[1] + vy * reach;
  };

  const homographyToPlane = (z: number): Homography => {
    // X = Px + reach·vx with reach = (z − Pz)/vz, and v linear in the pixel: three rows over one common denominator.
    const row = (k: 0 | 1 | 2): Vector => [
      right[k] / f,
      down[k] / f,
      forward[k] - (right[k] * cx + down[k] * cy) / f,
    ];
    const gap = z - position[2];
    const vz = row(2);
    const hx = combine(row(0), gap, vz, position[0]);
    const hy = combine(row(1), gap, vz, position[1]);
    const all = [...hx, ...hy, ...vz].map((v) => v / vz[2]);
    return all as unknown as Homography;
  };

  return { spec, position, right, down, forward, project, onPlane, homographyToPlane };
};
