import { seeded } from './random';

const SIZE = 256;
const MASK = SIZE - 1;

const table = ((): Float32Array => {
  const random = seeded(20240229);
  return Float32Array.from({ length: SIZE * SIZE }, () => random.next() * 2 - 1);
})();

/** Smooth noise in [−1, 1] with features about one unit wide; period 256 in both directions. */
export const noise2 = (x: number, y: number): number => {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const fx = x - x0;
  const fy = y - y0;
  const sx = fx * fx * (3 - 2 * fx);
  const sy = fy * fy * (3 - 2 * fy);
  const top = (y0 & MASK) * SIZE;
  const bottom = ((y0 + 1) & MASK) * SIZE;
  const left = x0 & MASK;
  const right = (x0 + 1) & MASK;
  const a = table[top + left] as number;
  const b = table[top + right] as number;
  const c = table[bottom + left] as number;
  const d = table[bottom + right] as number;
  const upper = a + (b - a) * sx;
  return upper + (c + (d - c) * sx - upper) * sy;
};

/** Two octaves of `noise2`, in about [−1, 1]. */
export const roughNoise2 = (x: number, y: number): number =>
  noise2(x, y) * 0.65 + noise2(x * 2.17 + 31.7, y * 2.17 + 11.3) * 0.35;

/** Hermite step from 0 at `from` to 1 at `to`. */
export const smoothStep = (from: number, to: number, value: number): number => {
  const t = Math.min(1, Math.max(0, (value - from) / (to - from)));
  return t * t * (3 - 2 * t);
};
