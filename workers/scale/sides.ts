import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { fitStraightLine } from '../../src/domain/regression';
import { median } from '../../src/domain/statistics';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { Corner } from './quads';

/** Places on one straight side of an outline, px, and how well they lie on a line. */
export interface MeasuredSide {
  readonly places: readonly Corner[];
  /** Share of the places looked at that show the side's edge. */
  readonly seenShare: number;
  /** Height of the step in grey levels, with the sign of inside minus outside. */
  readonly step: number;
  /** Standard uncertainty of where the whole side lies, square to it, px, beside what its single places show. */
  readonly openPx: number;
  /** Pixel values, red, green and blue, of face and ground beside the side; left out where only its edge was looked at. */
  readonly colours?: { readonly face: readonly number[]; readonly ground: readonly number[] };
}

/** A side with all its places moved so far along a unit vector, px. */
export const movedSide = (
  side: MeasuredSide,
  [nx, ny]: readonly [number, number],
  px: number,
): MeasuredSide => ({ ...side, places: side.places.map(({ x, y }) => ({ x: x + px * nx, y: y + px * ny })) });

interface SideSearch {
  readonly searchPx: number;
  /** Share of the side left out at both ends (rounded corners). */
  readonly leaveOut: number;
  /**
   * How far inside the strongest edge a second one may be the true one, px: the foot of a thick card shows beside its face on sides that face the
   * photo's middle.
   */
  readonly footPx: number;
}

const spacingPx = 3;
const fine = 0.5;

/** Slope of lightness across the side at one place, from inside to outside, every half px. */
const slopes = (
  image: GreyImage,
  x: number,
  y: number,
  nx: number,
  ny: number,
  half: number,
): Float64Array => {
  const n = Math.round(half / fine);
  const values = new Float64Array(2 * n + 3);
  for (let i = -n - 1; i <= n + 1; i++) {
    const t = i * fine;
    let sum = 0;
    for (let k = -1; k <= 1; k++) sum += sampleAt(image, x + t * nx - k * ny, y + t * ny + k * nx);
    values[i + n + 1] = sum / 3;
  }
  const out = new Float64Array(2 * n + 1);
  for (let i = 0; i < out.length; i++) out[i] = (values[i + 2] as number) - (values[i] as number);
  return out;
};

const peakNear = (slope: Float64Array, centre: number, reach: number, sign: number): number => {
  let best = -1;
  let top = 0;
  const from = Math.max(1, Math.round(centre - reach));
  const to = Math.min(slope.length - 2, Math.round(centre + reach));
  for (let i = from; i <= to; i++) {
    const v = sign * (slope[i] as number);
    if (v > top && v >= sign * (slope[i - 1] as number) && v >= sign * (slope[i + 1] as number)) {
      top = v;
      best = i;
    }
  }
  if (best < 0) return Number.NaN;
  const [a, b, c] = [slope[best - 1] as number, slope[best] as number, slope[best + 1] as number];
  const bend = a - 2 * b + c;
  return bend === 0 ? best : best + Math.max(-0.5, Math.min(0.5, (a - c) / (2 * bend)));
};

/** A side is measured in no fewer places than this. */
const leastPlaces = 6;

/** Straight line off = a + b t through most of the points: least squares repeated without the points that lie off. */
export const robustLine = (t: readonly number[], off: readonly number[]): { a: number; b: number } | null => {
  let use = off.flatMap((v, i) => (Number.isNaN(v) ? [] : [{ t: t[i] ?? 0, off: v }]));
  if (use.length < leastPlaces) return null;
  let line = { a: median(use.map((p) => p.off)), b: 0 };
  for (const limit of [6, 4, 2.5, 2, 2]) {
    use = use.filter((p) => Math.abs(p.off - line.a - line.b * p.t) < limit);
    if (use.length < 4) break;
    const { coefficients } = fitStraightLine(
      use.map((p) => p.t),
      use.map((p) => p.off),
    );
    line = { a: coefficients[0] ?? 0, b: coefficients[1] ?? 0 };
  }
  return line;
};

/**
 * Measures one side of an outline, from corner `a` to corner `b` with the inside on the given side: strongest edge first, then the edge of
 * the face where a card's foot shows beside it.
 */
