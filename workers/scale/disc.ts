import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { costOf, dampedLeastSquares } from '../../src/domain/dampedLeastSquares';
import type { Homography } from '../../src/domain/plane';
import { choleskyInverse, normalised } from '../../src/domain/planeFitAlgebra';

/**
 * How a thick disc lies before the camera, in units of its radius: slopes of its face (normal (slopeX, slopeY, 1) in the camera's axes right, down,
 * forward), the face's middle in px, the logarithm of its depth, the disc's thickness, and the focal length as a share of the usual one.
 */
export type DiscPose = readonly [
  slopeX: number,
  slopeY: number,
  x: number,
  y: number,
  lnDepth: number,
  thickness: number,
  focalShare: number,
];

/** A place in the photo and how far, px along the ray from the disc's middle, it lies outside the face's rim and outside the whole disc's outline. */
export interface DiscDistances {
  readonly face: number;
  readonly outline: number;
}

type Vector = readonly [number, number, number];

/** A pose with everything worked out that does not change from place to place. */
export interface StandingDisc {
  readonly pose: DiscPose;
  readonly focalPx: number;
  readonly normal: Vector;
  readonly across: Vector;
  readonly along: Vector;
  readonly centre: Vector;
  readonly camera: CameraFacts;
}

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Works out a pose; its unit vectors span the disc's face. */
export const standing = (pose: DiscPose, camera: CameraFacts): StandingDisc => {
  const [slopeX, slopeY, x, y, lnDepth, , focalShare] = pose;
  const focalPx = priorFocalPx(camera).value * focalShare;
  const size = Math.hypot(slopeX, slopeY, 1);
  const normal: Vector = [slopeX / size, slopeY / size, 1 / size];
  const flat = Math.hypot(normal[0], normal[2]);
  const across: Vector = [normal[2] / flat, 0, -normal[0] / flat];
  const along: Vector = [
    normal[1] * across[2] - normal[2] * across[1],
    normal[2] * across[0] - normal[0] * across[2],
    normal[0] * across[1] - normal[1] * across[0],
  ];
  const depth = Math.exp(lnDepth);
  const centre: Vector = [
    (depth * (x - camera.widthPx / 2)) / focalPx,
    (depth * (y - camera.heightPx / 2)) / focalPx,
    depth,
  ];
  return { pose, focalPx, normal, across, along, centre, camera };
};

/** Levels between face and foot that the outline is taken from. */
const levels = [0, 0.5, 1];

/** Where a place in the photo lies beside the disc. */
export const distancesTo = (disc: StandingDisc, x: number, y: number): DiscDistances => {
  const { pose, focalPx, normal, centre, camera } = disc;
  const rx = (x - camera.widthPx / 2) / focalPx;
  const ry = (y - camera.heightPx / 2) / focalPx;
  const facing = normal[0] * rx + normal[1] * ry + normal[2];
  const rayPx = Math.sqrt((x - pose[2]) ** 2 + (y - pose[3]) ** 2);
  const height = dot(centre, normal);
  let face = 0;
  let outline = Number.POSITIVE_INFINITY;
  for (const level of levels) {
    const sunk = level * pose[5];
    const reach = (height + sunk) / facing;
    const u = reach * rx - centre[0] - sunk * normal[0];
    const v = reach * ry - centre[1] - sunk * normal[1];
    const w = reach - centre[2] - sunk * normal[2];
    const distance = rayPx * (1 - 1 / Math.max(0.1, Math.sqrt(u * u + v * v + w * w)));
    if (level === 0) face = distance;
    outline = Math.min(outline, distance);
  }
  return { face, outline };
};

/** The point of the face's rim at an angle, photo px. */
export const rimPoint = (disc: StandingDisc, angle: number): { x: number; y: number } => {
  const { across, along, centre, focalPx, camera } = disc;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const [px, py, pz] = [0, 1, 2].map(
    (k) => (centre[k] ?? 0) + c * (across[k] ?? 0) + s * (along[k] ?? 0),
  ) as unknown as Vector;
  return { x: camera.widthPx / 2 + (focalPx * px) / pz, y: camera.heightPx / 2 + (focalPx * py) / pz };
};

