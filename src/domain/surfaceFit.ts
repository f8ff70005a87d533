import { median } from './statistics';

/** Position as a low-order polynomial of two coordinates, and its slopes. */
export interface SurfaceFit {
  /** Writes x, y and the slopes ∂x/∂s, ∂y/∂s, ∂x/∂t, ∂y/∂t at (s, t) into `out[0..5]`. */
  evaluate(s: number, t: number, out: Float64Array): void;
  /** Robust standard deviation of one coordinate about the fit, in the unit of the positions. */
  readonly scatter: number;
}

/** Solves the symmetric positive definite system `a · x = b` (n × n, row by row) for two right sides by Cholesky. */
const solveTwo = (a: Float64Array, n: number, b1: Float64Array, b2: Float64Array): void => {
  for (let j = 0; j < n; j += 1) {
    for (let i = j; i < n; i += 1) {
      let sum = a[i * n + j] as number;
      for (let k = 0; k < j; k += 1) sum -= (a[i * n + k] as number) * (a[j * n + k] as number);
      // The tiny floor keeps a direction that the data say nothing about at zero instead of failing.
      a[i * n + j] = i === j ? Math.sqrt(Math.max(sum, 1e-12)) : sum / (a[j * n + j] as number);
    }
  }
  for (const b of [b1, b2]) {
    for (let i = 0; i < n; i += 1) {
      let sum = b[i] as number;
      for (let k = 0; k < i; k += 1) sum -= (a[i * n + k] as number) * (b[k] as number);
      b[i] = sum / (a[i * n + i] as number);
    }
    for (let i = n - 1; i >= 0; i -= 1) {
      let sum = b[i] as number;
      for (let k = i + 1; k < n; k += 1) sum -= (a[k * n + i] as number) * (b[k] as number);
      b[i] = sum / (a[i * n + i] as number);
    }
  }
};

/** Exponents (p, q) of s^p · t^q with p + q ≤ degree, as far as the number of distinct values allows. */
const termsFor = (degree: number, sCount: number, tCount: number): (readonly [number, number])[] => {
  const terms: (readonly [number, number])[] = [];
  for (let p = 0; p <= Math.min(degree, sCount - 1); p += 1) {
    for (let q = 0; q <= Math.min(degree - p, tCount - 1); q += 1) terms.push([p, q]);
  }
  return terms;
};

/** The median length of a two-dimensional normal deviation is √(2 ln 2) standard deviations of one coordinate. */
const MEDIAN_RADIUS = Math.sqrt(2 * Math.LN2);
/** Huber's constant: 95 % as good as least squares for normal data (P. J. Huber 1964). */
const HUBER = 1.345;

/** Points from which on a fit is thinned out. */
const ENOUGH_POINTS = 700;

/**
 * Fits position (x, y) against (s, t) by iteratively reweighted least squares with Huber's weights.
 * s and t should lie within about ±1. `sCount` and `tCount` are the numbers of distinct values; with few of them the degree falls.
 * @returns null when there are fewer points than coefficients.
 */
export const fitSurface = (
  s: ArrayLike<number>,
  t: ArrayLike<number>,
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  options: { readonly degree: number; readonly sCount: number; readonly tCount: number },
): SurfaceFit | null => {
  const terms = termsFor(options.degree, options.sCount, options.tCount);
  const n = terms.length;
  // A smooth surface is settled by some hundreds of points; more of them only take time.
  const stride = Math.max(1, Math.floor(s.length / ENOUGH_POINTS));
  const count = Math.ceil(s.length / stride);
  if (count < n || n === 0) return null;
  const basis = new Float64Array(count * n);
  for (let i = 0; i < count; i += 1) {
    terms.forEach(([p, q], k) => {
      basis[i * n + k] = (s[i * stride] as number) ** p * (t[i * stride] as number) ** q;
    });
  }
  const weights = new Float64Array(count).fill(1);
  const radii = new Float64Array(count);
  let cx = new Float64Array(n);
  let cy = new Float64Array(n);
  let scatter = 0;
  for (let round = 0; round < 4; round += 1) {
    const normal = new Float64Array(n * n);
    cx = new Float64Array(n);
    cy = new Float64Array(n);
    for (let i = 0; i < count; i += 1) {
      const w = weights[i] as number;
      const at = i * n;
      const xi = x[i * stride] as number;
      const yi = y[i * stride] as number;
      for (let j = 0; j < n; j += 1) {
        const wj = w * (basis[at + j] as number);
        cx[j] = (cx[j] as number) + wj * xi;
        cy[j] = (cy[j] as number) + wj * yi;
        for (let k = 0; k <= j; k += 1) {
          normal[j * n + k] = (normal[j * n + k] as number) + wj * (basis[at + k] as number);
        }
      }
    }
    solveTwo(normal, n, cx, cy);
    for (let i = 0; i < count; i += 1) {
      let dx = -(x[i * stride] as number);
      let dy = -(y[i * stride] as number);
      for (let k = 0; k < n; k += 1) {
        const f = basis[i * n + k] as number;
        dx += f * (cx[k] as number);
        dy += f * (cy[k] as number);
      }
      radii[i] = Math.sqrt(dx * dx + dy * dy);
    }
    scatter = median(radii) / MEDIAN_RADIUS;
    const limit = HUBER * Math.max(scatter, 1e-12) * Math.SQRT2;
    for (let i = 0; i < count; i += 1) weights[i] = Math.min(1, limit / Math.max(radii[i] as number, 1e-300));
  }
  return { scatter, evaluate: evaluator(terms, cx, cy) };
};

const evaluator = (
  terms: readonly (readonly [number, number])[],
  cx: Float64Array,
  cy: Float64Array,
): SurfaceFit['evaluate'] => {
  const degree = Math.max(...terms.map(([p, q]) => Math.max(p, q)));
  const pOf = Int32Array.from(terms, ([p]) => p);
  const qOf = Int32Array.from(terms, ([, q]) => q);
  // Shifted by one, so that the power below the zeroth reads 0 and slopes need no special case.
  const sPowers = new Float64Array(degree + 2);
  const tPowers = new Float64Array(degree + 2);
  sPowers[1] = 1;
  tPowers[1] = 1;
  return (s, t, out) => {
    for (let p = 2; p <= degree + 1; p += 1) {
      sPowers[p] = (sPowers[p - 1] as number) * s;
      tPowers[p] = (tPowers[p - 1] as number) * t;
    }
    let x = 0;
    let y = 0;
    let xs = 0;
    let ys = 0;
    let xt = 0;
    let yt = 0;
    for (let k = 0; k < pOf.length; k += 1) {
      const p = pOf[k] as number;
      const q = qOf[k] as number;
      const a = cx[k] as number;
      const b = cy[k] as number;
      const sp = sPowers[p + 1] as number;
      const tq = tPowers[q + 1] as number;
      const fs = p * (sPowers[p] as number) * tq;
      const ft = q * sp * (tPowers[q] as number);
      x += a * sp * tq;
      y += b * sp * tq;
      xs += a * fs;
      ys += b * fs;
      xt += a * ft;
      yt += b * ft;
    }
    out[0] = x;
    out[1] = y;
    out[2] = xs;
    out[3] = ys;
    out[4] = xt;
    out[5] = yt;
  };
};
