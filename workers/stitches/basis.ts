import type { LagMap } from './autocorrelation';
import { lengthOf, parabolaShift, type Vec, vec } from './raster';

/** Two steps that span the stitch lattice: to the next wale and to the next course. */
export interface Basis {
  /** From a stitch to the same stitch one wale to the right. */
  readonly wale: Vec;
  /** From a stitch to the one a course below. */
  readonly course: Vec;
}

export interface BasisFinding {
  readonly basis: Basis;
  /** Mean self-match at the lattice's own shifts, near 1 for a perfect repeat. */
  readonly strength: number;
  /** Strength times the share of peaks on the lattice, weighed by how usual its shape is; the highest is the likeliest. */
  readonly score: number;
}

/** A place where the picture matches its shifted self better than all around. */
export interface Peak extends Vec {
  readonly value: number;
  /** Height above the lowest place on the straight way to it from shift zero. */
  readonly prominence: number;
}

const valueAt = (map: LagMap, x: number, y: number): number => {
  const side = 2 * map.reach + 1;
  const fx = x + map.reach;
  const fy = y + map.reach;
  if (fx < 0 || fy < 0 || fx > side - 1 || fy > side - 1) return Number.NaN;
  const ix = Math.min(Math.floor(fx), side - 2);
  const iy = Math.min(Math.floor(fy), side - 2);
  const tx = fx - ix;
  const ty = fy - iy;
  const k = iy * side + ix;
  const d = map.data;
  return (
    ((d[k] as number) * (1 - tx) + (d[k + 1] as number) * tx) * (1 - ty) +
    ((d[k + side] as number) * (1 - tx) + (d[k + side + 1] as number) * tx) * ty
  );
};

/** Local maxima of one half of the map (the other mirrors it), sub-pixel, highest first. */
export const peaksOf = (map: LagMap, lowest: number): Peak[] => {
  const side = 2 * map.reach + 1;
  const peaks: Peak[] = [];
  for (let dy = 0; dy < map.reach; dy++) {
    for (let dx = -map.reach + 1; dx < map.reach; dx++) {
      if (dy === 0 && dx <= 0) continue;
      if (dx * dx + dy * dy < 9) continue;
      const k = (dy + map.reach) * side + dx + map.reach;
      const value = map.data[k] as number;
      if (value < lowest || !isLocalMaximum(map.data, k, side)) continue;
      const x = dx + parabolaShift(map.data[k - 1] as number, value, map.data[k + 1] as number);
      const y = dy + parabolaShift(map.data[k - side] as number, value, map.data[k + side] as number);
      const prominence = value - lowestOnTheWay(map, x, y);
      if (prominence > 0.05) peaks.push({ x, y, value, prominence });
    }
  }
  return peaks.sort((a, b) => b.value - a.value);
};

const isLocalMaximum = (data: Float32Array, k: number, side: number): boolean => {
  const value = data[k] as number;
  for (let dy = -1; dy <= 1; dy++)
    for (let dx = -1; dx <= 1; dx++) if ((data[k + dy * side + dx] as number) > value) return false;
  return true;
};

const lowestOnTheWay = (map: LagMap, x: number, y: number): number => {
  let lowest = 1;
  const steps = Math.max(4, Math.ceil(Math.hypot(x, y)));
  for (let i = 1; i < steps; i++) lowest = Math.min(lowest, valueAt(map, (x * i) / steps, (y * i) / steps));
  return lowest;
};

/** Best match within a small distance of a shift: a real fabric's lattice is never quite straight. */
const bestNear = (map: LagMap, x: number, y: number, tolerance: number): number => {
  let best = valueAt(map, x, y);
  for (let i = 0; i < 8; i++) {
    const angle = (Math.PI * i) / 4;
    const v = valueAt(map, x + tolerance * Math.cos(angle), y + tolerance * Math.sin(angle));
    if (v > best) best = v;
  }
  return best;
};

/** Mean self-match at the shifts of a lattice, the nearest ones counting most. */
const latticeMean = (map: LagMap, a: Vec, b: Vec): number => {
  let sum = 0;
  let weights = 0;
  for (let n = -2; n <= 2; n++) {
    for (let m = 0; m <= 2; m++) {
      if (m === 0 && n <= 0) continue;
      const x = n * a.x + m * b.x;
      const y = n * a.y + m * b.y;
      if (Math.max(Math.abs(x), Math.abs(y)) > map.reach - 2) continue;
      const weight = 1 / (1 + 0.5 * (Math.abs(n) + Math.abs(m)));
      sum += weight * bestNear(map, x, y, 0.5 + 0.03 * Math.hypot(x, y));
      weights += weight;
    }
  }
  return weights === 0 ? -1 : sum / weights;
};

/** Share of the map's peaks, by height, that lie on a lattice. */
const shareOnLattice = (peaks: readonly Peak[], a: Vec, b: Vec): number => {
  const cross = crossOf(a, b);
  const step = Math.min(lengthOf(a), lengthOf(b));
  let on = 0;
  let all = 0;
  for (const p of peaks) {
    const n = Math.round(crossOf(p, b) / cross);
    const m = Math.round(crossOf(a, p) / cross);
    const miss = Math.hypot(p.x - n * a.x - m * b.x, p.y - n * a.y - m * b.y);
    all += p.value;
    if (miss < 0.15 * step + 0.03 * lengthOf(p)) on += p.value;
  }
  return all === 0 ? 0 : on / all;
};

