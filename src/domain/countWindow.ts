import { type PhotoPoint, type PointIn, photoPoint } from './coordinates';
import { crossingsOf } from './crossings';
import type { CountWindow, StitchGrid } from './grid';
import { type PlaneMap, toPlane } from './plane';
import { fitSurface } from './surfaceFit';

/** Twice the signed area of a polygon; positive when its corners run clockwise on screen (y down). */
const doubledArea = (corners: readonly { readonly x: number; readonly y: number }[]): number =>
  corners.reduce((sum, a, i) => {
    const b = corners[(i + 1) % corners.length] ?? a;
    return sum + a.x * b.y - b.x * a.y;
  }, 0);

/** Area of a polygon in the square of its own unit. */
export const polygonArea = (corners: readonly { readonly x: number; readonly y: number }[]): number =>
  Math.abs(doubledArea(corners)) / 2;

/** Area of the window on the plane, mm². */
export const windowAreaMm2 = ({ corners }: CountWindow, plane: Pick<PlaneMap, 'photoToPlane'>): number =>
  polygonArea(corners.map((corner) => toPlane(plane, corner)));

/** The middle of a polygon's corners. */
export const cornerCentre = <S extends string>(
  corners: readonly PointIn<S>[],
): { readonly x: number; readonly y: number } => ({
  x: corners.reduce((sum, p) => sum + p.x, 0) / corners.length,
  y: corners.reduce((sum, p) => sum + p.y, 0) / corners.length,
});

/** Where the swatch is in the photo, px: the middle of the counted window, or of the photo while there is none. */
export const swatchMiddle = (
  counted: CountWindow | null,
  photo: { readonly widthPx: number; readonly heightPx: number },
): { readonly x: number; readonly y: number } =>
  counted === null || counted.corners.length === 0
    ? { x: photo.widthPx / 2, y: photo.heightPx / 2 }
    : cornerCentre(counted.corners);

/** A convex polygon as half planes: a point is inside where `nx · x + ny · y ≥ d` for all of them. */
export interface HalfPlanes {
  readonly nx: Float64Array;
  readonly ny: Float64Array;
  readonly d: Float64Array;
}

/** The half planes of a convex polygon whose corners run either way round. */
export const halfPlanesOf = (corners: readonly { readonly x: number; readonly y: number }[]): HalfPlanes => {
  const sign = doubledArea(corners) < 0 ? -1 : 1;
  const nx = new Float64Array(corners.length);
  const ny = new Float64Array(corners.length);
  const d = new Float64Array(corners.length);
  corners.forEach((a, i) => {
    const b = corners[(i + 1) % corners.length] ?? a;
    const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    nx[i] = (sign * (a.y - b.y)) / length;
    ny[i] = (sign * (b.x - a.x)) / length;
    d[i] = (nx[i] as number) * a.x + (ny[i] as number) * a.y;
  });
  return { nx, ny, d };
};

/** Whether a point lies inside or on the edge of a convex polygon. */
export const isInside = ({ nx, ny, d }: HalfPlanes, x: number, y: number): boolean => {
  for (let i = 0; i < d.length; i += 1) {
    if ((nx[i] as number) * x + (ny[i] as number) * y < (d[i] as number)) return false;
  }
  return d.length > 0;
};

/**
 * The part of the segment (x0, y0) → (x1, y1) inside a convex polygon, as shares of its length [from, to] (Cyrus and Beck 1978), written
 * into `out`. @returns whether any of it is inside.
 */
export const clipSegment = (
  { nx, ny, d }: HalfPlanes,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  out: Float64Array,
): boolean => {
  let from = 0;
  let to = 1;
  for (let i = 0; i < d.length; i += 1) {
    const start = (nx[i] as number) * x0 + (ny[i] as number) * y0 - (d[i] as number);
    const end = (nx[i] as number) * x1 + (ny[i] as number) * y1 - (d[i] as number);
    if (start < 0 && end < 0) return false;
    if (start < 0) from = Math.max(from, start / (start - end));
    else if (end < 0) to = Math.min(to, start / (start - end));
  }
  out[0] = from;
  out[1] = to;
  return from < to;
};

/** The parts of a polyline inside the window, each as a polyline of its own, photo px. */
export const clipLine = (
  points: readonly PhotoPoint[],
  { corners }: CountWindow,
): readonly (readonly PhotoPoint[])[] => {
  const planes = halfPlanesOf(corners);
  const share = new Float64Array(2);
  const parts: PhotoPoint[][] = [];
  let open: PhotoPoint[] | null = null;
  for (let i = 1; i < points.length; i += 1) {
    const a = points[i - 1];
    const b = points[i];
    if (a === undefined || b === undefined || !clipSegment(planes, a.x, a.y, b.x, b.y, share)) {
      open = null;
      continue;
    }
    const [from = 0, to = 1] = share;
    const at = (f: number) => photoPoint(a.x + (b.x - a.x) * f, a.y + (b.y - a.y) * f);
    if (open === null || from > 0) {
      open = [at(from)];
      parts.push(open);
    }
    open.push(at(to));
    if (to < 1) open = null;
  }
  return parts;
};

/** Whether a photo point lies in the window. */
export const windowContains = ({ corners }: CountWindow, point: PhotoPoint): boolean =>
  isInside(halfPlanesOf(corners), point.x, point.y);

/**
 * Photo position at fractional (wale, course) numbers, from a smooth surface through all crossings.
 * @returns null when the grid has too few crossings.
 */
export const gridSurface = (grid: StitchGrid): ((wale: number, course: number) => PhotoPoint) | null => {
  const { waleCount, courseCount, x, y } = crossingsOf(grid);
  if (waleCount < 2 || courseCount < 2) return null;
  const kept: number[] = [];
  for (let i = 0; i < x.length; i += 1) if (!Number.isNaN(x[i])) kept.push(i);
  const halfW = (waleCount - 1) / 2;
  const halfC = (courseCount - 1) / 2;
  const fit = fitSurface(
    kept.map((i) => Math.floor(i / courseCount) / halfW - 1),
    kept.map((i) => (i % courseCount) / halfC - 1),
    kept.map((i) => x[i] as number),
    kept.map((i) => y[i] as number),
    { degree: 4, sCount: waleCount, tCount: courseCount },
  );
  if (fit === null) return null;
  const out = new Float64Array(6);
  return (wale, course) => {
    fit.evaluate(wale / halfW - 1, course / halfC - 1, out);
    return photoPoint(out[0] as number, out[1] as number);
  };
};

/** Share of wales and of courses that the window proposed at first spans: away from edges that curl. */
const CENTRAL_SHARE = 0.6;

/**
 * The window proposed at first: the central 60 % of the wales by the central 60 % of the courses, each stitch taken as reaching half a
 * step to both sides, with corners that follow the fabric.
 * @returns null when the grid has fewer than two lines of a family.
 */
export const defaultWindow = (grid: StitchGrid): CountWindow | null => {
  const surface = gridSurface(grid);
  if (surface === null) return null;
  const margin = (1 - CENTRAL_SHARE) / 2;
  // With few lines the window must still hold whole ones.
  const ends = (count: number): [number, number] =>
    count < 6 ? [0, count - 1] : [margin * count - 0.5, (1 - margin) * count - 0.5];
  const [w0, w1] = ends(grid.wales.length);
  const [c0, c1] = ends(grid.courses.length);
  return { corners: [surface(w0, c0), surface(w1, c0), surface(w1, c1), surface(w0, c1)] };
};
