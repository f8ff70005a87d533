import type { GreyImage } from '../image';
import type { EdgeSegments } from './kind';
import { sampleAt } from './pictures';
import type { Polarity } from './ridges';
import type { Baseline } from './rulerBaseline';

interface Line {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  from: number;
  to: number;
  support: number;
}

/** Pieces of edge shorter than this share of the picture are no side of a ruler. */
const shortestSide = 0.07;
/** Pieces belong to one line where both their ends lie so near to it, px of the picture that they are in. */
const besidePx = 2.5;
/** So many lines are looked at, those that most edge lies on. */
const mostLines = 24;
/** How far in from the ruler's side marks are looked for, shares of the picture's long side. */
const depths = [0.004, 0.008, 0.014];
const leastDepthPx = 3;
/** A row has at least so many even gaps in sequence, and so large a share of all its gaps is even. */
const leastEven = 7;
const leastShare = 0.5;
/** So many rows are handed back. */
const mostRows = 4;

/** Pieces of edge put together that lie on one straight line, those with most edge first. */
const linesOf = ({ segments, map }: EdgeSegments): Line[] => {
  const long = Math.max(map.widthPx, map.heightPx);
  const lines: Line[] = [];
  const pieces = segments.filter((s) => s.lengthPx > shortestSide * long);
  for (const s of [...pieces].sort((a, b) => b.lengthPx - a.lengthPx)) {
    const off = (l: Line, x: number, y: number): number => Math.abs((x - l.x) * l.dy - (y - l.y) * l.dx);
    const own = lines.find((l) => off(l, s.x0, s.y0) < besidePx && off(l, s.x1, s.y1) < besidePx);
    if (own === undefined) {
      const [dx, dy] = [(s.x1 - s.x0) / s.lengthPx, (s.y1 - s.y0) / s.lengthPx];
      lines.push({ x: s.x0, y: s.y0, dx, dy, from: 0, to: s.lengthPx, support: s.lengthPx });
      continue;
    }
    const ends = [along(own, s.x0, s.y0), along(own, s.x1, s.y1)];
    own.from = Math.min(own.from, ...ends);
    own.to = Math.max(own.to, ...ends);
    own.support += s.lengthPx;
  }
  return lines.sort((a, b) => b.support - a.support).slice(0, mostLines);
};

const along = (l: Line, x: number, y: number): number => (x - l.x) * l.dx + (y - l.y) * l.dy;

/** Places and heights of crests that stand out from half a mark's width to either side. */
const crests = (profile: Float64Array, sign: number): { at: number; height: number }[] => {
  const r = 3;
  const out: { at: number; height: number }[] = [];
  const bend = (i: number): number =>
    sign * ((profile[i] ?? 0) - ((profile[i - r] ?? 0) + (profile[i + r] ?? 0)) / 2);
  let [a, b] = [0, bend(r)];
  for (let i = r; i < profile.length - r - 1; i++) {
    const c = bend(i + 1);
    if (b > 2 && b > a && b >= c) out.push({ at: i + (a - c) / (2 * (a - 2 * b + c)), height: b });
    [a, b] = [b, c];
  }
  return out;
};

/** Crests of printed marks are about so high, grey levels; those of stitches and grain mostly less, and less of a ruler then. */
const printedHeight = 40;

/** How much two gaps in sequence may differ, as a share, and px that each place is uncertain by. */
const gapSlack = { share: 0.12, px: 0.6 };

/** The even gaps in sequence among crests, where the faint ones are left away at the level that leaves most. */
const evennessOf = (all: readonly { at: number; height: number }[]): number => {
  const heights = all.map(({ height }) => height).sort((a, b) => a - b);
  let best = 0;
  for (const share of [0.4, 0.7, 0.9]) {
    const least = 0.4 * (heights[Math.floor(share * heights.length)] ?? 0);
    const places = all.filter(({ height }) => height > least).map(({ at }) => at);
    let even = 0;
    for (let i = 2; i < places.length; i++) {
      const [p, q, r] = [places[i - 2] ?? 0, places[i - 1] ?? 0, places[i] ?? 0];
      if (Math.abs(r - 2 * q + p) < gapSlack.share * (q - p) + gapSlack.px && q - p > 3.5) even++;
    }
    const ratio = even / Math.max(1, places.length - 2);
    const clear = Math.min(1, (heights[heights.length >> 1] ?? 0) / printedHeight);
    if (even >= leastEven && ratio > leastShare) best = Math.max(best, even * ratio * clear);
  }
  return best;
};

/**
 * Rows of even marks along straight edges: a ruler's side is a long edge even where its marks are too short to be seen as lines. Work px, the
 * most even rows first.
 */
export const baselinesAlongEdges = (image: GreyImage, edges: EdgeSegments): Baseline[] => {
  const long = Math.max(image.widthPx, image.heightPx);
  const scale = edges.workPxPerPx;
  const rows: { baseline: Baseline; evenness: number }[] = [];
  for (const line of linesOf(edges)) {
    const from = { x: (line.x + line.from * line.dx) * scale, y: (line.y + line.from * line.dy) * scale };
    const to = { x: (line.x + line.to * line.dx) * scale, y: (line.y + line.to * line.dy) * scale };
    const lengthPx = (line.to - line.from) * scale;
    for (const side of [1, -1]) {
      let best: { baseline: Baseline; evenness: number } | null = null;
      for (const depth of depths) {
        const off = Math.max(leastDepthPx, depth * long);
        const profile = new Float64Array(Math.floor(lengthPx));
        for (let i = 0; i < profile.length; i++) {
          let sum = 0;
          for (const o of [off - 1, off + 1])
            sum += sampleAt(
              image,
              from.x + i * line.dx - o * side * line.dy,
              from.y + i * line.dy + o * side * line.dx,
            );
          profile[i] = Number.isNaN(sum) ? 0 : sum / 2;
        }
        for (const polarity of ['dark', 'light'] as const satisfies readonly Polarity[]) {
          const evenness = evennessOf(crests(profile, polarity === 'light' ? 1 : -1));
          if (evenness > (best?.evenness ?? 0))
            best = { evenness, baseline: { from, to, side, polarity, tickPx: off / nearShare } };
        }
      }
      if (best !== null) rows.push(best);
    }
  }
  return rows
    .sort((a, b) => b.evenness - a.evenness)
    .slice(0, mostRows)
    .map(({ baseline }) => baseline);
};

/** Share of a short mark's length in from its beginning at which marks are looked for first. */
export const nearShare = 0.3;
