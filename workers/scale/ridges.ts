import type { GreyImage } from '../image';
import { blurred } from './pictures';

/** Whether a line is lighter or darker than the ground on both its sides. */
export type Polarity = 'light' | 'dark';

/**
 * Points on the crests of thin lines, one at most a pixel: `strength` is 0 where there is none, otherwise the
 * curvature across the line (grey levels per px²); `x`, `y` the crest's place inside the picture (continuous px);
 * `angle` the line's own direction in [0, π).
 */
export interface RidgeMap {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly strength: Float32Array;
  readonly x: Float32Array;
  readonly y: Float32Array;
  readonly angle: Float32Array;
}

/**
 * Finds the crests of light and of dark lines. A pixel is a crest where the slope across the line vanishes inside it, which
 * plain steps of brightness (the edge of a swatch, a shadow) never do.
 * Source: C. Steger, "An unbiased detector of curvilinear structures", IEEE PAMI 20 (1998) 113–125, section 2.
 * @param sigmaPx blur before differentiating; lines up to about 3.5 sigma wide are found.
 * @param threshold least curvature that counts, grey levels per px².
 */
export const findRidges = (
  image: GreyImage,
  sigmaPx: number,
  threshold: number,
): Readonly<Record<Polarity, RidgeMap>> => {
  const { widthPx: w, heightPx: h, data: s } = blurred(image, sigmaPx);
  const empty = (): RidgeMap => ({
    widthPx: w,
    heightPx: h,
    strength: new Float32Array(w * h),
    x: new Float32Array(w * h),
    y: new Float32Array(w * h),
    angle: new Float32Array(w * h),
  });
  const found = { light: empty(), dark: empty() };
  for (let row = 1; row < h - 1; row++) {
    for (let column = 1; column < w - 1; column++) {
      const i = row * w + column;
      const c = s[i] as number;
      const left = s[i - 1] as number;
      const right = s[i + 1] as number;
      const up = s[i - w] as number;
      const down = s[i + w] as number;
      const xx = left + right - 2 * c;
      const yy = up + down - 2 * c;
      const xy =
        ((s[i + w + 1] as number) +
          (s[i - w - 1] as number) -
          (s[i + w - 1] as number) -
          (s[i - w + 1] as number)) /
        4;
      const half = (xx - yy) / 2;
      const root = Math.sqrt(half * half + xy * xy);
      const mean = (xx + yy) / 2;
      const lambda = mean > 0 ? mean + root : mean - root;
      if (Math.abs(lambda) < threshold) continue;
      const other = mean > 0 ? mean - root : mean + root;
      // A blob curves both ways; a line only across.
      if (Math.abs(other) > 0.8 * Math.abs(lambda)) continue;
      // Eigenvector of lambda, the direction across the line, by halving the angle whose cosine is half / root: far quicker than by the angle itself.
      const cosine = half / root;
      const large = Math.sqrt((1 + Math.abs(cosine)) / 2);
      const small = xy / root / (2 * large);
      const px = cosine >= 0 ? large : small;
      const py = cosine >= 0 ? small : large;
      const nx = mean > 0 ? px : -py;
      const ny = mean > 0 ? py : px;
      const slope = ((right - left) * nx + (down - up) * ny) / 2;
      const t = -slope / lambda;
      const dx = t * nx;
      const dy = t * ny;
      if (Math.abs(dx) > 0.6 || Math.abs(dy) > 0.6) continue;
      const map = lambda < 0 ? found.light : found.dark;
      map.strength[i] = Math.abs(lambda);
      map.x[i] = column + 0.5 + dx;
      map.y[i] = row + 0.5 + dy;
      const along = Math.atan2(nx, -ny);
      map.angle[i] = along - Math.PI * Math.floor(along / Math.PI);
    }
  }
  return found;
};
