import { type PhotoPoint, photoPoint } from './coordinates';
import type { GridLine, LineFamily, StitchGrid } from './grid';

/** Directions of a family of lines: they run along (tx, ty); (nx, ny) is square to that and points to growing line numbers. */
export interface FamilyFrame {
  readonly tx: number;
  readonly ty: number;
  readonly nx: number;
  readonly ny: number;
}

/** The lines of a family. */
export const linesOf = (grid: StitchGrid, family: LineFamily): readonly GridLine[] =>
  family === 'wale' ? grid.wales : grid.courses;

/** Mean direction of the chords of all lines, a unit vector; null when there is none. */
export const meanDirection = (lines: readonly GridLine[]): { x: number; y: number } | null => {
  let x = 0;
  let y = 0;
  for (const { points } of lines) {
    const first = points[0];
    const last = points[points.length - 1];
    if (first === undefined || last === undefined) continue;
    // A line that was drawn the other way round must not cancel the rest.
    const dx = last.x - first.x;
    const dy = last.y - first.y;
    const sign = dx * x + dy * y < 0 ? -1 : 1;
    x += sign * dx;
    y += sign * dy;
  }
  const length = Math.hypot(x, y);
  return length > 0 ? { x: x / length, y: y / length } : null;
};

/**
 * Directions of a family, from its own lines, or square to the other family when it has none.
 * @returns null when the grid has no lines at all.
 */
export const familyFrame = (grid: StitchGrid, family: LineFamily): FamilyFrame | null => {
  const lines = linesOf(grid, family);
  const other = meanDirection(linesOf(grid, family === 'wale' ? 'course' : 'wale'));
  const own = meanDirection(lines);
  if (own === null) {
    if (other === null) return null;
    // Wales run to the left of square from courses seen with y down, courses to the right from wales.
    return family === 'wale'
      ? { tx: -other.y, ty: other.x, nx: other.x, ny: other.y }
      : { tx: other.y, ty: -other.x, nx: other.x, ny: other.y };
  }
  const n = { x: own.y, y: -own.x };
  const first = lines[0]?.points[0];
  const last = lines[lines.length - 1]?.points[0];
  const spread =
    lines.length > 1 && first !== undefined && last !== undefined
      ? { x: last.x - first.x, y: last.y - first.y }
      : // With one line alone: upright fabric has growing wales to the right and growing courses downward.
        (other ?? (family === 'wale' ? { x: 1, y: 0 } : { x: 0, y: 1 }));
  const sign = spread.x * n.x + spread.y * n.y < 0 ? -1 : 1;
  return { tx: own.x, ty: own.y, nx: sign * n.x, ny: sign * n.y };
};

/** A point's coordinate along the lines. */
export const alongOf = (frame: FamilyFrame, p: { readonly x: number; readonly y: number }): number =>
  p.x * frame.tx + p.y * frame.ty;
/** A point's coordinate across the lines. */
export const acrossOf = (frame: FamilyFrame, p: { readonly x: number; readonly y: number }): number =>
  p.x * frame.nx + p.y * frame.ny;

/** Where a line lies across, at the coordinate `t` along; beyond its ends it stays where the end is. */
export const acrossAt = (frame: FamilyFrame, points: readonly PhotoPoint[], t: number): number => {
  let before: PhotoPoint | undefined;
  let nearest: PhotoPoint | undefined;
  let gap = Infinity;
  for (const point of points) {
    const here = alongOf(frame, point);
    if (before !== undefined) {
      const there = alongOf(frame, before);
      if ((there <= t && t <= here) || (here <= t && t <= there)) {
        const share = here === there ? 0 : (t - there) / (here - there);
        return acrossOf(frame, before) + share * (acrossOf(frame, point) - acrossOf(frame, before));
      }
    }
    if (Math.abs(here - t) < gap) {
      gap = Math.abs(here - t);
      nearest = point;
    }
    before = point;
  }
  return nearest === undefined ? Number.NaN : acrossOf(frame, nearest);
};

/** How far each line of a family lies from `at`, across, signed: negative before it, positive behind it, photo px. */
export const offsetsFrom = (
  frame: FamilyFrame,
  lines: readonly GridLine[],
  at: PhotoPoint,
): readonly number[] => {
  const t = alongOf(frame, at);
  const n = acrossOf(frame, at);
  return lines.map(({ points }) => acrossAt(frame, points, t) - n);
};

/** Index of the line nearest to a place and its distance across, px; null without lines. */
export const nearestLine = (
  grid: StitchGrid,
  family: LineFamily,
  at: PhotoPoint,
): { readonly index: number; readonly distancePx: number } | null => {
  const frame = familyFrame(grid, family);
  if (frame === null) return null;
  const offsets = offsetsFrom(frame, linesOf(grid, family), at);
  let index = -1;
  let distancePx = Infinity;
  offsets.forEach((offset, i) => {
    if (Math.abs(offset) >= distancePx) return;
    index = i;
    distancePx = Math.abs(offset);
  });
  return index < 0 ? null : { index, distancePx };
};

/** A line moved by `px` square to its family. */
export const shifted = (
  frame: FamilyFrame,
  points: readonly PhotoPoint[],
  px: number,
): readonly PhotoPoint[] => points.map((p) => photoPoint(p.x + px * frame.nx, p.y + px * frame.ny));

/**
 * The line that lies `share` of the way from line `a` to line `b` (0 is a, 1 is b; outside that it is carried on), with the points of
 * `a`. Where b does not reach, the distance at b's end is kept.
 */
export const blended = (
  frame: FamilyFrame,
  a: readonly PhotoPoint[],
  b: readonly PhotoPoint[],
  share: number,
): readonly PhotoPoint[] => {
  const ends = b.map((p) => alongOf(frame, p));
  const low = Math.min(...ends);
  const high = Math.max(...ends);
  return a.map((p) => {
    const t = Math.min(Math.max(alongOf(frame, p), low), high);
    const apart = acrossAt(frame, b, t) - acrossAt(frame, a, t);
    return photoPoint(p.x + share * apart * frame.nx, p.y + share * apart * frame.ny);
  });
};
