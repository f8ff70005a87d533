import type { GridLine, StitchGrid } from './grid';
import { meanDirection } from './lineGeometry';

/**
 * Where every wale meets every course, photo px. Entry `wale * courseCount + course`; NaN where the two do not meet.
 */
export interface Crossings {
  readonly waleCount: number;
  readonly courseCount: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** A skewed frame in which wales run nearly along v and courses nearly along u, so that both are functions. */
interface Frame {
  readonly ux: number;
  readonly uy: number;
  readonly vx: number;
  readonly vy: number;
  readonly determinant: number;
}

/** All lines of a family as functions of their own running coordinate, laid end to end in flat arrays. */
interface Curves {
  /** Running coordinate of each vertex, strictly increasing along a line. */
  readonly along: Float64Array;
  /** The other coordinate of each vertex. */
  readonly across: Float64Array;
  /** Line `i` owns vertices `start[i]` up to but not including `start[i + 1]`. */
  readonly start: Int32Array;
}

const frameOf = (grid: StitchGrid): Frame | null => {
  const u = meanDirection(grid.courses);
  const v = meanDirection(grid.wales);
  if (u === null || v === null) return null;
  const determinant = u.x * v.y - u.y * v.x;
  // Families within about three degrees of parallel do not span a fabric.
  if (Math.abs(determinant) < 0.05) return null;
  return { ux: u.x, uy: u.y, vx: v.x, vy: v.y, determinant };
};

/** Turns lines into functions; vertices that run backwards (a curl, a slip of the hand) are passed over. */
const curvesOf = (lines: readonly GridLine[], frame: Frame, alongV: boolean): Curves => {
  const size = lines.reduce((sum, line) => sum + line.points.length, 0);
  const along = new Float64Array(size);
  const across = new Float64Array(size);
  const start = new Int32Array(lines.length + 1);
  let k = 0;
  lines.forEach(({ points }, i) => {
    start[i] = k;
    const first = points[0];
    const last = points[points.length - 1];
    if (first === undefined || last === undefined) return;
    const chord = alongV
      ? frame.ux * (last.y - first.y) - frame.uy * (last.x - first.x)
      : (last.x - first.x) * frame.vy - (last.y - first.y) * frame.vx;
    const backwards = chord * frame.determinant < 0;
    for (let n = 0; n < points.length; n += 1) {
      const p = points[backwards ? points.length - 1 - n : n];
      if (p === undefined) continue;
      const u = (p.x * frame.vy - p.y * frame.vx) / frame.determinant;
      const v = (frame.ux * p.y - frame.uy * p.x) / frame.determinant;
      const a = alongV ? v : u;
      if (k > (start[i] ?? 0) && a <= (along[k - 1] ?? 0)) continue;
      along[k] = a;
      across[k] = alongV ? u : v;
      k += 1;
    }
  });
  start[lines.length] = k;
  return { along, across, start };
};

/** Half the mean distance between neighbouring lines: how far a line may be carried on beyond its ends. */
const halfSpacing = (curves: Curves): number => {
  const lineCount = curves.start.length - 1;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < lineCount; i += 1) {
    const from = curves.start[i] ?? 0;
    const to = curves.start[i + 1] ?? 0;
    if (to <= from) continue;
    let sum = 0;
    for (let k = from; k < to; k += 1) sum += curves.across[k] ?? 0;
    low = Math.min(low, sum / (to - from));
    high = Math.max(high, sum / (to - from));
  }
  return lineCount > 1 && high > low ? (high - low) / (lineCount - 1) / 2 : 0;
};

/** Moves `cursor` to the segment of vertices [from, to) that holds `value`; the end segments reach beyond the ends. */
const seek = (along: Float64Array, from: number, to: number, cursor: number, value: number): number => {
  let k = Math.min(Math.max(cursor, from), to - 2);
  while (k > from && value < (along[k] as number)) k -= 1;
  while (k < to - 2 && value > (along[k + 1] as number)) k += 1;
  return k;
};

