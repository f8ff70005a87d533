import { type HalfPlanes, isInside } from './countWindow';
import { crossingsOf } from './crossings';
import type { StitchGrid } from './grid';
import { blockUncertainty, type LineUncertainty, levelRepeats, spreadOf, steadyMean } from './lineShifts';
import { fitSurface, type SurfaceFit } from './surfaceFit';

/**
 * The stitches in and just around the window, laid out on a flat surface (mm of the plane, or photo px) and freed from the jitter of single
 * stitches. A stitch's place is a smooth surface over (wale, course), plus how far its whole wale lies off that surface sideways, plus how
 * far its whole course lies off lengthways: uneven rows stay, noise of single stitches does not lengthen any line.
 */
export interface Lattice {
  /** Numbers of the first wale and course that it holds. */
  readonly firstWale: number;
  readonly firstCourse: number;
  readonly waleCount: number;
  readonly courseCount: number;
  /** Place of each stitch, entry `(wale − firstWale) · courseCount + (course − firstCourse)`. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Standard deviation of single stitches about their place, across wales and across courses. */
  readonly scatter: { readonly wale: number; readonly course: number };
  /** Standard uncertainty of the place of one whole line, from blocks of neighbouring stitches, and its degrees of freedom. */
  readonly lineUncertainty: { readonly wale: LineUncertainty; readonly course: LineUncertainty };
  /** Angle by which courses are off square to wales, radians; positive when they run down to the right of square. */
  readonly skewRad: number;
}

/** How many lines beyond the window help to place its edges. */
const MARGIN = 2;
/** Bow, skew, perspective and a changing gauge are cubic at most over a window; uneven lines are taken up line by line. */
const DEGREE = 3;
/** Huber's constant: 95 % as good as least squares for normal data (P. J. Huber 1964). */
const HUBER = 1.345;
interface Patch {
  readonly firstWale: number;
  readonly lastWale: number;
  readonly firstCourse: number;
  readonly lastCourse: number;
}

/** The whole-number rectangle of stitches that covers the window with a margin. */
const patchAround = (
  x: Float64Array,
  y: Float64Array,
  courseCount: number,
  window: HalfPlanes,
): Patch | null => {
  let firstWale = Infinity;
  let lastWale = -1;
  let firstCourse = Infinity;
  let lastCourse = -1;
  for (let i = 0; i < x.length; i += 1) {
    if (!isInside(window, x[i] as number, y[i] as number)) continue;
    const wale = Math.floor(i / courseCount);
    const course = i % courseCount;
    firstWale = Math.min(firstWale, wale);
    lastWale = Math.max(lastWale, wale);
    firstCourse = Math.min(firstCourse, course);
    lastCourse = Math.max(lastCourse, course);
  }
  if (lastWale < 0) return null;
  return {
    firstWale: Math.max(firstWale - MARGIN, 0),
    lastWale: Math.min(lastWale + MARGIN, x.length / courseCount - 1),
    firstCourse: Math.max(firstCourse - MARGIN, 0),
    lastCourse: Math.min(lastCourse + MARGIN, courseCount - 1),
  };
};

/** Writes the surface position of photo point (x, y) into `out[0..1]`. */
export type Placer = (x: number, y: number, out: Float64Array) => void;

/** The crossings of a patch on the surface, entry `wale · courseCount + course`; NaN for unknown ones and needle gaps. */
interface PlacedPatch {
  readonly firstWale: number;
  readonly firstCourse: number;
  readonly waleCount: number;
  readonly courseCount: number;
  readonly isGap: readonly boolean[];
  readonly x: Float64Array;
  readonly y: Float64Array;
}

const placePatch = (grid: StitchGrid, window: HalfPlanes, place: Placer): PlacedPatch | null => {
  const crossings = crossingsOf(grid);
  const columns = crossings.courseCount;
  const allX = new Float64Array(crossings.x.length);
  const allY = new Float64Array(crossings.x.length);
  const at = new Float64Array(2);
  for (let i = 0; i < allX.length; i += 1) {
    place(crossings.x[i] as number, crossings.y[i] as number, at);
    allX[i] = at[0] as number;
    allY[i] = at[1] as number;
  }
  const patch = patchAround(allX, allY, columns, window);
  if (patch === null) return null;
  const { firstWale, firstCourse } = patch;
  const waleCount = patch.lastWale - firstWale + 1;
  const courseCount = patch.lastCourse - firstCourse + 1;
  const isGap = Array.from({ length: waleCount }, (_, w) => grid.wales[firstWale + w]?.kind === 'needleGap');
  const x = new Float64Array(waleCount * courseCount).fill(Number.NaN);
  const y = new Float64Array(waleCount * courseCount).fill(Number.NaN);
  for (let w = 0; w < waleCount; w += 1) {
    if (isGap[w]) continue;
    const from = (firstWale + w) * columns + firstCourse;
    x.set(allX.subarray(from, from + courseCount), w * courseCount);
    y.set(allY.subarray(from, from + courseCount), w * courseCount);
  }
  return { firstWale, firstCourse, waleCount, courseCount, isGap, x, y };
};

