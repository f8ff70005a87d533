import type { GreyImage } from '../image';
import type { Vec } from './raster';
import { cellPx } from './rectify';
import { snap } from './template';

/** One stitch that was found: its whole-number place in the fabric and where it lies in the straightened picture. */
export interface Stitch extends Vec {
  readonly wale: number;
  readonly course: number;
  /** How well it looks like the others, −1 to 1. */
  readonly score: number;
}

/** The stitches found, by place. */
export interface Growth {
  readonly stitches: ReadonlyMap<number, Stitch>;
  /** Places where two stitches claim the same spot, in the straightened picture. */
  readonly clashes: readonly Vec[];
}

export interface GrowthRules {
  /** Least likeness of a stitch, −1 to 1. */
  readonly threshold: number;
  /** Whether a wale may be stepped over where none is found: a needle taken out leaves its place empty. */
  readonly jumps: boolean;
  /** Whether a place in the straightened picture may be fabric. */
  readonly allowed: (place: Vec) => boolean;
}

/** Share of a wale pitch searched either way beyond a needle gap: the gap closes up by a quarter of a pitch or so. */
const jumpShare = 0.45;

const span = 4096;
const half = span / 2;
/** One number for a (wale, course) place, both within ± 2047. */
export const placeKey = (wale: number, course: number): number => (wale + half) * span + course + half;

interface Waiting {
  readonly wale: number;
  readonly course: number;
  /** −1 or 1 where it was reached over an empty place to its right or left, else 0. */
  readonly jump: number;
  readonly score: number;
}

/**
 * Grows the stitch grid from its surest stitch outwards, always at the place that looks best: predicts each next stitch from its
 * accepted neighbours, snaps it to the response's peak within a quarter pitch and accepts it above the threshold, so that curl, bow and
 * uneven rows are followed.
 */
export const grow = (response: GreyImage, seed: Vec, { threshold, jumps, allowed }: GrowthRules): Growth => {
  const stitches = new Map<number, Stitch>();
  const taken = new Map<number, Stitch>();
  const clashes: Vec[] = [];
  const queue = new Heap();
  const consider = (wale: number, course: number, jump = 0): void => {
    if (stitches.has(placeKey(wale, course))) return;
    const guess = predict(stitches, wale, course) ?? seed;
    const { score } = snap(response, guess, jump === 0 ? undefined : jumpShare);
    // A jump waits until every plain step has been tried.
    if (score >= threshold || stitches.size === 0)
      queue.push({ wale, course, jump, score: jump === 0 ? score : score - 2 });
  };
  consider(0, 0);
  for (let next = queue.pop(); next !== null; next = queue.pop()) {
    const { wale, course, jump } = next;
    if (stitches.has(placeKey(wale, course))) continue;
    if (jump !== 0 && stitches.has(placeKey(wale - jump, course))) continue;
    const guess = predict(stitches, wale, course) ?? seed;
    const found = snap(response, guess, jump === 0 ? undefined : jumpShare);
    if ((found.score < threshold && stitches.size > 0) || !allowed(found)) continue;
    const stitch: Stitch = { ...found, wale, course };
    const spot = spotKey(stitch);
    const rival = neighbourSpots(spot)
      .map((key) => taken.get(key))
      .find((s) => s !== undefined && tooClose(s, stitch));
    if (rival !== undefined) {
      clashes.push(stitch);
      continue;
    }
    stitches.set(placeKey(wale, course), stitch);
    taken.set(spot, stitch);
    consider(wale - 1, course);
    consider(wale + 1, course);
    consider(wale, course - 1);
    consider(wale, course + 1);
    if (jumps) {
      consider(wale - 2, course, -1);
      consider(wale + 2, course, 1);
    }
  }
  return { stitches, clashes };
};

const spotKey = (p: Vec): number =>
  placeKey(Math.floor((2 * p.x) / cellPx.width), Math.floor((2 * p.y) / cellPx.height));
