import type { LineSegments } from './kind';
import type { Polarity } from './ridges';
import type { Segment } from './segments';
import { seededRandom } from './vanishing';

/** The line on which the marks of a ruler begin, in work px. */
export interface Baseline {
  readonly from: { readonly x: number; readonly y: number };
  readonly to: { readonly x: number; readonly y: number };
  /** On which side of from → to the marks lie: 1 left of it seen with y down (along (−dy, dx)), −1 on the other. */
  readonly side: number;
  readonly polarity: Polarity;
  /** Length of the short ones among the marks that were met, work px. */
  readonly tickPx: number;
  /** Distance of neighbouring marks as far as it is known, work px. */
  readonly spacingPx: number | null;
  /** Where marks are put together along themselves: how far in they are met, how far to either side of that, px, and by how much they lean. */
  readonly along?: { readonly metPx: number; readonly reachPx: number; readonly lean: number };
}

interface End {
  readonly x: number;
  readonly y: number;
  /** Direction into the mark. */
  readonly dx: number;
  readonly dy: number;
  readonly segment: Segment;
}

const endsOf = (segments: readonly Segment[]): End[] =>
  segments.flatMap((segment) => {
    const dx = (segment.x1 - segment.x0) / segment.lengthPx;
    const dy = (segment.y1 - segment.y0) / segment.lengthPx;
    return [
      { x: segment.x0, y: segment.y0, dx, dy, segment },
      { x: segment.x1, y: segment.y1, dx: -dx, dy: -dy, segment },
    ];
  });

/** Marks are short pieces; anything longer than this share of the picture is no mark. */
const longestMark = 0.14;
const trials = 600;
const leastMarks = 9;
/** So many rows of marks are handed back for each polarity, different ones. */
const mostRows = 3;
/** What ends this near to the picture's border, px, was cut off by it. */
const borderPx = 5;
/** Marks of one row stand no further apart than this share of the picture's long side, those of them that are seen. */
const neighbourShare = 0.07;
/** A mark has at least so many others beside it that begin level with it. */
const leastNeighbours = 3;

/** Ends that have others of the same direction beside them, level with them: the marks of a ruler among grain and fabric. */
const inRows = (ends: readonly End[], reachPx: number): End[] => {
  const cells = new Map<number, End[]>();
  const cellOf = (x: number, y: number): number => Math.floor(x / reachPx) * 10_000 + Math.floor(y / reachPx);
  for (const e of ends) {
    const cell = cells.get(cellOf(e.x, e.y));
    if (cell === undefined) cells.set(cellOf(e.x, e.y), [e]);
    else cell.push(e);
  }
  const level = (a: End, b: End): boolean => {
    if (a.segment === b.segment || a.dx * b.dx + a.dy * b.dy < 0.985) return false;
    const [x, y] = [b.x - a.x, b.y - a.y];
    const apart = Math.hypot(x, y);
    return apart > 2 && apart < reachPx && Math.abs(x * a.dx + y * a.dy) < 0.3 * apart + 1;
  };
  return ends.filter((a) => {
    let count = 0;
    for (let u = -1; u <= 1; u++) {
      for (let v = -1; v <= 1; v++) {
        for (const b of cells.get(cellOf(a.x + u * reachPx, a.y + v * reachPx)) ?? []) {
          if (level(a, b)) count++;
          if (count >= leastNeighbours) return true;
        }
      }
    }
    return false;
  });
};

interface Row {
  readonly inside: readonly End[];
  readonly ux: number;
  readonly uy: number;
}

/** The straight row on which most ends begin; null when there is none. */
const bestRow = (ends: readonly End[], long: number, random: () => number): Row | null => {
  let best: Row | null = null;
  for (let trial = 0; trial < trials; trial++) {
    const a = ends[Math.floor(random() * ends.length)];
    const b = ends[Math.floor(random() * ends.length)];
    if (a === undefined || b === undefined || a.segment === b.segment) continue;
    if (a.dx * b.dx + a.dy * b.dy < 0.97) continue;
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    if (length < 0.08 * long) continue;
    const ux = (b.x - a.x) / length;
    const uy = (b.y - a.y) / length;
    if (Math.abs(ux * a.dx + uy * a.dy) > 0.35) continue;
    const inside = ends.filter(
      (e) => Math.abs((e.x - a.x) * uy - (e.y - a.y) * ux) < 1.6 && e.dx * a.dx + e.dy * a.dy > 0.96,
    );
    if (best === null || inside.length > best.inside.length) best = { inside, ux, uy };
  }
  return best;
};

/**
 * Rows of short parallel marks that begin on one straight line, as a ruler's do; those with most marks first, a few for each polarity at most.
 */
export const findBaselines = (lines: LineSegments): Baseline[] => {
  const long = Math.max(lines.widthPx, lines.heightPx);
  const cutOff = (e: End): boolean =>
    Math.min(e.x, e.y, lines.widthPx - e.x, lines.heightPx - e.y) < borderPx;
  const found: (Baseline & { count: number })[] = [];
  for (const polarity of ['dark', 'light'] as const) {
    const short = lines.segments[polarity].filter((s) => s.lengthPx < longestMark * long);
    let ends = inRows(
      endsOf(short).filter((e) => !cutOff(e)),
      neighbourShare * long,
    );
    const random = seededRandom(99);
    for (let row = 0; row < mostRows; row++) {
      const best = bestRow(ends, long, random);
      if (best === null || best.inside.length < leastMarks) break;
      found.push({
        ...baselineFrom(best.inside, best.ux, best.uy, polarity, lines.workPxPerPx),
        count: best.inside.length,
      });
      const taken = new Set(best.inside);
      ends = ends.filter((e) => !taken.has(e));
    }
  }
  return found.sort((a, b) => b.count - a.count);
};

const baselineFrom = (
  inside: readonly End[],
  ux: number,
  uy: number,
  polarity: Polarity,
  scale: number,
): Baseline => {
  const along = (e: End): number => e.x * ux + e.y * uy;
  const n = inside.length;
  const mt = inside.reduce((s, e) => s + along(e), 0) / n;
  const across = (e: End): number => -e.x * uy + e.y * ux;
  const mo = inside.reduce((s, e) => s + across(e), 0) / n;
  const top = inside.reduce((s, e) => s + (along(e) - mt) * (across(e) - mo), 0);
  const bottom = inside.reduce((s, e) => s + (along(e) - mt) ** 2, 0);
  const slope = bottom > 0 ? top / bottom : 0;
  const at = (t: number): { x: number; y: number } => {
    const o = mo + slope * (t - mt);
    return { x: (t * ux - o * uy) * scale, y: (t * uy + o * ux) * scale };
  };
  const places = inside.map(along).sort((a, b) => a - b);
  const lengths = inside.map((e) => e.segment.lengthPx).sort((a, b) => a - b);
  const first = inside[0];
  const side = first === undefined ? 1 : Math.sign(-first.dx * uy + first.dy * ux);
  return {
    from: at(places[0] ?? 0),
    to: at(places[n - 1] ?? 0),
    side,
    polarity,
    tickPx: (lengths[Math.floor(0.15 * n)] ?? 10) * scale,
    spacingPx: null,
  };
};