/** The smooth surface through a patch; its coordinates run from −1 to 1 over the patch both ways. */
const fitPatch = ({ waleCount, courseCount, isGap, x, y }: PlacedPatch): SurfaceFit | null => {
  const carrying = waleCount - isGap.filter(Boolean).length;
  if (carrying < 2 || courseCount < 2) return null;
  const s: number[] = [];
  const t: number[] = [];
  const knownX: number[] = [];
  const knownY: number[] = [];
  for (let k = 0; k < x.length; k += 1) {
    if (Number.isNaN(x[k])) continue;
    s.push((2 * Math.floor(k / courseCount)) / (waleCount - 1) - 1);
    t.push((2 * (k % courseCount)) / (courseCount - 1) - 1);
    knownX.push(x[k] as number);
    knownY.push(y[k] as number);
  }
  return fitSurface(s, t, knownX, knownY, { degree: DEGREE, sCount: carrying, tCount: courseCount });
};

/** Smooth place of each stitch, unit directions along its course (ux, uy) and wale (vx, vy), and how far it lies off along both. */
interface Layout {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly directions: Float64Array;
  readonly across: Float64Array;
  readonly along: Float64Array;
}

const layOut = (patch: PlacedPatch, fit: SurfaceFit): Layout => {
  const { waleCount, courseCount } = patch;
  const size = waleCount * courseCount;
  const x = new Float64Array(size);
  const y = new Float64Array(size);
  const directions = new Float64Array(size * 4);
  const across = new Float64Array(size);
  const along = new Float64Array(size);
  const at = new Float64Array(6);
  for (let k = 0; k < size; k += 1) {
    const s = (2 * Math.floor(k / courseCount)) / (waleCount - 1) - 1;
    fit.evaluate(s, (2 * (k % courseCount)) / (courseCount - 1) - 1, at);
    const [px = 0, py = 0, wx = 0, wy = 0, cx = 0, cy = 0] = at;
    const wLength = Math.sqrt(wx * wx + wy * wy) || 1;
    const cLength = Math.sqrt(cx * cx + cy * cy) || 1;
    const ux = wx / wLength;
    const uy = wy / wLength;
    const vx = cx / cLength;
    const vy = cy / cLength;
    x[k] = px;
    y[k] = py;
    directions[k * 4] = ux;
    directions[k * 4 + 1] = uy;
    directions[k * 4 + 2] = vx;
    directions[k * 4 + 3] = vy;
    const dx = (patch.x[k] as number) - px;
    const dy = (patch.y[k] as number) - py;
    const determinant = ux * vy - uy * vx;
    across[k] = (dx * vy - dy * vx) / determinant;
    along[k] = (ux * dy - uy * dx) / determinant;
  }
  return { x, y, directions, across, along };
};

/** Takes each wale's and each course's own shift out of the residuals, in place, and hands the shifts back. */
const takeShifts = (
  { across, along }: Layout,
  { waleCount, courseCount }: PlacedPatch,
  scatter: number,
): { readonly wale: Float64Array; readonly course: Float64Array } => {
  const limit = HUBER * Math.max(scatter, 1e-12);
  const wale = Float64Array.from({ length: waleCount }, (_, w) =>
    steadyMean(across, w * courseCount, 1, courseCount, limit),
  );
  const course = Float64Array.from({ length: courseCount }, (_, c) =>
    steadyMean(along, c, courseCount, waleCount, limit),
  );
  for (let k = 0; k < across.length; k += 1) {
    across[k] = (across[k] as number) - (wale[Math.floor(k / courseCount)] as number);
    along[k] = (along[k] as number) - (course[k % courseCount] as number);
  }
  return { wale, course };
};

/** Angle by which courses are off square to wales at the middle of the patch, radians. */
const skewOf = (directions: Float64Array, middle: number): number => {
  const [ux = 1, uy = 0, vx = 0, vy = 1] = directions.subarray(middle * 4, middle * 4 + 4);
  return Math.asin(Math.min(1, Math.max(-1, ux * vx + uy * vy)));
};

/**
 * Lays out the stitches around the window on a flat surface; `window` is the window on that same surface.
 * @returns null when the window holds too few stitches: fewer than two wales or two courses.
 */
export const latticeOf = (grid: StitchGrid, window: HalfPlanes, place: Placer): Lattice | null => {
  const patch = placePatch(grid, window, place);
  const fit = patch === null ? null : fitPatch(patch);
  if (patch === null || fit === null) return null;
  const { firstWale, firstCourse, waleCount, courseCount } = patch;
  const layout = layOut(patch, fit);
  const shift = takeShifts(layout, patch, fit.scatter);
  levelRepeats(shift.wale, patch.isGap, grid.wales, firstWale);
  const { x, y, directions, across, along } = layout;
  for (let k = 0; k < x.length; k += 1) {
    const a = shift.wale[Math.floor(k / courseCount)] as number;
    const b = (shift.course[k % courseCount] as number) || 0;
    x[k] = (x[k] as number) + a * (directions[k * 4] as number) + b * (directions[k * 4 + 2] as number);
    y[k] = (y[k] as number) + a * (directions[k * 4 + 1] as number) + b * (directions[k * 4 + 3] as number);
  }
  const waleLines = { count: waleCount, stride: courseCount };
  const courseLines = { count: courseCount, stride: 1 };
  return {
    firstWale,
    firstCourse,
    waleCount,
    courseCount,
    x,
    y,
    scatter: { wale: spreadOf(across), course: spreadOf(along) },
    lineUncertainty: {
      wale: blockUncertainty(across, waleLines, courseLines),
      course: blockUncertainty(along, courseLines, waleLines),
    },
    skewRad: skewOf(directions, Math.floor(waleCount / 2) * courseCount + Math.floor(courseCount / 2)),
  };
};
