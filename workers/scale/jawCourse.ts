import { median } from '../../src/domain/statistics';
import type { RgbaImage } from '../image';
import { changeAt, type JawView, lookAcross, perPx } from './jawProfile';

/** How a jaw's edge runs over all of its length that shows. */
export interface JawCourse {
  /** Slope against the direction that it was looked at along, px across for every px along. */
  readonly slope: number;
  /** Standard uncertainty of that direction, rad. */
  readonly turnRad: number;
  /** Where the edge is seen to begin and end, px along from the tap. */
  readonly from: number;
  readonly to: number;
}

/** A jaw is followed so far to both sides of the tap, px. */
const farthestPx = 280;
/** What is looked at about the edge: face, wall and a little of the ground, px. */
const looked = { out: 5, inward: 9 };
/** Slopes that are tried at first, to both sides, and how finely. */
const slopes = { most: 0.07, step: 0.002 };
/** A strip shows the edge if its changes of colour are like those of the others by so much (cosine). */
const leastAlike = 0.6;
/** A strip is looked for within so many px of where the others put it. */
const nearPx = 1.5;
/** So many strips in sequence without the edge are its end. */
const mostMissing = 5;
/** Strips side by side share what they see; so many of them count as one. */
const sharedBy = 3;
/** A straight edge is seen through a lens that bows, by places that are read in steps of half a px: no direction is surer than this, rad. */
const leastTurnRad = 0.0004;
const strayPx = 0.8;

interface Strip {
  readonly t: number;
  /** Changes of colour, red, green and blue in turn, over the whole width that is looked at. */
  readonly changes: Float64Array;
}

const stripsOf = (view: JawView): Strip[] =>
  view.strips.map((strip, k) => {
    const changes = new Float64Array(3 * view.samples);
    for (let i = perPx; i + perPx < view.samples; i++) changes.set(changeAt(strip, i), 3 * i);
    return { t: view.stripsAt[k] ?? 0, changes };
  });

/** Changes between two samples, moved by a part of a sample. */
const windowOf = ({ changes }: Strip, first: number, count: number, out: Float64Array): number => {
  const base = Math.floor(first);
  const share = first - base;
  let squares = 0;
  for (let j = 0; j < 3 * count; j++) {
    const i = 3 * base + j;
    const value = (changes[i] ?? 0) * (1 - share) + (changes[i + 3] ?? 0) * share;
    out[j] = value;
    squares += value * value;
  }
  return Math.sqrt(squares);
};

/** Strips laid over each other along one slope, each counted alike however strongly it shows the edge; and how well they agree. */
const laidOver = (
  strips: readonly Strip[],
  middle: number,
  slope: number,
): { mean: Float64Array; agreement: number } => {
  const count = (looked.out + looked.inward) * perPx;
  const mean = new Float64Array(3 * count);
  const own = new Float64Array(3 * count);
  for (const strip of strips) {
    const size = windowOf(strip, middle + (slope * strip.t - looked.out) * perPx, count, own);
    if (size < 1) continue;
    for (let j = 0; j < own.length; j++)
      mean[j] = (mean[j] as number) + (own[j] as number) / size / strips.length;
  }
  return { mean, agreement: mean.reduce((sum, v) => sum + v * v, 0) };
};

/** Where one strip shows what the others show, px off the place where it is expected; null where it does not. */
const placeIn = (strip: Strip, expected: number, mean: Float64Array): number | null => {
  const count = mean.length / 3;
  const own = new Float64Array(mean.length);
  const norm = Math.sqrt(mean.reduce((sum, v) => sum + v * v, 0));
  const alike = (off: number): number => {
    const size = windowOf(strip, expected + (off - looked.out) * perPx, count, own);
    if (size < 1) return 0;
    let product = 0;
    for (let j = 0; j < own.length; j++) product += (own[j] as number) * (mean[j] as number);
    return product / (size * norm);
  };
  const step = 1 / perPx;
  let [best, most] = [0, -1];
  for (let off = -nearPx; off <= nearPx; off += step) {
    const value = alike(off);
    if (value > most) [best, most] = [off, value];
  }
  if (most < leastAlike || Math.abs(best) >= nearPx) return null;
  const [p, r] = [alike(best - step), alike(best + step)];
  const bend = p - 2 * most + r;
  return bend < 0 ? best + (step * (p - r)) / (2 * bend) : best;
};

interface Place {
  readonly t: number;
  readonly at: number;
}

const meanOf = (values: readonly number[]): number => values.reduce((s, v) => s + v / values.length, 0);