/** Finds where wale `w` meets course `c`; both cursors and the last place on the wale are kept from call to call. */
const meeter = (wales: Curves, courses: Curves): ((w: number, c: number, out: Float64Array) => boolean) => {
  const slackU = halfSpacing(wales);
  const slackV = halfSpacing(courses);
  const waleCursor = Int32Array.from(wales.start);
  const courseCursor = Int32Array.from(courses.start);
  return (w, c, out) => {
    const wFrom = wales.start[w] as number;
    const wTo = wales.start[w + 1] as number;
    const cFrom = courses.start[c] as number;
    const cTo = courses.start[c + 1] as number;
    if (wTo - wFrom < 2 || cTo - cFrom < 2) return false;
    let kw = waleCursor[w] as number;
    let kc = courseCursor[c] as number;
    let v = wales.along[Math.min(Math.max(kw, wFrom), wTo - 1)] as number;
    let u = 0;
    // Newton's method on two piecewise straight lines: exact as soon as both segments stay the same.
    for (let step = 0; step < 20; step += 1) {
      const kwBefore = kw;
      const kcBefore = kc;
      kw = seek(wales.along, wFrom, wTo, kw, v);
      const vw = wales.along[kw] as number;
      const uw = wales.across[kw] as number;
      const sw = ((wales.across[kw + 1] as number) - uw) / ((wales.along[kw + 1] as number) - vw);
      kc = seek(courses.along, cFrom, cTo, kc, uw + sw * (v - vw));
      const uc = courses.along[kc] as number;
      const vc = courses.across[kc] as number;
      const sc = ((courses.across[kc + 1] as number) - vc) / ((courses.along[kc + 1] as number) - uc);
      v = (vc + sc * (uw - sw * vw - uc)) / (1 - sc * sw);
      u = uw + sw * (v - vw);
      if (step > 0 && kw === kwBefore && kc === kcBefore) break;
    }
    waleCursor[w] = kw;
    courseCursor[c] = kc;
    out[0] = u;
    out[1] = v;
    return (
      v >= (wales.along[wFrom] as number) - slackV &&
      v <= (wales.along[wTo - 1] as number) + slackV &&
      u >= (courses.along[cFrom] as number) - slackU &&
      u <= (courses.along[cTo - 1] as number) + slackU
    );
  };
};

const computeCrossings = (grid: StitchGrid): Crossings => {
  const waleCount = grid.wales.length;
  const courseCount = grid.courses.length;
  const x = new Float64Array(waleCount * courseCount).fill(Number.NaN);
  const y = new Float64Array(waleCount * courseCount).fill(Number.NaN);
  const frame = frameOf(grid);
  if (frame === null) return { waleCount, courseCount, x, y };
  const meet = meeter(curvesOf(grid.wales, frame, true), curvesOf(grid.courses, frame, false));
  const at = new Float64Array(2);
  for (let w = 0; w < waleCount; w += 1) {
    for (let c = 0; c < courseCount; c += 1) {
      if (!meet(w, c, at)) continue;
      const u = at[0] as number;
      const v = at[1] as number;
      x[w * courseCount + c] = frame.ux * u + frame.vx * v;
      y[w * courseCount + c] = frame.uy * u + frame.vy * v;
    }
  }
  return { waleCount, courseCount, x, y };
};

const remembered = new WeakMap<StitchGrid, Crossings>();

/**
 * Where every wale meets every course. A line ends where its last vertex is, give or take half a line spacing.
 * Grids are immutable, so the answer is remembered with the grid and costs nothing the second time.
 */
export const crossingsOf = (grid: StitchGrid): Crossings => {
  const known = remembered.get(grid);
  if (known !== undefined) return known;
  const fresh = computeCrossings(grid);
  remembered.set(grid, fresh);
  return fresh;
};
