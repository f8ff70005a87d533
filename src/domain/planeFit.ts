import type { Homography } from './plane';

/** A place in the photo (px) that is known to lie on a numbered line of a plane: `axis` 0 means u = index, 1 means v = index. */
export interface LineSighting {
  readonly x: number;
  readonly y: number;
  readonly axis: 0 | 1;
  readonly index: number;
  /** Which physical line it was seen on; sightings of one line share their printing error. */
  readonly group: number;
}

/** A homography photo px → (u, v) with what is known of its quality. */
export interface PlaneFit {
  readonly photoToPlane: Homography;
  /** Robust root mean square distance of the sightings from where the map puts them, px. */
  readonly residualPx: number;
  /** Covariance of the eight free entries of `photoToPlane` (the last is 1), row-major 8×8. */
  readonly covariance: readonly number[];
}

/**
 * Solves a small symmetric positive definite system by Cholesky's method.
 * @returns null when the matrix is not positive definite: the observations leave something undetermined.
 */
export const choleskyFactor = (matrix: readonly number[], size: number): number[] | null => {
  const lower = new Array<number>(size * size).fill(0);
  const at = (m: readonly number[], i: number, j: number): number => m[i * size + j] ?? 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = at(matrix, i, j);
      for (let k = 0; k < j; k++) sum -= at(lower, i, k) * at(lower, j, k);
      if (i === j) {
        if (!(sum > 1e-14 * Math.abs(at(matrix, i, i)))) return null;
        lower[i * size + i] = Math.sqrt(sum);
      } else {
        lower[i * size + j] = sum / at(lower, j, j);
      }
    }
  }
  return lower;
};

/** Solves L Lᵀ x = b for a factor L of {@link choleskyFactor}. */
export const choleskySolve = (lower: readonly number[], size: number, b: readonly number[]): number[] => {
  const at = (i: number, j: number): number => lower[i * size + j] ?? 0;
  const x = [...b];
  for (let i = 0; i < size; i++) {
    let sum = x[i] ?? 0;
    for (let k = 0; k < i; k++) sum -= at(i, k) * (x[k] ?? 0);
    x[i] = sum / at(i, i);
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i] ?? 0;
    for (let k = i + 1; k < size; k++) sum -= at(k, i) * (x[k] ?? 0);
    x[i] = sum / at(i, i);
  }
  return x;
};

/** Inverse of a symmetric positive definite matrix from its factor. */
export const choleskyInverse = (lower: readonly number[], size: number): number[] => {
  const out = new Array<number>(size * size).fill(0);
  for (let column = 0; column < size; column++) {
    const unit = new Array<number>(size).fill(0);
    unit[column] = 1;
    choleskySolve(lower, size, unit).forEach((value, row) => {
      out[row * size + column] = value;
    });
  }
  return out;
};

/** Product of two 3×3 matrices, row-major. */
export const multiply3 = (a: readonly number[], b: readonly number[]): Homography => {
  const out: number[] = [];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      let sum = 0;
      for (let k = 0; k < 3; k++) sum += (a[3 * i + k] ?? 0) * (b[3 * k + j] ?? 0);
      out.push(sum);
    }
  }
  return out as unknown as Homography;
};

/** The same homography with its last entry 1, where that is possible. */
export const normalised = (h: readonly number[]): Homography => {
  const last = h[8] ?? 1;
  const scale = Math.abs(last) < 1e-300 ? 1 : last;
  return h.map((v) => v / scale) as unknown as Homography;
};

/** Image of (x, y) under a homography. */
export const mapPoint = (h: readonly number[], x: number, y: number): [number, number] => {
  const w = (h[6] ?? 0) * x + (h[7] ?? 0) * y + (h[8] ?? 1);
  return [
    ((h[0] ?? 0) * x + (h[1] ?? 0) * y + (h[2] ?? 0)) / w,
    ((h[3] ?? 0) * x + (h[4] ?? 0) * y + (h[5] ?? 0)) / w,
  ];
};

/** First derivatives [∂u/∂x, ∂u/∂y, ∂v/∂x, ∂v/∂y] of a homography at (x, y). */
export const jacobianAt = (h: readonly number[], x: number, y: number): [number, number, number, number] => {
  const [h0 = 0, h1 = 0, , h3 = 0, h4 = 0, , h6 = 0, h7 = 0, h8 = 1] = h;
  const w = h6 * x + h7 * y + h8;
  const [u, v] = mapPoint(h, x, y);
  return [(h0 - u * h6) / w, (h1 - u * h7) / w, (h3 - v * h6) / w, (h4 - v * h7) / w];
};

/** Length scale of the map at (x, y): square root of the area of one px² on the plane. */
export const localScale = (h: readonly number[], x: number, y: number): number => {
  const [a, b, c, d] = jacobianAt(h, x, y);
  return Math.sqrt(Math.abs(a * d - b * c));
};

