import { type PhotoPoint, photoPoint } from '../../domain/coordinates';
import type { CountWindow, GridLine } from '../../domain/grid';
import { insideEnds } from '../../domain/lineNumbers';

/** The point of a polyline that is nearest to a place, with its distance, photo px. */
export interface Nearest {
  readonly point: PhotoPoint;
  readonly distancePx: number;
}

const nearestOnSegment = (a: PhotoPoint, b: PhotoPoint, p: PhotoPoint): PhotoPoint => {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2));
  return photoPoint(a.x + t * dx, a.y + t * dy);
};

/** The nearest point of a polyline to `p`; null for a polyline without points. */
export const nearestOnLine = (points: readonly PhotoPoint[], p: PhotoPoint): Nearest | null => {
  let best: Nearest | null = null;
  for (let i = 0; i < points.length; i += 1) {
    const a = points[i];
    if (!a) continue;
    const point = nearestOnSegment(a, points[i + 1] ?? a, p);
    const distancePx = Math.hypot(point.x - p.x, point.y - p.y);
    if (!best || distancePx < best.distancePx) best = { point, distancePx };
  }
  return best;
};

/** What a tap meant: a line, the place between two lines (or just beyond the last), or nothing near any line. */
export type TapMeaning =
  | { readonly kind: 'line'; readonly line: GridLine; readonly index: number }
  | { readonly kind: 'between' }
  | { readonly kind: 'away' };

/** A tap nearer to a line than this share of the gap between its neighbours means the line. */
const ON_LINE_SHARE = 0.3;
/** A tap farther out than this many line spacings means no line at all. */
const AWAY_SPACINGS = 2;

/** What a tap at `at` means among the lines of one family. */
export const meaningOfTap = (lines: readonly GridLine[], at: PhotoPoint): TapMeaning => {
  const near = lines
    .map((line, index) => ({
      line,
      index,
      distancePx: nearestOnLine(line.points, at)?.distancePx ?? Infinity,
    }))
    .sort((a, b) => a.distancePx - b.distancePx);
  const [first, second] = near;
  if (!first) return { kind: 'between' };
  if (!second) return first.distancePx < 12 ? { kind: 'line', ...first } : { kind: 'between' };
  const neighbours = [lines[first.index - 1], lines[first.index + 1]].flatMap((line) => (line ? [line] : []));
  const foot = nearestOnLine(first.line.points, at)?.point ?? at;
  const spacing = Math.min(
    ...neighbours.map((line) => nearestOnLine(line.points, foot)?.distancePx ?? Infinity),
  );
  if (first.distancePx > AWAY_SPACINGS * spacing) return { kind: 'away' };
  const share = first.distancePx / (first.distancePx + second.distancePx);
  return share < ON_LINE_SHARE ? { kind: 'line', line: first.line, index: first.index } : { kind: 'between' };
};

/** The middle of a line: its vertex half way along, where the cursor and the loupe look. */
export const middleOf = (line: GridLine, window: CountWindow | null): PhotoPoint | null => {
  const ends = window ? insideEnds(line.points, window) : null;
  if (!ends) return line.points[Math.floor(line.points.length / 2)] ?? null;
  const centre = photoPoint((ends.first.x + ends.last.x) / 2, (ends.first.y + ends.last.y) / 2);
  return nearestOnLine(line.points, centre)?.point ?? centre;
};

/** The point half way between two. */
export const midway = (a: PhotoPoint, b: PhotoPoint): PhotoPoint =>
  photoPoint((a.x + b.x) / 2, (a.y + b.y) / 2);

/** A window with one corner or one side carried along by a drag. Sides are numbered by their first corner. */
export const movedWindow = (
  window: CountWindow,
  handle: { readonly kind: 'corner' | 'side'; readonly index: number },
  by: { readonly dx: number; readonly dy: number },
): CountWindow => {
  const count = window.corners.length;
  const moves = (index: number): boolean =>
    index === handle.index || (handle.kind === 'side' && index === (handle.index + 1) % count);
  return {
    corners: window.corners.map((c, index) => (moves(index) ? photoPoint(c.x + by.dx, c.y + by.dy) : c)),
  };
};
