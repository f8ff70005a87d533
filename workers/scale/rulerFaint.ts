import type { GreyImage } from '../image';
import type { EdgeSegments } from './kind';
import { sampleAt } from './pictures';
import type { Polarity } from './ridges';
import type { Baseline } from './rulerBaseline';
import { linesOf } from './rulerEdges';
import { crestsOf, evenRunOf } from './rulerEvenness';

/** So many of the lines with most edge are looked at: a ruler's sides are long and clear even where its marks are not. */
const mostLines = 8;
/** A ruler's side is at least so long, share of the picture's long side. */
const leastLength = 0.15;
/** Stretches of the marks that are put together, from and to, shares of the picture's long side in from the ruler's side. */
const stretches = [
  [0.003, 0.008],
  [0.005, 0.016],
  [0.009, 0.03],
] as const;
/** Px in from the side that are left alone: its own blur. */
const leastFromPx = 1.5;
/** By how much marks may lean, px along the side for each px in from it: perspective makes right angles look slanting. */
const leans = [-0.14, 0, 0.14];
/** In pictures smaller than this, px, marks may stand two or three px apart, and two places a px are looked at. */
const smallPicturePx = 1100;
/** So many rows are handed back. */
const mostRows = 4;

/** A line and the side of it that marks lie on, as of a {@link Baseline}. */
export interface Side {
  readonly from: { readonly x: number; readonly y: number };
  readonly to: { readonly x: number; readonly y: number };
  readonly side: number;
}

/** The picture beside a line, straightened: one row for each px in from it, one place for every `step` px along it; what lies outside the picture is NaN. */
export const unrolled = (
  image: GreyImage,
  { from, to, side }: Side,
  depthPx: number,
  step: number,
): Float32Array[] => {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [dx, dy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  return Array.from({ length: Math.ceil(depthPx) + 1 }, (_, off) => {
    const [x0, y0] = [from.x - off * side * dy, from.y + off * side * dx];
    const row = new Float32Array(Math.floor(length / step));
    for (let i = 0; i < row.length; i++) row[i] = sampleAt(image, x0 + i * step * dx, y0 + i * step * dy);
    return row;
  });
};

/** The mean of the rows from one depth to another, each moved by so many places for each row as marks that lean would be. */
export const putTogether = (
  rows: readonly Float32Array[],
  from: number,
  to: number,
  lean: number,
): Float64Array => {
  const used = rows.slice(Math.round(from), Math.round(to) + 1);
  const middle = (used.length - 1) / 2;
  const out = new Float64Array(rows[0]?.length ?? 0);
  used.forEach((row, k) => {
    const shift = Math.round((k - middle) * lean);
    const end = Math.min(out.length, out.length - shift);
    for (let i = Math.max(0, -shift); i < end; i++) out[i] = (out[i] as number) + (row[i + shift] as number);
  });
  for (let i = 0; i < out.length; i++)
    out[i] = Number.isNaN(out[i]) ? 0 : (out[i] as number) / Math.max(1, used.length);
  return out;
};

/**
 * Rows of even marks along the clearest straight edges where single places on the marks drown in grain or blur: the picture is put together along the marks first,
 * as an eye does. Work px, the most even rows first.
 */
export const faintRows = (image: GreyImage, edges: EdgeSegments): Baseline[] => {
  const long = Math.max(image.widthPx, image.heightPx);
  const scale = edges.workPxPerPx;
  const step = long < smallPicturePx ? 0.5 : 1;
  const found: { readonly row: Baseline; readonly evenness: number }[] = [];
  const lines = linesOf(edges).filter((l) => (l.to - l.from) * scale > leastLength * long);
  for (const line of lines.slice(0, mostLines)) {
    const at = (t: number): { x: number; y: number } => ({
      x: (line.x + t * line.dx) * scale,
      y: (line.y + t * line.dy) * scale,
    });
    for (const side of [1, -1]) {
      const own: Side = { from: at(line.from), to: at(line.to), side };
      const rows = unrolled(image, own, (stretches[stretches.length - 1] ?? [0, 0])[1] * long, step);
      const readings = stretches.flatMap(([near, far]) =>
        leans.flatMap((lean) => {
          const [from, to] = [Math.max(leastFromPx, near * long), Math.max(leastFromPx + 2, far * long)];
          const profile = putTogether(rows, from, to, lean / step);
          return (['dark', 'light'] as const).flatMap((polarity: Polarity) => {
            const run = evenRunOf(crestsOf(profile, polarity === 'light' ? 1 : -1));
            return run === null ? [] : [{ from, to, lean, polarity, run }];
          });
        }),
      );
      const [best] = readings.sort((a, b) => b.run.evenGaps - a.run.evenGaps);
      if (best === undefined) continue;
      const { from, to, lean, polarity, run } = best;
      found.push({
        evenness: run.evenGaps,
        row: {
          ...own,
          polarity,
          tickPx: to,
          spacingPx: run.spacing * step,
          along: { metPx: (from + to) / 2, reachPx: (to - from) / 2, lean },
        },
      });
    }
  }
  return found
    .sort((a, b) => b.evenness - a.evenness)
    .slice(0, mostRows)
    .map(({ row }) => row);
};
