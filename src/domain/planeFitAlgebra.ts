import type { Homography } from './plane';

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

export const determinant3 = (m: readonly number[]): number => {
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
export const conditioner = (points: readonly { x: number; y: number }[]): Homography => {
  const n = points.length;
  const cx = points.reduce((s, p) => s + p.x, 0) / n;
  const cy = points.reduce((s, p) => s + p.y, 0) / n;
  const spread = Math.sqrt(points.reduce((s, p) => s + (p.x - cx) ** 2 + (p.y - cy) ** 2, 0) / n) || 1;
  return [1 / spread, 0, -cx / spread, 0, 1 / spread, -cy / spread, 0, 0, 1];
};

/** Affine maps (a x + b) are undone entry by entry; only the form of {@link conditioner} is handled. */
export const unconditioner = (t: Homography): Homography => [
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