/** Photo px → the face in units of the disc's diameter, the origin at its middle. */
export const facePlane = (disc: StandingDisc): Homography => {
  const { normal, across, along, centre, focalPx, camera } = disc;
  const height = dot(centre, normal);
  const row = (axis: Vector): number[] => {
    const shift = dot(centre, axis);
    return [0, 1, 2].map((k) => 0.5 * (height * (axis[k] ?? 0) - shift * (normal[k] ?? 0)));
  };
  // (x, y, 1) in px → the ray through it, in units of the focal length.
  const inPx = ([a = 0, b = 0, c = 0]: readonly number[]): number[] => [
    a / focalPx,
    b / focalPx,
    c - (a * camera.widthPx) / (2 * focalPx) - (b * camera.heightPx) / (2 * focalPx),
  ];
  return normalised([...inPx(row(across)), ...inPx(row(along)), ...inPx(normal)]);
};

/** A disc fitted to edges: pose, covariance of its seven numbers, and what is left. */
export interface FittedDisc {
  readonly disc: StandingDisc;
  readonly covariance: readonly number[];
  /** Sum of squares of all residuals in units of their uncertainties. */
  readonly cost: number;
}

/** What is known before looking at the edges. */
export interface DiscPrior {
  readonly level: CameraLevel;
  /** Thickness as a share of the radius. */
  readonly thickness: { readonly value: number; readonly uncertainty: number };
}

const priorResiduals = (pose: DiscPose, { level, thickness }: DiscPrior, camera: CameraFacts): number[] => {
  const focal = priorFocalPx(camera);
  return [
    (pose[0] - level.slopeX * pose[6]) / level.uncertainty,
    (pose[1] - level.slopeY * pose[6]) / level.uncertainty,
    (pose[5] - thickness.value) / thickness.uncertainty,
    ((pose[6] - 1) * focal.value) / focal.standardUncertainty,
  ];
};

/** Changes of the seven numbers that derivatives are taken over. */
const steps = [1e-4, 1e-4, 1e-2, 1e-2, 1e-4, 1e-4, 1e-4] as const;
const size = steps.length;

/**
 * Moves a disc so that edges lie on it, by damped least squares (Levenberg and Marquardt), held by what is known beforehand.
 * @param residualsOf what is left at every edge, in units of its uncertainty.
 * @returns null when the pose is not determined.
 */
export const fitDisc = (
  start: DiscPose,
  camera: CameraFacts,
  prior: DiscPrior,
  residualsOf: (disc: StandingDisc) => number[],
): FittedDisc | null => {
  const all = (pose: DiscPose): number[] => [
    ...residualsOf(standing(pose, camera)),
    ...priorResiduals(pose, prior, camera),
  ];
  const found = dampedLeastSquares(start, all, {
    stepsAt: () => steps,
    rounds: 12,
    leastGain: 1e-3,
    mostDamping: 1e6,
  });
  return (
    found && {
      disc: standing(found.values, camera),
      covariance: choleskyInverse(found.factor, size),
      cost: costOf(found.residuals),
    }
  );
};

/** Standard uncertainty of a number that depends on the pose. */
export const uncertaintyOf = (fit: FittedDisc, value: (disc: StandingDisc) => number): number => {
  const { pose, camera } = fit.disc;
  const here = value(fit.disc);
  const slope = steps.map(
    (step, k) =>
      (value(standing(pose.map((v, i) => (i === k ? v + step : v)) as unknown as DiscPose, camera)) - here) /
      step,
  );
  let variance = 0;
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++)
      variance += (slope[i] ?? 0) * (slope[j] ?? 0) * (fit.covariance[size * i + j] ?? 0);
  return Math.sqrt(Math.max(0, variance));
};
