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

/**
 * Bowing of straight lines by the lens: a photo point at distance r from the centre belongs at r (1 + bow (r / radius)²).
 * One radial coefficient is what phone lenses need after their own correction (D. C. Brown, "Close-range camera calibration", 1971,
 * first radial term).
 */
export interface LensBow {
  readonly centreX: number;
  readonly centreY: number;
  readonly radiusPx: number;
  readonly bow: number;
}

/** Where a photo point would lie had the lens not bowed it. */
export const straightened = (lens: LensBow, x: number, y: number): [number, number] => {
  const dx = x - lens.centreX;
  const dy = y - lens.centreY;
  const k = 1 + (lens.bow * (dx * dx + dy * dy)) / lens.radiusPx ** 2;
  return [lens.centreX + dx * k, lens.centreY + dy * k];
};

/** The inverse of {@link straightened}, by fixed-point steps (the bowing is a percent at most). */
export const bowed = (lens: LensBow, x: number, y: number): [number, number] => {
  if (lens.bow === 0) return [x, y];
  const tx = x - lens.centreX;
  const ty = y - lens.centreY;
  let dx = tx;
  let dy = ty;
  for (let i = 0; i < 4; i++) {
    const k = 1 + (lens.bow * (dx * dx + dy * dy)) / lens.radiusPx ** 2;
    dx = tx / k;
    dy = ty / k;
  }
  return [lens.centreX + dx, lens.centreY + dy];
};

/** A homography photo px → (u, v) with what is known of its quality. */
export interface PlaneFit {
  readonly photoToPlane: Homography;
  /** Robust root mean square distance of the sightings from where the map puts them, px. */
  readonly residualPx: number;
  /** Covariance of the eight free entries of `photoToPlane` (the last is 1), row-major 8×8. */
  readonly covariance: readonly number[];
}

/** A plane fit together with the lens bowing that was fitted along; the homography takes straightened photo px. */
export interface BowedPlaneFit extends PlaneFit {
  readonly lens: LensBow;
  /** Standard uncertainty of the lens's `bow`; null when it was not fitted. */
  readonly bowUncertainty: number | null;
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

const determinant3 = (m: readonly number[]): number => {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0, i = 0] = m;
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
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
  residuals: Float64Array;
  weights: Float64Array;
  /** Derivatives of each residual, `size` a sighting. */
  rows: Float64Array;
  size: number;
}

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

/** No bowing, about the middle of a photo. */
export const straightLens = (widthPx: number, heightPx: number): LensBow => ({
  centreX: widthPx / 2,
  centreY: heightPx / 2,
  radiusPx: Math.hypot(widthPx, heightPx) / 2,
  bow: 0,
});

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

/** How many neighbouring sightings along one line count as one, where too few lines are there to tell. */
const sharedBy = 6;

/** Least squares covariance σ² (AᵀA)⁻¹ for few lines. */
const plainCovariance = (round: Round, inverse: readonly number[]): number[] => {
  let weights = 0;
  let squares = 0;
  round.residuals.forEach((r, i) => {
    const weight = round.weights[i] as number;
    weights += weight;
    squares += weight * r * r;
  });
  const variance = (sharedBy * squares) / Math.max(1, weights - round.size);
  return inverse.map((v) => v * variance);
};

const clusteredCovariance = (
  round: Round,
  sightings: readonly LineSighting[],
  inverse: readonly number[],
): number[] => {
  const { size } = round;
  const scores = new Map<number, number[]>();
  sightings.forEach((s, i) => {
    const weight = (round.weights[i] ?? 0) * (round.residuals[i] ?? 0);
    const score = scores.get(s.group) ?? new Array<number>(size).fill(0);
    for (let a = 0; a < size; a++) score[a] = (score[a] ?? 0) + weight * (round.rows[size * i + a] ?? 0);
    scores.set(s.group, score);
  });
  const groups = scores.size;
  if (groups < size + 3) return plainCovariance(round, inverse);
  const few = groups / (groups - size);
  const out = new Array<number>(size * size).fill(0);
  for (const score of scores.values()) {
    const moved = score.map((_, a) => {
      let sum = 0;
      for (let b = 0; b < size; b++) sum += (inverse[size * a + b] ?? 0) * (score[b] ?? 0);
      return sum;
    });
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < size; b++) {
        out[size * a + b] = (out[size * a + b] ?? 0) + few * (moved[a] ?? 0) * (moved[b] ?? 0);
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

/**
 * Homography that carries four or more points onto four or more others: the linear system with the last entry 1, solved by least squares in
 * conditioned coordinates (R. Hartley & A. Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2 with equation 4.5).
 * @returns null when three of four points lie on a line or there are too few.
 */
export const homographyFromPoints = (
  from: readonly { x: number; y: number }[],
  to: readonly { x: number; y: number }[],
): Homography | null => {
  const n = Math.min(from.length, to.length);
  if (n < 4) return null;
  const a = conditioner(from);
  const b = conditioner(to);
  const matrix = new Array<number>(64).fill(0);
  const right = new Array<number>(8).fill(0);
  const add = (row: readonly number[], value: number): void => {
    for (let i = 0; i < 8; i++) {
      right[i] = (right[i] ?? 0) + (row[i] ?? 0) * value;
      for (let j = 0; j < 8; j++)
        matrix[8 * i + j] = (matrix[8 * i + j] ?? 0) + (row[i] ?? 0) * (row[j] ?? 0);
    }
  };
  for (let i = 0; i < n; i++) {
    const [x, y] = mapPoint(a, from[i]?.x ?? 0, from[i]?.y ?? 0);
    const [u, v] = mapPoint(b, to[i]?.x ?? 0, to[i]?.y ?? 0);
    add([x, y, 1, 0, 0, 0, -u * x, -u * y], u);
    add([0, 0, 0, x, y, 1, -v * x, -v * y], v);
  }
  const factor = choleskyFactor(matrix, 8);
  if (factor === null) return null;
  const h = [...choleskySolve(factor, 8, right), 1];
  // In conditioned coordinates all entries are about 1; a vanishing determinant flattens the plane.
  if (Math.abs(determinant3(h)) < 1e-9) return null;
  const result = normalised(multiply3(unconditioner(b), multiply3(h, a)));
  return result.every(Number.isFinite) ? result : null;
};

/**
 * Homography that carries the unit square (0,0) (1,0) (1,1) (0,1) onto four corners in that order, in closed form.
 * Source: P. Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989, section 2.2.3.
 * @returns null when the corners are no four-sided figure.
 */
export const squareToQuad = (corners: readonly [Corner2, Corner2, Corner2, Corner2]): Homography | null => {
  const [p0, p1, p2, p3] = corners;
  const sx = p0.x - p1.x + p2.x - p3.x;
  const sy = p0.y - p1.y + p2.y - p3.y;
  const dx1 = p1.x - p2.x;
  const dx2 = p3.x - p2.x;
  const dy1 = p1.y - p2.y;
  const dy2 = p3.y - p2.y;
  const det = dx1 * dy2 - dx2 * dy1;
  if (Math.abs(det) < 1e-12) return null;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return [
    p1.x - p0.x + g * p1.x,
    p3.x - p0.x + h * p3.x,
    p0.x,
    p1.y - p0.y + g * p1.y,
    p3.y - p0.y + h * p3.y,
    p0.y,
    g,
    h,
    1,
  ];
};

/** A corner of a figure in any plane. */
export interface Corner2 {
  readonly x: number;
  readonly y: number;
}