/** Moves and shrinks photo px to about −1…1, so that the normal equations stay well conditioned (Hartley 1997). */
const conditioner = (points: readonly { x: number; y: number }[]): Homography => {
  const n = points.length;
  const cx = points.reduce((s, p) => s + p.x, 0) / n;
  const cy = points.reduce((s, p) => s + p.y, 0) / n;
  const spread = Math.sqrt(points.reduce((s, p) => s + (p.x - cx) ** 2 + (p.y - cy) ** 2, 0) / n) || 1;
  return [1 / spread, 0, -cx / spread, 0, 1 / spread, -cy / spread, 0, 0, 1];
};

/** Affine maps (a x + b) are undone entry by entry; only the form of {@link conditioner} is handled. */
const unconditioner = (t: Homography): Homography => [
  1 / t[0],
  0,
  -t[2] / t[0],
  0,
  1 / t[4],
  -t[5] / t[4],
  0,
  0,
  1,
];

/** Tukey's biweight for a residual in units of its scale (Huber, Robust Statistics, 1981, section 4.8). */
const tukey = (r: number): number => {
  const t = r / 4.685;
  return Math.abs(t) >= 1 ? 0 : (1 - t * t) ** 2;
};

const medianOf = (values: Float64Array): number => {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0 ? 0 : (sorted[Math.floor(sorted.length / 2)] ?? 0);
};

interface Round {
  h: Homography;
  residuals: Float64Array;
  weights: Float64Array;
  rows: Float64Array;
}

/** One robust reweighted step: residual (u − index) over the length of ∇u, in conditioned px. */
const linearise = (
  h: Homography,
  xs: Float64Array,
  ys: Float64Array,
  sightings: readonly LineSighting[],
): Round => {
  const n = sightings.length;
  const residuals = new Float64Array(n);
  const rows = new Float64Array(8 * n);
  sightings.forEach((s, i) => {
    const x = xs[i] ?? 0;
    const y = ys[i] ?? 0;
    const w = h[6] * x + h[7] * y + 1;
    const base = s.axis === 0 ? 0 : 3;
    const u = ((h[base] ?? 0) * x + (h[base + 1] ?? 0) * y + (h[base + 2] ?? 0)) / w;
    const gx = ((h[base] ?? 0) - u * h[6]) / w;
    const gy = ((h[base + 1] ?? 0) - u * h[7]) / w;
    const scale = 1 / (Math.hypot(gx, gy) || 1e-12);
    residuals[i] = (u - s.index) * scale;
    const k = scale / w;
    rows[8 * i + base] = x * k;
    rows[8 * i + base + 1] = y * k;
    rows[8 * i + base + 2] = k;
    rows[8 * i + 6] = -u * x * k;
    rows[8 * i + 7] = -u * y * k;
  });
  const spread = 1.4826 * medianOf(residuals.map(Math.abs));
  const scale = Math.max(spread, 1e-9);
  return { h, residuals, rows, weights: residuals.map((r) => tukey(r / scale)) };
};

const normalEquations = (round: Round): { matrix: number[]; right: number[] } => {
  const matrix = new Array<number>(64).fill(0);
  const right = new Array<number>(8).fill(0);
  for (let i = 0; i < round.residuals.length; i++) {
    const weight = round.weights[i] ?? 0;
    if (weight === 0) continue;
    for (let a = 0; a < 8; a++) {
      const va = (round.rows[8 * i + a] ?? 0) * weight;
      if (va === 0) continue;
      right[a] = (right[a] ?? 0) - va * (round.residuals[i] ?? 0);
      for (let b = 0; b <= a; b++) {
        matrix[8 * a + b] = (matrix[8 * a + b] ?? 0) + va * (round.rows[8 * i + b] ?? 0);
      }
    }
  }
  for (let a = 0; a < 8; a++) for (let b = 0; b < a; b++) matrix[8 * b + a] = matrix[8 * a + b] ?? 0;
  return { matrix, right };
};

/**
 * Fits the homography photo px → (u, v) to places seen on numbered straight lines, by robust (Tukey) least squares of the distance
 * in px, starting from `start`. The covariance treats all sightings of one line as one observation (clustered
 * sandwich estimate; Liang & Zeger 1986), since they share the line's own error.
 * @returns null when the sightings do not determine a plane (fewer than two lines in a direction, or all in one corner).
 */
