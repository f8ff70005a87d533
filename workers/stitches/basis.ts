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
  /** How much worse the best rival lattice explains the map (0: just as well, 1: not at all). */
  readonly lead: number;
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

/** Shifts (n, m) of a lattice in one half of the map, within reach, nearest ones first in importance. */
const latticeMean = (map: LagMap, a: Vec, b: Vec, keep: (n: number, m: number) => boolean): number => {
  let sum = 0;
  let weights = 0;
  for (let n = -2; n <= 2; n++) {
    for (let m = 0; m <= 2; m++) {
      if ((m === 0 && n <= 0) || !keep(n, m)) continue;
      const x = n * a.x + m * b.x;
      const y = n * a.y + m * b.y;
      if (Math.max(Math.abs(x), Math.abs(y)) > map.reach - 2) continue;
      const value = bestNear(map, x, y, 0.06 * Math.hypot(x, y) < 1 ? 0.7 : 1.2);
      if (Number.isNaN(value)) continue;
      const weight = 1 / (1 + 0.5 * (Math.abs(n) + Math.abs(m)));
      sum += weight * value;
      weights += weight;
    }
  }
  return weights === 0 ? -1 : sum / weights;
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
 * Reads the stitch lattice off a self-match map. Among the bases made of its peaks, those whose lattice explains nearly as much as the
 * best one are kept, and of them the one with the smallest cell is taken; how usual the shape is for knitting only breaks near ties.
 * @param map Mean map of a region, with the wale pitch between about 5 px and half its reach.
 */
export const findBasis = (map: LagMap): BasisFinding | null => {
  const peaks = peaksOf(map, 0.08).slice(0, 24);
  const candidates: { a: Vec; b: Vec; explained: number; cell: number; usual: number }[] = [];
  for (let i = 0; i < peaks.length; i++) {
    for (let j = i + 1; j < peaks.length; j++) {
      const a = peaks[i] as Peak;
      const b = peaks[j] as Peak;
      const angle = angleBetween(a, b);
      if (angle < 0.96 || angle > Math.PI - 0.96) continue;
      const ratio = lengthOf(a) / lengthOf(b);
      if (ratio > 2.6 || ratio < 1 / 2.6) continue;
      const explained = latticeMean(map, a, b, () => true);
      candidates.push({ a, b, explained, cell: Math.abs(crossOf(a, b)), usual: usual(a, b) });
    }
  }
  if (candidates.length === 0) return null;
  const score = (c: { explained: number; usual: number }): number => c.explained * (0.6 + 0.4 * c.usual);
  const best = Math.max(...candidates.map(score));
  if (best < 0.08) return null;
  const near = candidates.filter((c) => score(c) > 0.85 * best).sort((p, q) => p.cell - q.cell);
  const smallest = near[0];
  if (smallest === undefined) return null;
  const chosen = near
    .filter((c) => c.cell < 1.2 * smallest.cell)
    .reduce((p, q) => (score(q) > score(p) ? q : p));
  const rivals = candidates.filter((c) => Math.abs(Math.log(c.cell / chosen.cell)) > 0.3);
  const rival = rivals.length === 0 ? 0 : Math.max(...rivals.map(score));
  return {
    basis: orient(chosen.a, chosen.b),
    strength: chosen.explained,
    lead: Math.max(-1, 1 - rival / score(chosen)),
  };
};

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
