import type { Homography } from '../../src/domain/plane';
import { invertHomography } from '../../src/domain/plane';
import { jacobianAt, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { bowed, type LensBow } from '../../src/domain/planeFitLens';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { Polarity } from './ridges';

/** One numbered line of a grid as it was measured in the picture. */
export interface MeasuredLine {
  readonly axis: 0 | 1;
  readonly index: number;
  /** Places on the line's centre, px of the picture. */
  readonly places: readonly { readonly x: number; readonly y: number }[];
  /** Share of the places looked at that carry the line. */
  readonly seenShare: number;
  /** Median light taken away or added over the line's cross-section, as a share of the ground's, px. */
  readonly weightPx: number;
  /** Median width, px. */
  readonly widthPx: number;
}

interface Profile {
  readonly x: number;
  readonly y: number;
  /** How far off the predicted line the centre lies, px along the normal; NaN where no line was seen. */
  readonly off: number;
  readonly weightPx: number;
  readonly widthPx: number;
}

/** The part of line `axis = index` that lies inside the picture, as two end points in px; null when it misses it. */
export const lineInside = (
  toPicture: Homography,
  axis: 0 | 1,
  index: number,
  span: readonly [number, number],
  widthPx: number,
  heightPx: number,
): [number, number, number, number] | null => {
  const at = (t: number): [number, number] =>
    axis === 0 ? mapPoint(toPicture, index, t) : mapPoint(toPicture, t, index);
  const [ax, ay] = at(span[0]);
  const [bx, by] = at(span[1]);
  const dx = bx - ax;
  const dy = by - ay;
  let from = Number.NEGATIVE_INFINITY;
  let to = Number.POSITIVE_INFINITY;
  for (const [p, d, size] of [
    [ax, dx, widthPx],
    [ay, dy, heightPx],
  ] as const) {
    if (Math.abs(d) < 1e-9) {
      if (p < 0 || p > size) return null;
      continue;
    }
    const t0 = (0 - p) / d;
    const t1 = (size - p) / d;
    from = Math.max(from, Math.min(t0, t1));
    to = Math.min(to, Math.max(t0, t1));
  }
  return from < to ? [ax + from * dx, ay + from * dy, ax + to * dx, ay + to * dy] : null;
};

const reach = 20;
const profile = new Float64Array(2 * reach * 2 + 1);

/** Looks across a line at one place: where its centre is within `search` px, how wide and how strong. */
const lookAcross = (
  image: GreyImage,
  x: number,
  y: number,
  nx: number,
  ny: number,
  along: number,
  search: number,
  halfWidth: number,
  sign: number,
): Profile => {
  const none = { x, y, off: Number.NaN, weightPx: 0, widthPx: 0 };
  const half = Math.ceil(search + halfWidth + 3);
  const n = Math.min(2 * half, 2 * reach);
  const step = 0.5;
  // Three profiles side by side are averaged against noise.
  for (let i = -n; i <= n; i++) {
    const t = i * step;
    let sum = 0;
    for (let k = -1; k <= 1; k++)
      sum += sampleAt(image, x + t * nx - k * along * ny, y + t * ny + k * along * nx);
    if (Number.isNaN(sum)) return none;
    profile[i + n] = (sign * sum) / 3;
  }
  const limit = Math.min(n - 2, Math.round(search / step));
  let peak = 0;
  let best = Number.NEGATIVE_INFINITY;
  for (let i = -limit; i <= limit; i++) {
    const p = i + n;
    const v = (profile[p - 1] as number) + 2 * (profile[p] as number) + (profile[p + 1] as number);
    if (v > best) {
      best = v;
      peak = p;
    }
  }
  const top = best / 4;
  const reachOut = Math.round((halfWidth + 1.5) / step);
  const lowest = (from: number, to: number): number => {
    let low = Number.POSITIVE_INFINITY;
    for (let p = Math.max(0, from); p <= Math.min(2 * n, to); p++) low = Math.min(low, profile[p] as number);
    return low;
  };
  const left = lowest(peak - reachOut, peak - 1);
  const right = lowest(peak + 1, peak + reachOut);
  const ground = Math.max(left, right);
  const contrast = top - ground;
  if (!(contrast > 1.2) || Math.abs(left - right) > 1.5 * contrast) return none;
  // Centre of the part above half of the line's height.
  let area = 0;
  let moment = 0;
  const cut = ground + 0.25 * contrast;
  for (const direction of [-1, 1]) {
    for (let p = direction < 0 ? peak - 1 : peak; p >= 0 && p <= 2 * n; p += direction) {
      const v = (profile[p] as number) - cut;
      if (v <= 0) break;
      area += v;
      moment += v * (p - n);
    }
  }
  if (!(area > 0)) return none;
  const brightness = Math.max(20, Math.abs(ground));
  return {
    x,
    y,
    off: (moment / area) * step,
    weightPx: (area * step) / brightness,
    widthPx: (area * step) / (0.75 * contrast),
  };
};

const median = (values: number[]): number => {
  values.sort((a, b) => a - b);
  return values.length === 0 ? Number.NaN : (values[values.length >> 1] ?? Number.NaN);
};

/** Keeps the places that agree with their neighbours along the line: fabric and clutter jump about, a line does not. */
const steady = (profiles: readonly Profile[]): Profile[] =>
  profiles.filter((p, i) => {
    if (Number.isNaN(p.off)) return false;
    let agree = 0;
    for (const k of [-3, -2, -1, 1, 2, 3]) {
      const other = profiles[i + k];
      if (other !== undefined && Math.abs(other.off - p.off) < 0.45) agree++;
    }
    return agree >= 4;
  });

export interface MeasureOptions {
  readonly polarity: Polarity;
  /** How far to either side of the predicted line its centre is looked for, px. */
  readonly searchPx: number;
  /** Distance between places along a line, px. */
  readonly stepPx: number;
  /** How the lens bows straight lines. */
  readonly lens: LensBow;
  /** Half of the widest line that is expected, px. */
  readonly halfWidthPx: number;
}

/** Range of u and v that the picture covers. */
export const latticeSpan = (
  toLattice: Homography,
  widthPx: number,
  heightPx: number,
): [[number, number], [number, number]] => {
  const corners = [
    [0, 0],
    [widthPx, 0],
    [widthPx, heightPx],
    [0, heightPx],
  ].map(([x = 0, y = 0]) => mapPoint(toLattice, x, y));
  const range = (axis: 0 | 1): [number, number] => [
    Math.min(...corners.map((c) => c[axis])),
    Math.max(...corners.map((c) => c[axis])),
  ];
  return [range(0), range(1)];
};

/**
 * Measures every line of a predicted grid at many places: the centre of its cross-section, sub-pixel, its width and its weight. Places near a
 * crossing line and places that do not agree with their neighbours are left out. A line that was nowhere seen has no places.
 * @param toLattice straightened picture px → (u, v), whole numbers on the lines.
 */
export const measureLines = (
  image: GreyImage,
  toLattice: Homography,
  options: MeasureOptions,
): MeasuredLine[] => {
  const { widthPx, heightPx } = image;
  const toPicture = invertHomography(toLattice);
  const spans = latticeSpan(toLattice, widthPx, heightPx);
  const sign = options.polarity === 'light' ? 1 : -1;
  const out: MeasuredLine[] = [];
  for (const axis of [0, 1] as const) {
    const [low, high] = spans[axis];
    if (!(high - low < 600)) return [];
    for (let index = Math.ceil(low); index <= high; index++) {
      const ends = lineInside(toPicture, axis, index, spans[axis === 0 ? 1 : 0], widthPx, heightPx);
      if (ends === null) continue;
      const line = measureLine(image, toLattice, axis, index, ends, options, sign);
      if (line !== null) out.push(line);
    }
  }
  return out;
};

const measureLine = (
  image: GreyImage,
  toLattice: Homography,
  axis: 0 | 1,
  index: number,
  ends: readonly [number, number, number, number],
  options: MeasureOptions,
  sign: number,
): MeasuredLine | null => {
  const [ax, ay, bx, by] = ends;
  const length = Math.hypot(bx - ax, by - ay);
  if (length < 12 * options.stepPx) return null;
  const dx = (bx - ax) / length;
  const dy = (by - ay) / length;
  const clear = options.halfWidthPx + 2.5;
  const profiles: Profile[] = [];
  for (let t = options.stepPx; t < length; t += options.stepPx) {
    const x = ax + t * dx;
    const y = ay + t * dy;
    const [ux, uy, vx, vy] = jacobianAt(toLattice, x, y);
    const uv = mapPoint(toLattice, x, y);
    const other = uv[axis === 0 ? 1 : 0];
    const perPx = axis === 0 ? Math.abs(vx * dx + vy * dy) : Math.abs(ux * dx + uy * dy);
    const toCrossing = Math.abs(other - Math.round(other)) / perPx;
    // On a very dense grid there would be nothing left between the crossings.
    if (toCrossing < Math.min(clear, 0.2 / perPx)) continue;
    const spacing = 1 / Math.abs(axis === 0 ? -ux * dy + uy * dx : -vx * dy + vy * dx);
    const search = Math.min(options.searchPx, 0.3 * spacing);
    const halfWidth = Math.min(options.halfWidthPx, Math.max(3.5, 0.1 * spacing), 0.35 * spacing);
    const [px, py] = bowed(options.lens, x, y);
    profiles.push(lookAcross(image, px, py, -dy, dx, options.stepPx / 3, search, halfWidth, sign));
  }
  const kept = steady(profiles);
  if (kept.length < 5) return { axis, index, places: [], seenShare: 0, weightPx: 0, widthPx: 0 };
  return {
    axis,
    index,
    places: kept.map((p) => ({ x: p.x - p.off * dy, y: p.y + p.off * dx })),
    seenShare: kept.length / profiles.length,
    weightPx: median(kept.map((p) => p.weightPx)),
    widthPx: median(kept.map((p) => p.widthPx)),
  };
};

/** The measured places as sightings for the plane fit. */
export const sightingsFrom = (lines: readonly MeasuredLine[]): LineSighting[] =>
  lines.flatMap((line) =>
    line.places.map(({ x, y }) => ({
      x,
      y,
      axis: line.axis,
      index: line.index,
      group: 2 * line.index + line.axis,
    })),
  );
