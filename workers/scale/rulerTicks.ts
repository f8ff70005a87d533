import type { Homography } from '../../src/domain/plane';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { Baseline } from './rulerBaseline';
import { nearShare } from './rulerEdges';
import { type NumberedMarks, numberMarks, type Peak } from './rulerNumbering';
import { longPeriodOf } from './rulerPattern';
import { measureSide } from './sides';

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
  readonly score: number;
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

/** Value below which the share `q` of the values lies. */
const quantile = (values: readonly number[], q: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))] ?? 0;

/** Marks of a ruler are at most about this many times as long as they are apart; columns of fabric are much longer. */
const longestInSteps = 12;
/** Scores of rows of marks without longer ones among them, or with every second one longer: fabric, fringes, a comb. Too little to be trusted unasked. */
const plainRowShare = 0.28;
/** Printed marks differ from the ruler's face by so many grey levels at least; grain and stitches mostly by less. */
const printedContrast = 15;
/** Marks of a ruler lie this evenly: to this share of a step and to so many px; rows of stitches wander by several times as much. */
const even = { steps: 0.02, px: 0.35 };

const leastTicks = 9;
/** Group of the places on the ruler's edge; marks are grouped by their numbers. */
const edgeGroup = 1e6;

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
  if (quantile([...lengths.values()], 0.5) > 0.9 * longestInSteps * pitch) return null;
  return {
    sightings: [...sightings, ...onEdge(frame, marks, first, last)],
    toSteps,
    first,
    last,
    seen: indices,
    side: line.side,
    longPeriod,
    contrast: row.typical,
    score: patternShare(longPeriod) * row.share,
  };
};

/** Share of a mark's length along which its place is taken. */
const ownShare = 0.9;
/** Shares of the marks' lengths that are about those of the short ones. */
const shortShare = 0.15;

/** Length that the longest marks are cut to, px, that of the next shorter ones: numerals stand beyond the longest and may go on as if they were marks. */
const freeOfNumerals = (lengths: ReadonlyMap<number, number>, longPeriod: number | null): number =>
  quantile([...lengths.values()], longPeriod === null ? shortShare : 1 - 1.5 / longPeriod);

/** So many places are kept of every mark, each the mean of a stretch of it: a fit to many more says the same and takes its time. */
const placesPerMark = 4;

const joinedPlaces = (
  found: readonly { readonly seen: LineSighting; readonly off: number }[],
): LineSighting[] => {
  const byMark = new Map<number, { seen: LineSighting; off: number }[]>();
  for (const place of found) {
    const own = byMark.get(place.seen.index);
    if (own === undefined) byMark.set(place.seen.index, [place]);
    else own.push(place);
  }
  return [...byMark.values()].flatMap((places) => {
    places.sort((a, b) => a.off - b.off);
    const count = Math.min(placesPerMark, places.length);
    return Array.from({ length: count }, (_, k): LineSighting => {
      const from = Math.floor((k * places.length) / count);
      const part = places.slice(from, Math.floor(((k + 1) * places.length) / count));
      const mean = (value: (s: LineSighting) => number): number =>
        part.reduce((sum, { seen }) => sum + value(seen) / part.length, 0);
      return {
        ...(part[0] ?? (places[0] as { seen: LineSighting })).seen,
        x: mean((s) => s.x),
        y: mean((s) => s.y),
      };
    });
  });
};

/** Points along every mark, outwards and inwards from where it was met, how far in each one reaches, px, and every how many a longer one comes. */
const placesAlong = (
  f: Frame,
  marks: ReadonlyMap<number, Peak>,
  metPx: number,
  mostPx: number,
): { sightings: LineSighting[]; lengths: Map<number, number>; longPeriod: number | null } => {
  const found: { seen: LineSighting; off: number }[] = [];
  const lengths = new Map<number, number>();
  for (const [index, mark] of marks) {
    lengths.set(index, metPx);
    for (const direction of [1, -1]) {
      let centre = mark.t;
      for (let off = direction > 0 ? metPx : metPx - 2; off > 1 && off < mostPx; off += 2 * direction) {
        const peak = nearestCrest(f, centre, off, 0.4 * mark.height);
        if (peak === null) break;
        centre += 0.5 * (peak - centre);
        if (direction > 0) lengths.set(index, off);
        const t = peak;
        const o = off * f.side;
        const seen: LineSighting = {
          x: f.x + t * f.dx - o * f.dy,
          y: f.y + t * f.dy + o * f.dx,
          axis: 0,
          index,
          group: index,
        };
        found.push({ seen, off });
      }
    }
  }
  const longPeriod = longPeriodOf(lengths);
  const most = freeOfNumerals(lengths, longPeriod);
  const own = (index: number): number => Math.max(metPx, ownShare * Math.min(most, lengths.get(index) ?? 0));
  return {
    sightings: joinedPlaces(found.filter(({ seen, off }) => off <= own(seen.index))),
    lengths,
    longPeriod,
  };
};

/** Where a mark goes on, `off` px into the ruler; null where it does not. */
const nearestCrest = (f: Frame, centre: number, off: number, least: number): number | null => {
  const reach = 4;
  const peak = peaksOf(
    profileAt(f, centre - reach, centre + reach, off, 0.5),
    0.5,
    least,
  ).reduce<Peak | null>(
    (best, p) => (Math.abs(p.t - reach) < Math.abs((best?.t ?? Number.POSITIVE_INFINITY) - reach) ? p : best),
    null,
  );
  return peak === null || Math.abs(peak.t - reach) > 1.5 ? null : centre + peak.t - reach;
};

/** How far off the line the marks were met on the ruler's edge may lie, px, and the share of it that must show. */
const edgeSearchPx = 8;
const leastEdgeSeen = 0.6;
/** So many places on the edge are handed on. */
const edgePlaces = 12;

/**
 * Places on the ruler's edge, square to which its marks are printed. The line that the marks were met on follows the edge only roughly, and a hundredth of a
 * radian between it and square to the marks would be taken for several hundredths of tilt: where the edge is not seen, only one place ties the plane down.
 */
const onEdge = (f: Frame, marks: ReadonlyMap<number, Peak>, first: number, last: number): LineSighting[] => {
  const [from, to] = [marks.get(first)?.t ?? 0, marks.get(last)?.t ?? 0].sort((p, q) => p - q);
  const at = (t: number, o: number): { x: number; y: number } => ({
    x: f.x + t * f.dx - o * f.side * f.dy,
    y: f.y + t * f.dy + o * f.side * f.dx,
  });
  const [a, b] = [from ?? 0, to ?? 0];
  const options = { searchPx: edgeSearchPx, leaveOut: 0.01, footPx: 0 };
  const edge = measureSide([f.image], at(a, 0), at(b, 0), at((a + b) / 2, 20), options);
  const places =
    edge === null || edge.seenShare < leastEdgeSeen
      ? [at((a + b) / 2, 0)]
      : edge.places.filter((_, i) => i % Math.max(1, Math.floor(edge.places.length / edgePlaces)) === 0);
  return places.map(({ x, y }) => ({ x, y, axis: 1, index: 0, group: edgeGroup }));
};

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
