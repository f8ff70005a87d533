import type { GreyImage } from '../image';
import type { EdgeSegments } from './kind';
import { sampleAt } from './pictures';
import type { Polarity } from './ridges';
import type { Baseline } from './rulerBaseline';
import { type Crest, crestsOf, type EvenRun, evenRunOf, overlapOf } from './rulerEvenness';

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
/** The ground of a ruler differs from what lies beside it by so many grey levels or less: more does not make it more of a side, less does less. */
const clearStep = 30;
/** So many lines are looked at, those that most edge lies on: threads of a cloth make many, of hardly any step. */
const mostLines = 24;
/** How far in from the ruler's side marks are looked for, shares of the picture's long side. */
const depths = [0.004, 0.008, 0.014];
const leastDepthPx = 3;
/** So many rows are handed back. */
const mostRows = 6;

/** Pieces of edge put together that lie on one straight line, those with most edge first. */
export const linesOf = ({ segments, map }: EdgeSegments): Line[] => {
  const long = Math.max(map.widthPx, map.heightPx);
  const lines: Line[] = [];
  const pieces = segments.filter((s) => s.lengthPx > shortestSide * long);
  for (const s of [...pieces].sort((a, b) => b.lengthPx - a.lengthPx)) {
    const off = (l: Line, x: number, y: number): number => Math.abs((x - l.x) * l.dy - (y - l.y) * l.dx);
    const support = s.lengthPx * Math.min(1, s.strength / clearStep);
    const own = lines.find((l) => off(l, s.x0, s.y0) < besidePx && off(l, s.x1, s.y1) < besidePx);
    if (own === undefined) {
      const [dx, dy] = [(s.x1 - s.x0) / s.lengthPx, (s.y1 - s.y0) / s.lengthPx];
      lines.push({ x: s.x0, y: s.y0, dx, dy, from: 0, to: s.lengthPx, support });
      continue;
    }
    const ends = [along(own, s.x0, s.y0), along(own, s.x1, s.y1)];
    own.from = Math.min(own.from, ...ends);
    own.to = Math.max(own.to, ...ends);
    own.support += support;
  }
  return lines.sort((a, b) => b.support - a.support).slice(0, mostLines);
};

const along = (l: Line, x: number, y: number): number => (x - l.x) * l.dx + (y - l.y) * l.dy;

/** In pictures smaller than this, px, the marks of a ruler may stand too near to each other for one place a px. */
const smallPicturePx = 1100;

/** Brightness along a line in the picture, `off` px beside it, the mean of two rows, at every `step` px. */
const besideLine = (
  image: GreyImage,
  from: { readonly x: number; readonly y: number },
  { dx, dy }: Line,
  lengthPx: number,
  off: number,
  step: number,
): Float64Array => {
  const profile = new Float64Array(Math.floor(lengthPx / step));
  const outward = Math.sign(off);
  for (let i = 0; i < profile.length; i++) {
    const x = from.x + i * step * dx - off * dy;
    const y = from.y + i * step * dy + off * dx;
    const sum =
      sampleAt(image, x - outward * dy, y + outward * dx) +
      sampleAt(image, x + outward * dy, y - outward * dx);
    profile[i] = Number.isNaN(sum) ? 0 : sum / 2;
  }
  return profile;
};

interface Reading {
  readonly side: number;
  readonly off: number;
  readonly polarity: Polarity;
  readonly run: EvenRun;
}

const polarities = ['dark', 'light'] as const satisfies readonly Polarity[];

/**
 * Rows of even marks along straight edges: a ruler's side is a long edge even where its marks are too short to be seen as lines, and beyond it there are no marks,
 * while threads and stitches go on to its other side. Work px, the most even rows first.
 */
export const baselinesAlongEdges = (image: GreyImage, edges: EdgeSegments): Baseline[] => {
  const long = Math.max(image.widthPx, image.heightPx);
  const scale = edges.workPxPerPx;
  const step = long < smallPicturePx ? 0.5 : 1;
  const rows: { baseline: Baseline; evenness: number }[] = [];
  for (const line of linesOf(edges)) {
    const from = { x: (line.x + line.from * line.dx) * scale, y: (line.y + line.from * line.dy) * scale };
    const to = { x: (line.x + line.to * line.dx) * scale, y: (line.y + line.to * line.dy) * scale };
    const lengthPx = (line.to - line.from) * scale;
    const readings: Reading[] = [];
    for (const side of [1, -1]) {
      for (const depth of depths) {
        const off = Math.max(leastDepthPx, depth * long);
        const profile = besideLine(image, from, line, lengthPx, side * off, step);
        for (const polarity of polarities) {
          const crests: Crest[] = crestsOf(profile, polarity === 'light' ? 1 : -1);
          const run = evenRunOf(crests);
          if (run !== null) readings.push({ side, off, polarity, run });
        }
      }
    }
    for (const side of [1, -1]) {
      const [best] = readings
        .filter((r) => r.side === side)
        .map((reading) => {
          const beyond = readings
            .filter((r) => r.side !== side && r.polarity === reading.polarity)
            .map(({ run }) => run.evenness * overlapOf(run, reading.run));
          return { reading, evenness: reading.run.evenness - Math.max(0, ...beyond) };
        })
        .sort((a, b) => b.evenness - a.evenness);
      if (best === undefined || best.evenness <= 0) continue;
      const { off, polarity, run } = best.reading;
      const baseline = { from, to, side, polarity, tickPx: off / nearShare, spacingPx: run.spacing * step };
      rows.push({ evenness: best.evenness, baseline });
    }
  }
  return rows
    .sort((a, b) => b.evenness - a.evenness)
    .slice(0, mostRows)
    .map(({ baseline }) => baseline);
};

/** Share of a short mark's length in from its beginning at which marks are looked for first. */
export const nearShare = 0.3;
