import { type PhotoPoint, photoPoint } from '../../domain/coordinates';
import { clipSegment, type HalfPlanes } from '../../domain/countWindow';

/** A polyline cut where it crosses the edges of a window. */
export interface PartedLine {
  readonly inside: readonly (readonly PhotoPoint[])[];
  readonly outside: readonly (readonly PhotoPoint[])[];
}

/** Cuts a polyline at the edges of a convex window. The parts, put together, are the whole line. */
export const partLine = (points: readonly PhotoPoint[], window: HalfPlanes): PartedLine => {
  const parts = { inside: [] as PhotoPoint[][], outside: [] as PhotoPoint[][] };
  let open: { readonly where: keyof PartedLine; readonly points: PhotoPoint[] } | null = null;
  const add = (where: keyof PartedLine, a: PhotoPoint, b: PhotoPoint): void => {
    if (open?.where !== where) {
      open = { where, points: [a] };
      parts[where].push(open.points);
    }
    open.points.push(b);
  };
  const share = new Float64Array(2);
  for (let i = 1; i < points.length; i += 1) {
    const a = points[i - 1];
    const b = points[i];
    if (!a || !b) continue;
    if (!clipSegment(window, a.x, a.y, b.x, b.y, share)) {
      add('outside', a, b);
      continue;
    }
    const [from = 0, to = 1] = share;
    const at = (f: number): PhotoPoint => photoPoint(a.x + (b.x - a.x) * f, a.y + (b.y - a.y) * f);
    const enters = from > 0 ? at(from) : a;
    const leaves = to < 1 ? at(to) : b;
    if (from > 0) add('outside', a, enters);
    add('inside', enters, leaves);
    if (to < 1) add('outside', leaves, b);
  }
  return parts;
};