const measureSideIn = (
  image: GreyImage,
  a: Corner,
  b: Corner,
  inside: Corner,
  options: SideSearch,
): MeasuredSide | null => {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const dx = (b.x - a.x) / length;
  const dy = (b.y - a.y) / length;
  const outward = (inside.x - a.x) * -dy + (inside.y - a.y) * dx > 0 ? -1 : 1;
  const nx = -dy * outward;
  const ny = dx * outward;
  const half = options.searchPx + options.footPx + 3;
  const middle = Math.round(half / fine);
  const ts: number[] = [];
  const rows: Float64Array[] = [];
  for (let t = options.leaveOut * length; t <= (1 - options.leaveOut) * length; t += spacingPx) {
    ts.push(t);
    rows.push(slopes(image, a.x + t * dx, a.y + t * dy, nx, ny, half));
  }
  if (rows.length < 8) return null;
  const sign = signOf(rows, middle, options.searchPx / fine);
  const first = rows.map((r) => peakNear(r, middle, options.searchPx / fine, sign));
  const line = robustLine(ts, first);
  if (line === null) return null;
  const turned = turnedRows(rows, ts, line, sign);
  const usual = rows.filter((_, i) => !turned[i]);
  const usualTs = ts.filter((_, i) => !turned[i]);
  // An edge that only some of the places show is no edge of a side.
  const face =
    options.footPx > 0 ? faceEdge(usual, usualTs, line, options.footPx / fine) : { shift: 0, sign };
  const { shift } = face;
  const places: Corner[] = [];
  ts.forEach((t, i) => {
    const row = rows[i];
    if (row === undefined) return;
    const centre = line.a + line.b * t + shift;
    const peak = peakNear(row, centre, 3, turned[i] ? -face.sign : face.sign);
    if (Number.isNaN(peak) || Math.abs(peak - centre) > 2) return;
    const off = (peak - middle) * fine;
    places.push({ x: a.x + t * dx + off * nx, y: a.y + t * dy + off * ny });
  });
  if (places.length < leastPlaces) return null;
  const meanStep = usual.reduce((s, r, i) => {
    const at = Math.round(line.a + line.b * (usualTs[i] ?? 0) + shift);
    return s + (r[at] ?? 0);
  }, 0);
  return { places, seenShare: places.length / ts.length, step: -meanStep / usual.length, openPx: 0 };
};

/** Share of a side that must show an edge before it counts beside a stronger one. */
const wholeSide = 0.85;

/**
 * {@link measureSideIn} in each of several pictures, the likeliest first: the first picture is preferred where it is nearly as good, since JPEG keeps
 * colour at half the resolution. A second one follows where another picture shows a clear edge further inside: the foot of a thick card and its
 * shadow lie outside its face, and one picture may show only them.
 */
export const sideChoices = (
  images: readonly GreyImage[],
  a: Corner,
  b: Corner,
  inside: Corner,
  options: SideSearch,
): MeasuredSide[] => {
  const found = images.flatMap((image, k) => {
    // Where the first picture was led to the foot, the face's edge lies deeper than the search around it.
    const searchPx = options.searchPx + (k === 0 ? 0 : options.footPx);
    const side = measureSideIn(image, a, b, inside, { ...options, searchPx });
    if (side === null) return [];
    const worth = side.seenShare ** 2 * Math.min(12, Math.abs(side.step)) * (k === 0 ? 1.4 : 1);
    return [{ side, worth, depth: depthOf(side, a, b, inside) }];
  });
  const [best, ...others] = found.sort((x, y) => y.worth - x.worth);
  if (best === undefined) return [];
  const deeper = others.filter(
    (f) => f.side.seenShare > wholeSide && f.depth > best.depth + 1 && f.depth < best.depth + options.footPx,
  );
  return [best.side, ...deeper.map((f) => f.side)];
};

/** The likeliest of {@link sideChoices}; null when no picture shows the side. */
export const measureSide = (
  images: readonly GreyImage[],
  a: Corner,
  b: Corner,
  inside: Corner,
  options: SideSearch,
): MeasuredSide | null => sideChoices(images, a, b, inside, options)[0] ?? null;

