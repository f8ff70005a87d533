import { clipSegment, type HalfPlanes, isInside } from './countWindow';
import type { LineFamily } from './grid';
import type { Lattice } from './lattice';
import { MM_PER_INCH } from './units';

/** One place where an inch was laid along the fabric and whole stitches were counted. */
export interface CountedInch {
  readonly count: number;
  /** Ends of the inch on the surface, mm. */
  readonly from: { readonly x: number; readonly y: number };
  readonly to: { readonly x: number; readonly y: number };
}

/** The count that a person with a ruler would make. */
export interface HandCount {
  /** Mean over the places, per inch. */
  readonly perInch: number;
  readonly places: readonly CountedInch[];
}

/** Where the five inches lie: [share of the way along the counted line, share across the other family]. */
const PLACES: readonly (readonly [number, number])[] = [
  [0.5, 0.5],
  [0.1, 0.25],
  [0.9, 0.25],
  [0.1, 0.75],
  [0.9, 0.75],
];

/** A line of the lattice inside the window: its points and the distance run up to each, mm. */
interface Run {
  readonly start: number;
  readonly end: number;
  readonly distance: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

const runAlong = (lattice: Lattice, window: HalfPlanes, family: LineFamily, line: number): Run | null => {
  const { waleCount, courseCount } = lattice;
  const count = family === 'wale' ? waleCount : courseCount;
  const at = (k: number): number => (family === 'wale' ? k * courseCount + line : line * courseCount + k);
  const x = Float64Array.from({ length: count }, (_, k) => lattice.x[at(k)] as number);
  const y = Float64Array.from({ length: count }, (_, k) => lattice.y[at(k)] as number);
  const distance = new Float64Array(count);
  const share = new Float64Array(2);
  let start = Number.NaN;
  let end = Number.NaN;
  for (let k = 1; k < count; k += 1) {
    const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = [x[k - 1], y[k - 1], x[k], y[k]];
    const length = Math.hypot(x1 - x0, y1 - y0);
    const before = distance[k - 1] as number;
    distance[k] = before + length;
    if (!clipSegment(window, x0, y0, x1, y1, share)) continue;
    if (Number.isNaN(start)) start = before + (share[0] as number) * length;
    end = before + (share[1] as number) * length;
  }
  return Number.isNaN(start) ? null : { start, end, distance, x, y };
};

const pointAt = ({ distance, x, y }: Run, s: number): { x: number; y: number } => {
  let k = 1;
  while (k < distance.length - 1 && (distance[k] as number) < s) k += 1;
  const d0 = distance[k - 1] as number;
  const f = (s - d0) / ((distance[k] as number) - d0 || 1);
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = [x[k - 1], y[k - 1], x[k], y[k]];
  return { x: x0 + f * (x1 - x0), y: y0 + f * (y1 - y0) };
};

/** Numbers, within the lattice, of the lines across which the inch may be laid: those with a stitch inside the window. */
const linesInWindow = (
  { x, y, waleCount, courseCount }: Lattice,
  window: HalfPlanes,
  family: LineFamily,
): number[] => {
  const [lines, stride, count, step] =
    family === 'wale' ? [courseCount, 1, waleCount, courseCount] : [waleCount, courseCount, courseCount, 1];
  const found: number[] = [];
  for (let line = 0; line < lines; line += 1) {
    for (let k = 0; k < count; k += 1) {
      const n = line * stride + k * step;
      if (!isInside(window, x[n] as number, y[n] as number)) continue;
      found.push(line);
      break;
    }
  }
  return found;
};

/**
 * Moves the start of an inch by less than a stitch so that it begins at the given share of a stitch. Five inches that begin at five different
 * shares average to a fifth of a stitch, where five that happen to begin alike would all be off together.
 */
const atShareOfStitch = (
  { distance, start, end }: Run,
  from: number,
  share: number,
  inch: number,
): number => {
  let k = 1;
  while (k < distance.length - 1 && (distance[k] as number) <= from) k += 1;
  const before = distance[k - 1] as number;
  const pitch = (distance[k] as number) - before;
  const moved = before + share * pitch;
  if (moved < start) return Math.min(moved + pitch, end - inch);
  return moved + inch > end ? Math.max(moved - pitch, start) : moved;
};

/**
 * Counts whole stitches in one inch at five places in the window and averages them, as the test methods for wale and course counts do with a
 * ruler, magnifier or digital camera (ASTM D8007 for weft knits reports both counts separately, per inch; five places is common
 * practice). Each inch starts at another fifth of a stitch, and a stitch counts when its middle lies inside: one place is off by less than one stitch,
 * and the mean of five by about a tenth.
 * `isStitch` tells which wale carries stitches; `enlargement` is how many times too long lengths on the surface are.
 * @returns null when the window is under one inch in this direction.
 */
export const handCountOf = (
  lattice: Lattice,
  window: HalfPlanes,
  family: LineFamily,
  isStitch: (wale: number) => boolean,
  enlargement: number,
): HandCount | null => {
  const inch = MM_PER_INCH * enlargement;
  const lines = linesInWindow(lattice, window, family);
  if (lines.length === 0) return null;
  const places: CountedInch[] = [];
  for (const [place, [along, across]] of PLACES.entries()) {
    const line = lines[Math.round(across * (lines.length - 1))] ?? 0;
    const run = runAlong(lattice, window, family, line);
    if (run === null || run.end - run.start < inch) return null;
    const roughly = run.start + along * (run.end - run.start - inch);
    const from = atShareOfStitch(run, roughly, (place + 0.5) / PLACES.length, inch);
    let count = 0;
    run.distance.forEach((d, k) => {
      const carries = family === 'course' || isStitch(lattice.firstWale + k);
      if (carries && d >= from && d < from + inch) count += 1;
    });
    places.push({ count, from: pointAt(run, from), to: pointAt(run, from + inch) });
  }
  return { perInch: places.reduce((sum, p) => sum + p.count, 0) / places.length, places };
};