const lineThrough = (places: readonly Place[]): { at: number; slope: number; spread: number } => {
  const t = meanOf(places.map((p) => p.t));
  const at = meanOf(places.map((p) => p.at));
  const square = places.reduce((s, p) => s + (p.t - t) ** 2, 0);
  const slope = square > 0 ? places.reduce((s, p) => s + (p.t - t) * (p.at - at), 0) / square : 0;
  return { at: at - slope * t, slope, spread: Math.sqrt(square) };
};

/** The same without places that lie off it. */
const straight = (places: readonly Place[]): { kept: readonly Place[]; slope: number; spread: number } => {
  const steps = places.flatMap((p, i) => places.slice(0, i).map((q) => (p.at - q.at) / (p.t - q.t)));
  const slope = steps.length === 0 ? 0 : median(steps);
  const at = median(places.map((p) => p.at - slope * p.t));
  const kept = places.filter((p) => Math.abs(p.at - at - slope * p.t) < strayPx);
  return { kept, ...lineThrough(kept) };
};

/** Follows an edge from its core outwards to one side, strip by strip. */
const followed = (
  core: readonly Place[],
  beyond: readonly Strip[],
  middle: number,
  mean: Float64Array,
): Place[] => {
  const found: Place[] = [];
  let missing = 0;
  for (const strip of beyond) {
    const { at, slope } = lineThrough([...core, ...found]);
    const expected = at + slope * strip.t;
    const off = placeIn(strip, middle + expected * perPx, mean);
    missing = off === null ? missing + 1 : 0;
    if (missing >= mostMissing) break;
    if (off !== null) found.push({ t: strip.t, at: expected + off });
  }
  return found;
};

/**
 * Follows a jaw's edge along all of the jaw that shows, by what it looks like about the tap: face, wall and ground together, so that a shadow across it or a foot that
 * stands out more than the face turns nothing. Null where too little of it agrees.
 * @param edgeAt where the edge lies, px across from the view's tap.
 * @param halfPx how far to both sides of the tap the edge is known to run.
 */
export const courseOf = (
  image: RgbaImage,
  view: JawView,
  edgeAt: number,
  halfPx: number,
): JawCourse | null => {
  const reach = looked.inward + slopes.most * farthestPx;
  const long = lookLong(image, view, edgeAt, reach);
  if (long === null) return null;
  const strips = stripsOf(long);
  const middle = (edgeAt - long.fromPx) * perPx;
  const core = strips.filter(({ t }) => Math.abs(t) <= halfPx);
  let best = { slope: 0, ...laidOver(core, middle, 0) };
  for (let slope = -slopes.most; slope <= slopes.most; slope += slopes.step) {
    const tried = laidOver(core, middle, slope);
    if (tried.agreement > best.agreement) best = { slope, ...tried };
  }
  const inCore = core.flatMap((strip): Place[] => {
    const expected = best.slope * strip.t;
    const off = placeIn(strip, middle + expected * perPx, best.mean);
    return off === null ? [] : [{ t: strip.t, at: expected + off }];
  });
  if (inCore.length < 3) return null;
  const sure = straight(inCore).kept;
  const places = [
    ...sure,
    ...followed(
      sure,
      strips.filter(({ t }) => t > halfPx),
      middle,
      best.mean,
    ),
    ...followed(sure, strips.filter(({ t }) => t < -halfPx).reverse(), middle, best.mean),
  ];
  const { kept, slope, spread } = straight(places);
  if (kept.length < 3) return null;
  const { at } = lineThrough(kept);
  const scatter = Math.sqrt(
    kept.reduce((s, p) => s + (p.at - at - slope * p.t) ** 2, 0) / Math.max(1, kept.length - 2),
  );
  return {
    slope,
    turnRad: Math.hypot((scatter * Math.sqrt(sharedBy)) / spread, leastTurnRad),
    from: Math.min(...kept.map(({ t }) => t)),
    to: Math.max(...kept.map(({ t }) => t)),
  };
};

/** As much of the jaw as the picture holds, in the direction that it was looked at along. */
const lookLong = (image: RgbaImage, { tap, across }: JawView, at: number, reach: number): JawView | null => {
  const other = { x: tap.x + across.x, y: tap.y + across.y };
  for (let halfPx = farthestPx; halfPx >= 20; halfPx *= 0.8) {
    const view = lookAcross(image, tap, other, 0, halfPx, [at - reach, at + reach]);
    if (view !== null) return view;
  }
  return null;
};