const neighbourSpots = (key: number): number[] =>
  [-1, 0, 1].flatMap((dx) => [-1, 0, 1].map((dy) => key + dx * span + dy));
const tooClose = (a: Vec, b: Vec): boolean =>
  Math.hypot((a.x - b.x) / cellPx.width, (a.y - b.y) / cellPx.height) < 0.5;

/** Farthest neighbour, in stitches, that a prediction listens to. */
const reach = 3;

/**
 * Where a stitch should be, by a plane fitted to the accepted stitches within three places; the straightened lattice itself counts as a weak
 * observation of both steps, so that few or lined-up neighbours cannot bend it. Null without neighbours.
 */
export const predict = (
  stitches: ReadonlyMap<number, Stitch>,
  wale: number,
  course: number,
  withOwn = false,
): Vec | null => {
  let s1 = 0;
  let sn = 0;
  let sm = 0;
  let snn = 3;
  let smm = 3;
  let snm = 0;
  let x0 = 0;
  let xn = 0;
  let xm = 0;
  let y0 = 0;
  let yn = 0;
  let ym = 0;
  for (let n = -reach; n <= reach; n++) {
    for (let m = -reach; m <= reach; m++) {
      if (n === 0 && m === 0 && !withOwn) continue;
      const s = stitches.get(placeKey(wale + n, course + m));
      if (s === undefined) continue;
      const w = 1 / (0.5 + n * n + m * m);
      const dx = s.x - n * cellPx.width;
      const dy = s.y - m * cellPx.height;
      s1 += w;
      sn += w * n;
      sm += w * m;
      snn += w * n * n;
      smm += w * m * m;
      snm += w * n * m;
      x0 += w * dx;
      xn += w * n * dx;
      xm += w * m * dx;
      y0 += w * dy;
      yn += w * n * dy;
      ym += w * m * dy;
    }
  }
  if (s1 === 0) return null;
  const system = [s1, sn, sm, snn, snm, smm] as const;
  return { x: interceptOf(system, x0, xn, xm), y: interceptOf(system, y0, yn, ym) };
};

/** First unknown of a symmetric 3 × 3 system, by Cramer's rule. */
const interceptOf = (
  [a, b, c, d, e, f]: readonly [number, number, number, number, number, number],
  p: number,
  q: number,
  r: number,
): number => {
  const det = a * (d * f - e * e) - b * (b * f - c * e) + c * (b * e - c * d);
  return (p * (d * f - e * e) - b * (q * f - e * r) + c * (q * e - d * r)) / det;
};

/** A binary heap, highest score first. */
class Heap {
  private readonly items: Waiting[] = [];

  push(item: Waiting): void {
    const items = this.items;
    let i = items.length;
    items.push(item);
    while (i > 0) {
      const parent = (i - 1) >> 1;
      const above = items[parent];
      if (above === undefined || above.score >= item.score) break;
      items[i] = above;
      i = parent;
    }
    items[i] = item;
  }

  pop(): Waiting | null {
    const items = this.items;
    const top = items[0];
    const last = items.pop();
    if (top === undefined || last === undefined) return null;
    if (items.length === 0) return top;
    let i = 0;
    for (;;) {
      let child = 2 * i + 1;
      if (child >= items.length) break;
      if (child + 1 < items.length && at2(items, child + 1) > at2(items, child)) child++;
      const below = items[child];
      if (below === undefined || below.score <= last.score) break;
      items[i] = below;
      i = child;
    }
    items[i] = last;
    return top;
  }
}

const at2 = (items: readonly Waiting[], i: number): number => items[i]?.score ?? Number.NEGATIVE_INFINITY;

/** Middle value of a response over the stitches found: what a good match looks like in this fabric. */
export const medianScore = (stitches: Iterable<Stitch>): number => {
  const scores = Float32Array.from([...stitches].map((s) => s.score)).sort();
  return scores[scores.length >> 1] as number;
};