/** How far, in the middle, the places of a side lie inside the line from `a` to `b`, px. */
const depthOf = (side: MeasuredSide, a: Corner, b: Corner, inside: Corner): number => {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const off = (p: Corner): number => ((p.x - a.x) * -(b.y - a.y) + (p.y - a.y) * (b.x - a.x)) / length;
  return Math.sign(off(inside)) * median(side.places.map(off));
};

/** A side is judged in so many parts of its length: what is printed on a card may end at its side, and step the other way there. */
const parts = 12;

/** Which part of a side each of its places belongs to. */
const partOf = (i: number, count: number): number => Math.min(parts - 1, Math.floor((parts * i) / count));

/** Sum of the slopes across each part of a side, read along places `at`(i) ± reach. */
const partProfiles = (
  rows: readonly Float64Array[],
  at: (i: number) => number,
  reach: number,
): Float64Array[] => {
  const n = Math.ceil(reach);
  const profiles = Array.from({ length: parts }, () => new Float64Array(2 * n + 1));
  rows.forEach((row, i) => {
    const profile = profiles[partOf(i, rows.length)];
    if (profile === undefined) return;
    const from = Math.round(at(i)) - n;
    for (let k = 0; k < profile.length; k++) profile[k] = (profile[k] as number) + (row[from + k] ?? 0);
  });
  return profiles;
};

/** Greatest steps up and down in a profile, both positive. */
const stepsIn = (profile: Float64Array): { readonly up: number; readonly down: number } => ({
  up: Math.max(0, ...profile),
  down: Math.max(0, ...profile.map((v) => -v)),
});

/** Whether most of a side steps up (1) or down (−1) from inside to outside: each part counts by how clearly it does, not by how strongly. */
const signOf = (rows: readonly Float64Array[], middle: number, reach: number): 1 | -1 => {
  const votes = partProfiles(rows, () => middle, reach).map((profile) => {
    const { up, down } = stepsIn(profile);
    return up + down > 0 ? (up - down) / (up + down) : 0;
  });
  return votes.reduce((sum, vote) => sum + vote, 0) > 0 ? 1 : -1;
};

/** A part of a side steps the other way where that step is so many times as strong as the usual one, this near to the side, half px. */
const turnedTimes = 2;
const turnedReach = 3;

/** Which places lie in parts that step the other way than the side does. */
const turnedRows = (
  rows: readonly Float64Array[],
  ts: readonly number[],
  line: { a: number; b: number },
  sign: 1 | -1,
): boolean[] => {
  const isTurned = partProfiles(rows, (i) => line.a + line.b * (ts[i] ?? 0), turnedReach).map((profile) => {
    const { up, down } = stepsIn(profile);
    return sign > 0 ? down > turnedTimes * up : up > turnedTimes * down;
  });
  return rows.map((_, i) => isTurned[partOf(i, rows.length)] ?? false);
};

/**
 * Offset (negative: inward, in half px) from the strongest edge to the innermost clear edge within `reach`, from the mean profile along the side, and
 * whether lightness steps up (1) or down (−1) there on the way out.
 */
const faceEdge = (
  rows: readonly Float64Array[],
  ts: readonly number[],
  line: { a: number; b: number },
  reach: number,
): { shift: number; sign: number } => {
  const n = Math.ceil(reach) + 2;
  const mean = new Float64Array(n + 2);
  rows.forEach((row, i) => {
    const centre = line.a + line.b * (ts[i] ?? 0);
    for (let k = 0; k < mean.length; k++) {
      const at = centre - k;
      const j = Math.floor(at);
      if (j < 0 || j + 1 >= row.length) continue;
      mean[k] = (mean[k] as number) + (row[j] as number) * (1 - at + j) + (row[j + 1] as number) * (at - j);
    }
  });
  const top = Math.abs(mean[0] as number);
  let shift = 0;
  for (let k = 3; k <= n; k++) {
    const v = Math.abs(mean[k] as number);
    const isPeak = v >= Math.abs(mean[k - 1] as number) && v > Math.abs(mean[k + 1] as number);
    if (v > 0.35 * top && isPeak) shift = -k;
  }
  return { shift, sign: Math.sign(mean[-shift] as number) };
};

/** A side's places as sightings of line `axis = index` for the plane fit. */
export const sideSightings = (
  side: MeasuredSide,
  axis: 0 | 1,
  index: number,
  group: number,
): LineSighting[] => side.places.map(({ x, y }) => ({ x, y, axis, index, group }));