export const fitPlaneToLines = (
  sightings: readonly LineSighting[],
  start: Homography,
  rounds = 8,
): PlaneFit | null => {
  if (sightings.length < 8) return null;
  const toUnit = conditioner(sightings);
  const fromUnit = unconditioner(toUnit);
  const xs = Float64Array.from(sightings, (s) => s.x * toUnit[0] + toUnit[2]);
  const ys = Float64Array.from(sightings, (s) => s.y * toUnit[4] + toUnit[5]);
  let h = normalised(multiply3(start, fromUnit));
  for (let k = 0; k < rounds; k++) {
    const { matrix, right } = normalEquations(linearise(h, xs, ys, sightings));
    const factor = choleskyFactor(matrix, 8);
    if (factor === null) return null;
    const step = choleskySolve(factor, 8, right);
    const next = h.map((v, i) => v + (step[i] ?? 0)) as unknown as Homography;
    if (next.some((v) => !Number.isFinite(v))) return null;
    h = next;
    if (step.every((s, i) => Math.abs(s) < 1e-10 * (1 + Math.abs(h[i] ?? 0)))) break;
  }
  const last = linearise(h, xs, ys, sightings);
  const { matrix } = normalEquations(last);
  const factor = choleskyFactor(matrix, 8);
  if (factor === null) return null;
  let weightSum = 0;
  let squareSum = 0;
  last.residuals.forEach((r, i) => {
    const weight = last.weights[i] ?? 0;
    weightSum += weight;
    squareSum += weight * r * r;
  });
  const covariance = clusteredCovariance(last, sightings, choleskyInverse(factor, 8));
  return {
    ...inPhotoPx(h, covariance, toUnit),
    residualPx: Math.sqrt(squareSum / Math.max(weightSum, 1e-9)) / toUnit[0],
  };
};

const clusteredCovariance = (
  round: Round,
  sightings: readonly LineSighting[],
  inverse: readonly number[],
): number[] => {
  const scores = new Map<number, number[]>();
  sightings.forEach((s, i) => {
    const weight = (round.weights[i] ?? 0) * (round.residuals[i] ?? 0);
    const score = scores.get(s.group) ?? new Array<number>(8).fill(0);
    for (let a = 0; a < 8; a++) score[a] = (score[a] ?? 0) + weight * (round.rows[8 * i + a] ?? 0);
    scores.set(s.group, score);
  });
  const groups = scores.size;
  const few = groups > 9 ? groups / (groups - 8) : 9;
  const out = new Array<number>(64).fill(0);
  for (const score of scores.values()) {
    const moved = inverse.slice(0, 8).map((_, a) => {
      let sum = 0;
      for (let b = 0; b < 8; b++) sum += (inverse[8 * a + b] ?? 0) * (score[b] ?? 0);
      return sum;
    });
    for (let a = 0; a < 8; a++) {
      for (let b = 0; b < 8; b++) {
        out[8 * a + b] = (out[8 * a + b] ?? 0) + few * (moved[a] ?? 0) * (moved[b] ?? 0);
      }
    }
  }
  return out;
};

/** Carries a homography and its covariance from conditioned px back to photo px (first order). */
const inPhotoPx = (
  h: Homography,
  covariance: readonly number[],
  toUnit: Homography,
): Pick<PlaneFit, 'photoToPlane' | 'covariance'> => {
  const photoToPlane = normalised(multiply3(h, toUnit));
  const columns = h.slice(0, 8).map((value, k) => {
    const step = 1e-6 * (1 + Math.abs(value));
    const moved = normalised(
      multiply3(
        h.map((v, i) => (i === k ? v + step : v)),
        toUnit,
      ),
    );
    return moved.slice(0, 8).map((v, i) => (v - (photoToPlane[i] ?? 0)) / step);
  });
  const out = new Array<number>(64).fill(0);
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      let sum = 0;
      for (let i = 0; i < 8; i++) {
        for (let j = 0; j < 8; j++) {
          sum += (columns[i]?.[a] ?? 0) * (covariance[8 * i + j] ?? 0) * (columns[j]?.[b] ?? 0);
        }
      }
      out[8 * a + b] = sum;
    }
  }
  return { photoToPlane, covariance: out };
};

/**
 * Standard uncertainty of a function of a fitted homography, by first-order propagation (JCGM 100:2008, 5.1.2 and 5.2.2) with numerical
 * derivatives.
 */
export const propagated = (
  fit: Pick<PlaneFit, 'photoToPlane' | 'covariance'>,
  of: (h: Homography) => number,
): number => {
  const base = of(fit.photoToPlane);
  const gradient = fit.photoToPlane.slice(0, 8).map((value, k) => {
    const deviation = Math.sqrt(Math.max(0, fit.covariance[9 * k] ?? 0));
    const step = deviation > 0 ? 0.1 * deviation : 1e-9 * (1 + Math.abs(value));
    const moved = fit.photoToPlane.map((v, i) => (i === k ? v + step : v)) as unknown as Homography;
    return (of(moved) - base) / step;
  });
  let variance = 0;
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      variance += (gradient[a] ?? 0) * (fit.covariance[8 * a + b] ?? 0) * (gradient[b] ?? 0);
    }
  }
  return Math.sqrt(Math.max(0, variance));
};
