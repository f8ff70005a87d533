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
const trials = 1500;
const leastMarks = 9;

/**
 * Rows of short parallel marks that begin on one straight line, as a ruler's do; best first, one for each polarity at most.
 */
export const findBaselines = (lines: LineSegments): Baseline[] => {
  const long = Math.max(lines.widthPx, lines.heightPx);
  const found: (Baseline & { count: number })[] = [];
  for (const polarity of ['dark', 'light'] as const) {
    const ends = endsOf(lines.segments[polarity].filter((s) => s.lengthPx < longestMark * long));
    const random = seededRandom(99);
    let best: { inside: End[]; ux: number; uy: number } | null = null;
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
    if (best === null || best.inside.length < leastMarks) continue;
    found.push({
      ...baselineFrom(best.inside, best.ux, best.uy, polarity, lines.workPxPerPx),
      count: best.inside.length,
    });
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
  };
};
