import type { FurrowKind } from './furrow';
import { type Growth, placeKey, type Stitch } from './growth';
import { medianOf, type Vec } from './raster';
import { cellPx } from './rectify';

/** The grid as a table: wale w and course c of the table lie at `places[w][c]`, null outside the fabric that was read. */
export interface Lattice {
  readonly wales: number;
  readonly courses: number;
  /** Smoothed positions in the straightened picture, wale by wale. */
  readonly places: readonly (readonly (Vec | null)[])[];
  /** Whether a stitch was really seen there. */
  readonly seen: readonly (readonly boolean[])[];
  /** Whether the wale shows no legs: an empty needle position, or a purl column of a rib. */
  readonly gaps: readonly boolean[];
  /** What those wales show; absent where there are none. */
  readonly furrow?: FurrowKind;
  /** Wales to a repeat where they are known to be unlike (ribs, needles out); absent otherwise. */
  readonly perRepeat?: number;
  /** Growth coordinates of the table's first wale and course. */
  readonly first: { readonly wale: number; readonly course: number };
  /** Typical distance of the stitches seen from the smooth grid, as shares of the pitch. */
  readonly scatter: { readonly wale: number; readonly course: number };
}

/** Fewer wales or courses are no fabric, unless a wale is known to be a whole repeat. */
const usualLeast = 4;

/** Half-width of the neighbourhood that smooths a place, in stitches. */
const reach = 3;

/** Weighted plane through the stitches around (wale, course); null with fewer than three, or if they lie on one line. */
const localPlane = (
  stitches: ReadonlyMap<number, Stitch>,
  wale: number,
  course: number,
  waleReach: number,
): { place: Vec; support: number } | null => {
  const sum = new Float64Array(12);
  let count = 0;
  for (let n = -waleReach; n <= waleReach; n++) {
    for (let m = -reach; m <= reach; m++) {
      const s = stitches.get(placeKey(wale + n, course + m));
      if (s === undefined) continue;
      const weight = Math.exp(-(n * n + m * m) / 4.5);
      const x = s.x - n * cellPx.width;
      const y = s.y - m * cellPx.height;
      const terms = [1, n, m, n * n, n * m, m * m, x, n * x, m * x, y, n * y, m * y];
      for (let i = 0; i < 12; i++) sum[i] = (sum[i] as number) + weight * (terms[i] as number);
      count++;
    }
  }
  if (count < (waleReach === 0 ? 2 : 5)) return null;
  const a = sum[0] as number;
  const b = sum[1] as number;
  const c = sum[2] as number;
  const d = (sum[3] as number) + 0.02;
  const e = sum[4] as number;
  const f = (sum[5] as number) + 0.02;
  const det = a * (d * f - e * e) - b * (b * f - c * e) + c * (b * e - c * d);
  const solve = (p: number, q: number, r: number): number =>
    (p * (d * f - e * e) - b * (q * f - e * r) + c * (q * e - d * r)) / det;
  return {
    place: {
      x: solve(sum[6] as number, sum[7] as number, sum[8] as number),
      y: solve(sum[9] as number, sum[10] as number, sum[11] as number),
    },
    support: a,
  };
};

const range = (values: Iterable<number>): [number, number] => {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  return [low, high];
};

/** Wales (or courses) whose likenesses add up to at least 0.4 of the usual: ragged and doubtful ends of the growth are cut off. */
const solidRange = (
  marks: readonly { index: number; score: number }[],
  skipEmpty: boolean,
): [number, number] => {
  const [low, high] = range(marks.map((m) => m.index));
  const sums = new Array<number>(high - low + 1).fill(0);
  for (const { index, score } of marks) sums[index - low] = (sums[index - low] as number) + score;
  const least = 0.4 * medianOf(skipEmpty ? sums.filter((sum) => sum > 0) : sums);
  let first = 0;
  let last = sums.length - 1;
  while (first < last && (sums[first] as number) < least) first++;
  while (last > first && (sums[last] as number) < least) last--;
  return [low + first, low + last];
};

/**
 * Turns the grown stitches into a table with smooth positions: small holes are filled, jitter of single detections is averaged away,
 * ragged ends are dropped. In uneven fabric (needle gaps) a wale is smoothed along itself only, and wales without stitches are
 * marked as gaps. Null with fewer wales than `leastWales`, or fewer than four courses.
 */
export const smoothLattice = (growth: Growth, uneven: boolean, leastWales = usualLeast): Lattice | null => {
  const all = [...growth.stitches.values()];
  if (all.length < 16) return null;
  const [w0, w1] = solidRange(
    all.map((s) => ({ index: s.wale, score: s.score })),
    uneven,
  );
  const [c0, c1] = solidRange(
    all.map((s) => ({ index: s.course, score: s.score })),
    false,
  );
  const wales = w1 - w0 + 1;
  const courses = c1 - c0 + 1;
  if (wales < leastWales || courses < usualLeast) return null;
  const places: (Vec | null)[][] = [];
  const seen: boolean[][] = [];
  const offX: number[] = [];
  const offY: number[] = [];
  for (let w = 0; w < wales; w++) {
    const column: (Vec | null)[] = [];
    const marks: boolean[] = [];
    for (let c = 0; c < courses; c++) {
      const own = growth.stitches.get(placeKey(w0 + w, c0 + c));
      const plane = localPlane(growth.stitches, w0 + w, c0 + c, uneven && own !== undefined ? 0 : reach);
      const place = plane !== null && (own !== undefined || plane.support > 3) ? plane.place : null;
      column.push(place);
      marks.push(own !== undefined);
      if (own !== undefined && place !== null) {
        offX.push(Math.abs(own.x - place.x) / cellPx.width);
        offY.push(Math.abs(own.y - place.y) / cellPx.height);
      }
    }
    places.push(column);
    seen.push(marks);
  }
  // 1.4826 × the median deviation is the standard deviation of a normal scatter.
  const scatter = { wale: 1.4826 * medianOf(offX), course: 1.4826 * medianOf(offY) };
  const filled = seen.map((marks) => marks.filter(Boolean).length);
  const typical = medianOf(filled.filter((n) => n > 0));
  const gaps = filled.map((n) => uneven && n < 0.25 * typical);
  return { wales, courses, places, seen, gaps, first: { wale: w0, course: c0 }, scatter };
};
