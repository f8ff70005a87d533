import type { Homography } from './plane';
import {
  choleskyFactor,
  choleskyInverse,
  choleskySolve,
  conditioner,
  multiply3,
  normalised,
  unconditioner,
} from './planeFitAlgebra';
import {
  clusteredCovariance,
  inPhotoPx,
  type LineSighting,
  type PlaneFit,
  type Round,
} from './planeFitCovariance';
import { type LensBow, straightLens } from './planeFitLens';

/** A plane fit together with the lens bowing that was fitted along; the homography takes straightened photo px. */
export interface BowedPlaneFit extends PlaneFit {
  readonly lens: LensBow;
  /** Standard uncertainty of the lens's `bow`; null when it was not fitted. */
  readonly bowUncertainty: number | null;
}

/** Tukey's biweight for a residual in units of its scale (Huber, Robust Statistics, 1981, section 4.8). */
const tukey = (r: number): number => {
  const t = r / 4.685;
  return Math.abs(t) >= 1 ? 0 : (1 - t * t) ** 2;
};

const medianOf = (values: Float64Array): number => {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0 ? 0 : (sorted[Math.floor(sorted.length / 2)] ?? 0);
};

/** Sightings in conditioned px, with how each moves as the lens's bow grows. */
interface Conditioned {
  readonly sightings: readonly LineSighting[];
  readonly xs: Float64Array;
  readonly ys: Float64Array;
  readonly moveX: Float64Array;
  readonly moveY: Float64Array;
}

/** One robust reweighted step: residual (u − index) over the length of ∇u, in conditioned px. */
const linearise = (h: Homography, bow: number, points: Conditioned, size: 8 | 9, patience = 1): Round => {
  const n = points.sightings.length;
  const residuals = new Float64Array(n);
  const rows = new Float64Array(size * n);
  points.sightings.forEach((s, i) => {
    const mx = points.moveX[i] as number;
    const my = points.moveY[i] as number;
    const x = (points.xs[i] as number) + bow * mx;
    const y = (points.ys[i] as number) + bow * my;
    const w = h[6] * x + h[7] * y + 1;
    const base = s.axis === 0 ? 0 : 3;
    const a = h[base] as number;
    const b = h[base + 1] as number;
    const u = (a * x + b * y + (h[base + 2] as number)) / w;
    const gx = (a - u * h[6]) / w;
    const gy = (b - u * h[7]) / w;
    const scale = 1 / (Math.hypot(gx, gy) || 1e-12);
    residuals[i] = (u - s.index) * scale;
    const k = scale / w;
    const at = size * i;
    rows[at + base] = x * k;
    rows[at + base + 1] = y * k;
    rows[at + base + 2] = k;
    rows[at + 6] = -u * x * k;
    rows[at + 7] = -u * y * k;
    if (size === 9) rows[at + 8] = (gx * mx + gy * my) * scale;
  });
  const spread = patience * Math.max(1.4826 * medianOf(residuals.map(Math.abs)), 1e-9);
  return { residuals, rows, size, weights: residuals.map((r) => tukey(r / spread)) };
};

const normalEquations = ({
  residuals,
  weights,
  rows,
  size,
}: Round): { matrix: number[]; right: number[] } => {
  const matrix = new Array<number>(size * size).fill(0);
  const right = new Array<number>(size).fill(0);
  for (let i = 0; i < residuals.length; i++) {
    const weight = weights[i] as number;
    if (weight === 0) continue;
    for (let a = 0; a < size; a++) {
      const va = (rows[size * i + a] as number) * weight;
      if (va === 0) continue;
      right[a] = (right[a] as number) - va * (residuals[i] as number);
      for (let b = 0; b <= a; b++) {
        matrix[size * a + b] = (matrix[size * a + b] as number) + va * (rows[size * i + b] as number);
      }
    }
  }
  for (let a = 0; a < size; a++) {
    for (let b = 0; b < a; b++) matrix[size * b + a] = matrix[size * a + b] as number;
  }
  return { matrix, right };
};

