import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { Corner } from './quads';

/** Light that a pixel value stands for, 0 to 255, up to just beyond it (IEC 61966-2-1, sRGB). */
const lightOf = (value: number): number => {
  const v = value / 255;
  return 255 * (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
};

const fine = 0.25;
/** How far to both sides of an edge its profile is looked at, px. */
const reachPx = 3;
/** An edge's steepest place is looked for so near to where it was measured, px. */
const nearPx = 1.2;
/** Light moves an edge no further than this, px: half of a strong blur. */
const mostPx = 0.7;

/** Where the profile is steepest near its middle, px from the middle; NaN where nothing stands out. */
const steepest = (profile: readonly number[]): number => {
  const slope = profile.slice(2).map((v, i) => Math.abs(v - (profile[i] ?? v)));
  const middle = (slope.length - 1) / 2;
  let best = -1;
  for (let i = 1; i < slope.length - 1; i++) {
    const v = slope[i] ?? 0;
    if (Math.abs(i - middle) * fine > nearPx || v < (slope[i - 1] ?? 0) || v < (slope[i + 1] ?? 0)) continue;
    if (best < 0 || v > (slope[best] ?? 0)) best = i;
  }
  if (best < 0) return Number.NaN;
  const [a, b, c] = [slope[best - 1] ?? 0, slope[best] ?? 0, slope[best + 1] ?? 0];
  const bend = a - 2 * b + c;
  return (best - middle + (bend < 0 ? (a - c) / (2 * bend) : 0)) * fine;
};

/**
 * How far along `normal` the edge of the light lies from the edge of the pixel values, px. A lens blurs light, and pixel values are bent: their steepest place
 * lies on the dark side of the true edge, by about a third of the blur where bright meets dark.
 * @param image lightness in pixel values.
 * @param places on the edge.
 */
export const lightShift = (
  image: GreyImage,
  places: readonly Corner[],
  [nx, ny]: readonly [number, number],
): number => {
  const count = (2 * reachPx) / fine + 1;
  const values = new Array<number>(count).fill(0);
  const every = Math.max(1, Math.floor(places.length / 80));
  let used = 0;
  for (let k = 0; k < places.length; k += every) {
    const { x, y } = places[k] as Corner;
    const row = values.map((_, i) =>
      sampleAt(image, x + (i * fine - reachPx) * nx, y + (i * fine - reachPx) * ny),
    );
    if (row.some(Number.isNaN)) continue;
    row.forEach((v, i) => {
      values[i] = (values[i] ?? 0) + v;
    });
    used++;
  }
  if (used === 0) return 0;
  const mean = values.map((v) => v / used);
  const shift = steepest(mean.map(lightOf)) - steepest(mean);
  return Number.isNaN(shift) ? 0 : Math.max(-mostPx, Math.min(mostPx, shift));
};
