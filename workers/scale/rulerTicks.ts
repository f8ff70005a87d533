import type { Homography } from '../../src/domain/plane';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import { findComb } from './comb';
import { sampleAt } from './pictures';
import type { Baseline } from './rulerBaseline';

/** The marks of a ruler, numbered. */
export interface FittedRuler {
  /** Places on marks (axis 0, index = number of the mark) and on the line where they begin (axis 1, index 0), work px. */
  readonly sightings: readonly LineSighting[];
  /** Those of them that lie where all marks are: further in there are only the long ones, and whatever is printed between them. */
  readonly near: readonly LineSighting[];
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
  readonly score: number;
}

interface Peak {
  readonly t: number;
  readonly height: number;
}

/** Crests of a sampled profile, sub-sample, in the units of `step`. */
const peaksOf = (values: readonly number[], step: number, least: number): Peak[] => {
  const out: Peak[] = [];
  for (let i = 2; i + 2 < values.length; i++) {
    const [a, b, c] = [values[i - 1] ?? 0, values[i] ?? 0, values[i + 1] ?? 0];
    if (!(b > least && b > a && b >= c)) continue;
    const bend = a - 2 * b + c;
    out.push({ t: (i + (bend < 0 ? (a - c) / (2 * bend) : 0)) * step, height: b });
  }
  return out;
};

interface Frame {
  readonly image: GreyImage;
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  readonly side: number;
  readonly sign: number;
}

/** How much darker (or lighter) than its surroundings the picture is along the ruler, `off` px into the marks. */
const profileAt = (f: Frame, from: number, to: number, off: number, step: number): number[] => {
  const raw: number[] = [];
  for (let t = from; t <= to; t += step) {
    let sum = 0;
    for (let k = -1; k <= 1; k++) {
      const o = (off + k) * f.side;
      sum += sampleAt(f.image, f.x + t * f.dx - o * f.dy, f.y + t * f.dy + o * f.dx);
    }
    raw.push(f.sign * (Number.isNaN(sum) ? 0 : sum / 3));
  }
  // Second difference over about a mark's width: flat ground and slow shading vanish.
  const r = Math.max(1, Math.round(2.5 / step));
  return raw.map((v, i) => v - ((raw[i - r] ?? v) + (raw[i + r] ?? v)) / 2);
};

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

/** Numbers peaks along the ruler: from the middle outwards, each next one where the local spacing puts it, so that perspective is followed. */
const numbered = (peaks: readonly Peak[], pitch: number): Map<number, Peak> => {
  const out = new Map<number, Peak>();
  const start = peaks[peaks.length >> 1];
  if (start === undefined) return out;
  out.set(0, start);
  for (const direction of [1, -1]) {
    let at = start.t;
    let spacing = pitch;
    let index = 0;
    let missed = 0;
    while (missed < 4) {
      const expected = at + direction * spacing * (1 + missed);
      const near = peaks.reduce<Peak | null>(
        (best, p) =>
          Math.abs(p.t - expected) < Math.abs((best?.t ?? Number.POSITIVE_INFINITY) - expected) ? p : best,
        null,
      );
      if (near !== null && Math.abs(near.t - expected) < 0.22 * spacing) {
        index += direction * (1 + missed);
        spacing += 0.3 * (Math.abs(near.t - at) / (1 + missed) - spacing);
        at = near.t;
        missed = 0;
        out.set(index, near);
      } else missed++;
    }
  }
  return out;
};

/** Value below which the share `q` of sorted values lies. */
const quantile = (values: readonly number[], q: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))] ?? 0;

/** Every how many marks a longer one comes, told by how far into the ruler each mark reaches; a few odd ones are let pass. */
const longPeriodOf = (lengths: ReadonlyMap<number, number>): number | null => {
  let best: number | null = null;
  for (const period of [2, 4, 5, 8, 10, 16]) {
    for (let phase = 0; phase < period; phase++) {
      const long: number[] = [];
      const short: number[] = [];
      for (const [k, length] of lengths)
        (((k % period) + period) % period === phase ? long : short).push(length);
      if (long.length < 2 || short.length < 2) continue;
      const longer = quantile(long, 0.15) - quantile(short, 0.88);
      if (longer > Math.max(1, 0.12 * quantile(short, 0.5))) best = period;
    }
  }
  return best;
};

/** Marks of a ruler are at most about this many times as long as they are apart; columns of fabric are much longer. */
const longestInSteps = 12;
/** Scores of rows of marks without longer ones among them: fabric, fringes, a comb. */
const plainRowShare = 0.35;

const leastTicks = 9;

/**
 * Reads the marks that begin on a line: finds their spacing, numbers them and places points along each of them.
 * @returns null when there is no even row of marks.
 */