const conditionedSightings = (
  sightings: readonly LineSighting[],
  lens: LensBow,
  toUnit: Homography,
): Conditioned => {
  const reach = (s: LineSighting): number =>
    ((s.x - lens.centreX) ** 2 + (s.y - lens.centreY) ** 2) / lens.radiusPx ** 2;
  return {
    sightings,
    xs: Float64Array.from(sightings, (s) => s.x * toUnit[0] + toUnit[2]),
    ys: Float64Array.from(sightings, (s) => s.y * toUnit[4] + toUnit[5]),
    moveX: Float64Array.from(sightings, (s) => (s.x - lens.centreX) * reach(s) * toUnit[0]),
    moveY: Float64Array.from(sightings, (s) => (s.y - lens.centreY) * reach(s) * toUnit[4]),
  };
};

/**
 * Fits the homography photo px → (u, v) to places seen on numbered straight lines, by robust (Tukey) least squares of the distance
 * in px, starting from `start`; with `fitBow` the lens's bow too. The covariance treats all sightings of one line as one
 * observation (clustered sandwich estimate; Liang & Zeger 1986), since they share the line's own error.
 * @returns null when the sightings do not determine a plane (fewer than two lines in a direction, or all in one corner).
 */
export const fitPlaneAndLens = (
  sightings: readonly LineSighting[],
  start: Homography,
  lens: LensBow,
  fitBow: boolean,
  rounds = 8,
): BowedPlaneFit | null => {
  if (sightings.length < 9) return null;
  const size = fitBow ? 9 : 8;
  const toUnit = conditioner(sightings);
  const points = conditionedSightings(sightings, lens, toUnit);
  let h = normalised(multiply3(start, unconditioner(toUnit)));
  let bow = lens.bow;
  for (let k = 0; k < rounds; k++) {
    // A whole line may start well off: it must first be drawn in before it could count as an outlier.
    const patience = [20, 6, 2][k] ?? 1;
    const { matrix, right } = normalEquations(linearise(h, bow, points, size, patience));
    const factor = choleskyFactor(matrix, size);
    if (factor === null) return null;
    const step = choleskySolve(factor, size, right);
    const next = h.map((v, i) => (i < 8 ? v + (step[i] ?? 0) : v)) as unknown as Homography;
    if (next.some((v) => !Number.isFinite(v))) return null;
    h = next;
    bow += fitBow ? (step[8] ?? 0) : 0;
    if (patience === 1 && step.every((s, i) => Math.abs(s) < 1e-9 * (1 + Math.abs(h[i] ?? 0)))) break;
  }
  const last = linearise(h, bow, points, size);
  const factor = choleskyFactor(normalEquations(last).matrix, size);
  if (factor === null) return null;
  let weightSum = 0;
  let squareSum = 0;
  last.residuals.forEach((r, i) => {
    const weight = last.weights[i] as number;
    weightSum += weight;
    squareSum += weight * r * r;
  });
  const covariance = clusteredCovariance(last, sightings, choleskyInverse(factor, size));
  const ofPlane = covariance.filter((_, k) => k % size < 8 && k < 8 * size);
  return {
    ...inPhotoPx(h, ofPlane, toUnit),
    residualPx: Math.sqrt(squareSum / Math.max(weightSum, 1e-9)) / toUnit[0],
    lens: { ...lens, bow },
    bowUncertainty: fitBow ? Math.sqrt(Math.max(0, covariance[80] ?? 0)) : null,
  };
};

/** {@link fitPlaneAndLens} for a picture without bowing. */
export const fitPlaneToLines = (
  sightings: readonly LineSighting[],
  start: Homography,
  rounds = 8,
): PlaneFit | null => fitPlaneAndLens(sightings, start, straightLens(2, 2), false, rounds);