const crossOf = (a: Vec, b: Vec): number => a.x * b.y - a.y * b.x;
const angleBetween = (a: Vec, b: Vec): number =>
  Math.acos(Math.max(-1, Math.min(1, (a.x * b.x + a.y * b.y) / (lengthOf(a) * lengthOf(b)))));

/** How usual a cell is for plain knitting, 0 to 1: near square to itself, and 1.1 to 1.7 times as wide as high. */
const usual = (a: Vec, b: Vec): number => {
  const skew = Math.abs(angleBetween(a, b) - Math.PI / 2);
  const long = Math.max(lengthOf(a), lengthOf(b));
  const ratio = long / Math.min(lengthOf(a), lengthOf(b));
  const ratioFault = ratio < 1.12 ? (1.12 - ratio) / 0.2 : ratio > 1.65 ? (ratio - 1.65) / 0.4 : 0;
  const skewFault = Math.max(0, skew - 0.14) / 0.25;
  return Math.exp(-(ratioFault ** 2) - skewFault ** 2);
};

/**
 * Reads lattices off a self-match map: every pair of peaks spans one. A good lattice has a match at each of its shifts (one that is too fine has
 * not) and leaves no peak aside (one that is too coarse does); the product of the two picks the true one. How usual the cell's shape is
 * for knitting counts for a part. Likeliest first, each clearly different from those before it.
 * @param map Mean map of a region, with the wale pitch between about 5 px and half its reach.
 */
export const findBases = (map: LagMap, most: number): BasisFinding[] => {
  const peaks = peaksOf(map, 0.06).slice(0, 30);
  const found: BasisFinding[] = [];
  for (let i = 0; i < peaks.length; i++) {
    for (let j = i + 1; j < peaks.length; j++) {
      const [a, b] = reduced(peaks[i] as Peak, peaks[j] as Peak);
      if (lengthOf(a) < 4 || lengthOf(b) > map.reach || lengthOf(b) > 2.6 * lengthOf(a)) continue;
      const angle = angleBetween(a, b);
      if (angle < 0.96 || angle > Math.PI - 0.96) continue;
      const strength = latticeMean(map, a, b);
      const share = shareOnLattice(peaks, a, b);
      const score = strength * share * (0.4 + 0.6 * usual(a, b));
      if (score > 0.04) found.push({ basis: orient(a, b), strength, score });
    }
  }
  found.sort((p, q) => q.score - p.score);
  const distinct: BasisFinding[] = [];
  for (const f of found) {
    if (distinct.length >= most) break;
    if (!distinct.some((d) => sameLattice(d.basis, f.basis))) distinct.push(f);
  }
  return distinct;
};

/** The two shortest steps that span the same lattice, the shorter first (Gauss's reduction). Lined-up steps give a zero one. */
const reduced = (p: Vec, q: Vec): [Vec, Vec] => {
  let a = p;
  let b = q;
  for (let round = 0; round < 12; round++) {
    if (lengthOf(b) < lengthOf(a)) [a, b] = [b, a];
    if (lengthOf(a) < 3) return [a, b];
    const k = Math.round((a.x * b.x + a.y * b.y) / (a.x * a.x + a.y * a.y));
    if (k === 0) break;
    b = vec(b.x - k * a.x, b.y - k * a.y);
  }
  return [a, b];
};

/** How far two steps differ, whichever way they point, as a share of the first. */
const stepsDiffer = (a: Vec, b: Vec): number =>
  Math.min(Math.hypot(a.x - b.x, a.y - b.y), Math.hypot(a.x + b.x, a.y + b.y)) / lengthOf(a);

/** How far the steps of two lattices differ, wales from wales and courses from courses, as a share of the step. */
export const basesDiffer = (p: Basis, q: Basis): number =>
  Math.max(stepsDiffer(p.wale, q.wale), stepsDiffer(p.course, q.course));

/** Whether two bases mean the same lattice, within a share of a step; which of its steps is called the wale does not matter. */
export const sameLattice = (p: Basis, q: Basis, within = 0.15): boolean =>
  Math.min(basesDiffer(p, q), basesDiffer(p, { wale: q.course, course: q.wale })) < within;

/**
 * Names the two steps: the longer one leads to the next wale (a plain stitch is wider than high: courses outnumber wales by 1.2 to 1.55, common
 * practice); where they are near equal, the flatter one. Points the wale step to the right and the course step down.
 */
export const orient = (a: Vec, b: Vec): Basis => {
  const ratio = lengthOf(a) / lengthOf(b);
  const aIsWale =
    ratio > 1.12
      ? true
      : ratio < 1 / 1.12
        ? false
        : Math.abs(a.x / lengthOf(a)) >= Math.abs(b.x / lengthOf(b));
  let wale = aIsWale ? a : b;
  let course = aIsWale ? b : a;
  if (Math.abs(wale.x) >= Math.abs(wale.y) ? wale.x < 0 : wale.y > 0) wale = vec(-wale.x, -wale.y);
  if (crossOf(wale, course) < 0) course = vec(-course.x, -course.y);
  return { wale, course };
};
