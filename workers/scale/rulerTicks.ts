import type { Homography } from '../../src/domain/plane';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import type { Baseline } from './rulerBaseline';
import { nearShare } from './rulerEdges';
import { type NumberedMarks, numberMarks, type Peak } from './rulerNumbering';
import { type MarkRow, onEdge, peaksOf, placesAlong, profileAt, quantile } from './rulerPlaces';

/** The marks of a ruler, numbered. */
export interface FittedRuler {
  /** Places on marks (axis 0, index = number of the mark) and on the ruler's edge (axis 1, index 0), work px. */
  readonly sightings: readonly LineSighting[];
  /** First guess: work px → steps along the ruler and across it. */
  readonly toSteps: Homography;
  readonly first: number;
  readonly last: number;
  readonly seen: readonly number[];
  readonly side: number;
  /** Every how many marks one is longer; null when that could not be told. */
  readonly longPeriod: number | null;
  /** How much the marks differ from the ruler's face, grey levels: gaps between marks can be taken for marks, but differ less. */
  readonly contrast: number;
  /** How far in from the line most marks reach, work px. */
  readonly reachPx: number;
  readonly score: number;
}

/** Marks of a ruler are at most about this many times as long as they are apart; columns of fabric are much longer. */
const longestInSteps = 12;
/** Scores of rows of marks without longer ones among them, or with every second one longer: fabric, fringes, a comb. Too little to be trusted unasked. */
const plainRowShare = 0.28;
/** Printed marks differ from the ruler's face by so many grey levels at least; grain and stitches mostly by less. */
export const printedContrast = 15;
/** Marks of a ruler lie this evenly: to this share of a step and to so many px; rows of stitches wander by several times as much. */
const even = { steps: 0.02, px: 0.35 };

const leastTicks = 9;

/** How clear a crest must be to count as a mark where the row was found: beside the usual height, and where most crests are grain, beside that of the highest tenth. */
const clearLevels = [0.5, 0.9];
const clearShare = 0.35;

const patternShare = (longPeriod: number | null): number =>
  longPeriod === null || longPeriod === 2 ? plainRowShare : 0.85;

const numberedAt = (peaks: readonly Peak[], lengthPx: number, level: number): NumberedRow | null => {
  const inside = peaks.filter((p) => p.t > -3 && p.t < lengthPx + 3);
  const typical = quantile(
    inside.map((p) => p.height),
    level,
  );
  const clear = inside.filter((p) => p.height > clearShare * typical);
  if (clear.length < leastTicks) return null;
  const row = numberMarks(
    peaks.filter((p) => p.height > 0.85 * clearShare * typical),
    clear,
  );
  if (row === null || row.marks.size < leastTicks) return null;
  const share =
    Math.min(1, row.filled / 0.9) *
    Math.min(1, row.explained / 0.85) *
    Math.min(1, row.marks.size / 14) *
    Math.min(1, Math.hypot(even.steps, even.px / row.stepPx) / row.unevenness) ** 2 *
    Math.min(1, typical / printedContrast);
  return { ...row, typical, share };
};

interface NumberedRow extends NumberedMarks {
  /** Height of the crests that count as clear, grey levels. */
  readonly typical: number;
  /** How well the row stands for a ruler, its longer marks left aside. */
  readonly share: number;
}

/** A row this poor is not looked at closer. */
const leastShare = 0.1;

/**
 * Reads the marks that begin on a line: finds their spacing, numbers them and places points along each of them.
 * @returns null when there is no even row of marks.
 */
export const fitTicks = (image: GreyImage, line: Baseline): FittedRuler | null => {
  const length = Math.hypot(line.to.x - line.from.x, line.to.y - line.from.y);
  if (length < 40) return null;
  const frame: MarkRow = {
    image,
    x: line.from.x,
    y: line.from.y,
    dx: (line.to.x - line.from.x) / length,
    dy: (line.to.y - line.from.y) / length,
    side: line.side,
    sign: line.polarity === 'light' ? 1 : -1,
  };
  const step = 0.5;
  const from = -0.25 * length;
  const to = 1.25 * length;
  const off = Math.max(3, nearShare * line.tickPx);
  const peaks = peaksOf(profileAt(frame, from, to, off, step), step, 2.5).map((p) => ({
    ...p,
    t: p.t + from,
  }));
  const row = clearLevels
    .flatMap((level) => numberedAt(peaks, length, level) ?? [])
    .reduce<NumberedRow | null>((best, r) => (best === null || r.share > best.share ? r : best), null);
  if (row === null || row.share < leastShare) return null;
  const { marks } = row;
  const indices = [...marks.keys()].sort((a, b) => a - b);
  const first = indices[0] ?? 0;
  const last = indices[indices.length - 1] ?? 0;
  const toSteps = roughMap(frame, marks, first, last, line.side);
  const pitch = ((marks.get(last)?.t ?? 0) - (marks.get(first)?.t ?? 0)) / Math.max(1, last - first);
  const { sightings, lengths, longPeriod } = placesAlong(frame, marks, off, longestInSteps * pitch);
  if (toSteps === null || sightings.length < 2 * leastTicks) return null;
  const reachPx = quantile([...lengths.values()], 0.5);
  if (reachPx > 0.9 * longestInSteps * pitch) return null;
  return {
    sightings: [...sightings, ...onEdge(frame, marks, first, last)],
    toSteps,
    first,
    last,
    seen: indices,
    side: line.side,
    longPeriod,
    contrast: row.typical,
    reachPx,
    score: patternShare(longPeriod) * row.share,
  };
};

/** A square frame with the ruler's mean spacing, to start the plane fit from. */
const roughMap = (
  f: MarkRow,
  marks: ReadonlyMap<number, Peak>,
  first: number,
  last: number,
  side: number,
): Homography | null => {
  const a = marks.get(first);
  const b = marks.get(last);
  if (a === undefined || b === undefined || last === first) return null;
  const pitch = (b.t - a.t) / (last - first);
  const corner = (t: number, o: number): { x: number; y: number } => ({
    x: f.x + t * f.dx - o * side * f.dy,
    y: f.y + t * f.dy + o * side * f.dx,
  });
  const depth = 10;
  // The second axis runs along (−dy, dx), so that the plane is not mirrored.
  return homographyFromPoints(
    [corner(a.t, 0), corner(b.t, 0), corner(b.t, depth * pitch), corner(a.t, depth * pitch)],
    [
      { x: first, y: 0 },
      { x: last, y: 0 },
      { x: last, y: side * depth },
      { x: first, y: side * depth },
    ],
  );
};