export const fitTicks = (image: GreyImage, line: Baseline): FittedRuler | null => {
  const length = Math.hypot(line.to.x - line.from.x, line.to.y - line.from.y);
  if (length < 40) return null;
  const frame: Frame = {
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
  const near = profileAt(frame, from, to, Math.max(3, 0.3 * line.tickPx), step);
  const peaks = peaksOf(near, step, 2.5).map((p) => ({ ...p, t: p.t + from }));
  const inside = peaks.filter((p) => p.t > -3 && p.t < length + 3);
  const typical = median(inside.map((p) => p.height));
  const clear = inside.filter((p) => p.height > 0.35 * typical);
  if (clear.length < leastTicks) return null;
  const gaps = clear.slice(1).map((p, i) => p.t - (clear[i]?.t ?? 0));
  const comb = findComb(
    clear.map((p) => ({ at: p.t, weight: 1 })),
    Math.max(4, 0.6 * median(gaps)),
    2.2 * median(gaps),
  );
  const marks = numbered(
    peaks.filter((p) => p.height > 0.3 * typical),
    comb !== null && comb.agreement > 0.6 ? comb.pitch : median(gaps),
  );
  if (marks.size < leastTicks) return null;
  const indices = [...marks.keys()].sort((a, b) => a - b);
  const first = indices[0] ?? 0;
  const last = indices[indices.length - 1] ?? 0;
  const filled = marks.size / (last - first + 1);
  const explained = [...marks.values()].filter((p) => p.t > -3 && p.t < length + 3).length / clear.length;
  const { sightings, near: nearest, lengths } = placesAlong(frame, marks, line.tickPx);
  const toSteps = roughMap(frame, marks, first, last, line.side);
  const pitch = ((marks.get(last)?.t ?? 0) - (marks.get(first)?.t ?? 0)) / Math.max(1, last - first);
  if (toSteps === null || sightings.length < 20) return null;
  if (quantile([...lengths.values()], 0.5) > longestInSteps * pitch) return null;
  const longPeriod = longPeriodOf(lengths);
  return {
    sightings: [...sightings, ...onBaseline(frame, marks)],
    near: [...nearest, ...onBaseline(frame, marks)],
    toSteps,
    first,
    last,
    seen: indices,
    side: line.side,
    longPeriod,
    contrast: typical,
    score:
      (longPeriod === null ? plainRowShare : 0.85) *
      Math.min(1, filled / 0.9) *
      Math.min(1, explained / 0.85) *
      Math.min(1, marks.size / 14),
  };
};

/** Points along every mark, from its beginning inwards as long as it goes on, and how long each one is. */
const placesAlong = (
  f: Frame,
  marks: ReadonlyMap<number, Peak>,
  tickPx: number,
): { sightings: LineSighting[]; near: LineSighting[]; lengths: Map<number, number> } => {
  const sightings: LineSighting[] = [];
  const near: LineSighting[] = [];
  const lengths = new Map<number, number>();
  for (const [index, mark] of marks) {
    let centre = mark.t;
    let reached = 0;
    const reach = 4;
    for (let off = 3; off < 12 * tickPx; off += 2) {
      const values = profileAt(f, centre - reach, centre + reach, off, 0.5);
      const peak = peaksOf(values, 0.5, 0.4 * mark.height).reduce<Peak | null>(
        (best, p) =>
          Math.abs(p.t - reach) < Math.abs((best?.t ?? Number.POSITIVE_INFINITY) - reach) ? p : best,
        null,
      );
      if (peak === null || Math.abs(peak.t - reach) > 1.5) break;
      centre += 0.5 * (peak.t - reach);
      reached = off;
      const t = centre + 0.5 * (peak.t - reach);
      const o = off * f.side;
      const seen: LineSighting = {
        x: f.x + t * f.dx - o * f.dy,
        y: f.y + t * f.dy + o * f.dx,
        axis: 0,
        index,
        group: index,
      };
      sightings.push(seen);
      if (off <= Math.max(3, commonShare * tickPx)) near.push(seen);
    }
    lengths.set(index, reached);
  }
  return { sightings, near, lengths };
};

/** Share of a short mark's length along which all marks are there. */
const commonShare = 0.8;

const onBaseline = (f: Frame, marks: ReadonlyMap<number, Peak>): LineSighting[] =>
  [...marks.values()].map((p) => ({
    x: f.x + p.t * f.dx,
    y: f.y + p.t * f.dy,
    axis: 1,
    index: 0,
    group: 1e6,
  }));

/** A square frame with the ruler's mean spacing, to start the plane fit from. */
const roughMap = (
  f: Frame,
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
