import type { Homography } from '../../src/domain/plane';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import type { Baseline } from './rulerBaseline';
import { lineThrough } from './rulerBegins';
import { nearShare } from './rulerEdges';
import { inCompany, judgedMarks, type NumberedMarks, numberMarks, type Peak } from './rulerNumbering';
import { type FollowedMarks, onEdge, peaksOf, placesAlong, quantile } from './rulerPlaces';
import { type MarkRow, profileAt } from './rulerRow';

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
  /** Usual distance of neighbouring marks, work px. */
  readonly stepPx: number;
  /** Whether single places on marks drowned in grain or blur, so that the marks were put together along themselves. */
  readonly isFaint: boolean;
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
/** Of marks that are put together along themselves less is asked: more of them speak at once, and their longer ones must show. */
const faint = { contrast: 7, px: 0.5 };

const leastTicks = 9;

/** How clear a crest must be to count as a mark where the row was found: beside the usual height, and where most crests are grain, beside that of the highest tenth. */
const clearLevels = [0.5, 0.9];
const clearShare = 0.35;

const patternShare = (longPeriod: number | null): number =>
  longPeriod === null || longPeriod === 2 ? plainRowShare : 0.85;

const numberedAt = (peaks: readonly Peak[], frame: RowFrame, level: number): NumberedRow | null => {
  const inside = peaks.filter((p) => p.t > -3 && p.t < frame.lengthPx + 3);
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
  return row === null || row.marks.size < leastTicks ? null : weighed(row, clear, typical, frame);
};

/** A numbered row with how well it stands for a ruler. */
const weighed = (
  row: NumberedMarks,
  clear: readonly Peak[],
  typical: number,
  { isFaint, enlarged }: RowFrame,
): NumberedRow => {
  const px = (isFaint ? faint.px : even.px) * enlarged;
  const share =
    Math.min(1, row.filled / 0.9) *
    Math.min(1, row.explained / 0.85) *
    Math.min(1, row.marks.size / 14) *
    Math.min(1, Math.hypot(even.steps, px / row.stepPx) / row.unevenness) ** 2 *
    Math.min(1, typical / (isFaint ? faint.contrast : printedContrast));
  return { ...row, clear, typical, share };
};

interface NumberedRow extends NumberedMarks {
  /** The crests that stand out where the row was found. */
  readonly clear: readonly Peak[];
  /** Height of the crests that count as clear, grey levels. */
  readonly typical: number;
  /** How well the row stands for a ruler, its longer marks left aside. */
  readonly share: number;
}

/** A row this poor is not looked at closer. */
const leastShare = 0.1;

/** Marks are looked for beyond both ends of the line too, this many times its length: pieces of one edge may lie far apart. */
const beyondEnds = 1;

/** A row with the length of the line that it was met on and how many times the picture was enlarged. */
type RowFrame = MarkRow & { readonly lengthPx: number; readonly enlarged: number };

const frameOn = (image: GreyImage, line: Baseline, enlarged: number): RowFrame => {
  const lengthPx = Math.hypot(line.to.x - line.from.x, line.to.y - line.from.y);
  return {
    image,
    lengthPx,
    x: line.from.x,
    y: line.from.y,
    dx: (line.to.x - line.from.x) / lengthPx,
    dy: (line.to.y - line.from.y) / lengthPx,
    side: line.side,
    sign: line.polarity === 'light' ? 1 : -1,
    spacingPx: line.spacingPx,
    reachPx: Math.max(1, Math.round(line.along?.reachPx ?? 1)),
    lean: line.along?.lean ?? 0,
    isFaint: line.along !== undefined,
    enlarged,
  };
};

/** The clear row of marks along a line; null where there is none. */
const rowOn = (frame: RowFrame, off: number): NumberedRow | null => {
  const step = 0.5;
  const from = -beyondEnds * frame.lengthPx;
  const profile = profileAt(frame, from, (1 + beyondEnds) * frame.lengthPx, off, step);
  const peaks = peaksOf(profile, step, 2.5).map((p) => ({ ...p, t: p.t + from }));
  const row = clearLevels
    .flatMap((level) => numberedAt(peaks, frame, level) ?? [])
    .reduce<NumberedRow | null>((best, r) => (best === null || r.share > best.share ? r : best), null);
  if (row === null || row.share < leastShare) return null;
  const marks = endingHere(frame, row.marks, off);
  if (marks === null) return null;
  // What lies over the ruler may have stitches where a mark would be, as uneven as they are: the row is judged by what ends here.
  const ending = inCompany(marks);
  const again = ending.size < leastTicks ? null : judgedMarks(ending, row.clear);
  return again && weighed(again, row.clear, row.typical, frame);
};

/** How far in from the line marks are looked for first, px. */
const metAt = (line: Baseline): number => line.along?.metPx ?? Math.max(3, nearShare * line.tickPx);

/**
 * Reads the marks that begin on a line: finds their spacing, numbers them and places points along each of them. Where the marks begin tells better than the line
 * where the ruler's edge lies: they are read again from there if that is elsewhere.
 * @param enlarged how many times the picture was enlarged: places in it are uncertain by as many more px.
 * @returns null when there is no even row of marks.
 */
export const fitTicks = (image: GreyImage, line: Baseline, enlarged = 1): FittedRuler | null => {
  const read = readFrom(image, line, enlarged);
  if (read === null || read.edge === null) return read?.ruler ?? null;
  const again = readFrom(image, read.edge, enlarged)?.ruler ?? null;
  const kept =
    again !== null &&
    again.seen.length >= keptShare * read.ruler.seen.length &&
    again.score >= keptShare * read.ruler.score;
  return kept ? again : read.ruler;
};

/** Read again from its edge a row keeps its marks, all but so many, and stands as much for a ruler. */
const keptShare = 0.8;

const readFrom = (
  image: GreyImage,
  line: Baseline,
  enlarged: number,
): { ruler: FittedRuler; edge: Baseline | null } | null => {
  const frame = frameOn(image, line, enlarged);
  if (frame.lengthPx < 40) return null;
  const off = metAt(line);
  const row = rowOn(frame, off);
  if (row === null) return null;
  const { marks } = row;
  const indices = [...marks.keys()].sort((a, b) => a - b);
  const first = indices[0] ?? 0;
  const last = indices[indices.length - 1] ?? 0;
  const toSteps = roughMap(frame, marks, first, last, line.side);
  const pitch = ((marks.get(last)?.t ?? 0) - (marks.get(first)?.t ?? 0)) / Math.max(1, last - first);
  const { sightings, lengths, begins, longPeriod } = placesAlong(frame, marks, off, longestInSteps * pitch);
  if (toSteps === null || sightings.length < 2 * leastTicks) return null;
  const reachPx = quantile([...lengths.values()], 0.5);
  if (reachPx > 0.9 * longestInSteps * pitch) return null;
  if (frame.isFaint && longPeriod === null) return null;
  const ruler = {
    sightings: [...sightings, ...onEdge(frame, marks, first, last)],
    toSteps,
    first,
    last,
    seen: indices,
    side: line.side,
    longPeriod,
    contrast: row.typical,
    reachPx,
    stepPx: Math.abs(pitch),
    isFaint: frame.isFaint,
    score: patternShare(longPeriod) * row.share,
  };
  return { ruler, edge: edgeElsewhere(frame, line, begins, reachPx) };
};

/** The line that most marks begin on, where that is not the one that they were met on. */
const edgeElsewhere = (
  f: MarkRow,
  line: Baseline,
  begins: FollowedMarks['begins'],
  reachPx: number,
): Baseline | null => {
  const edge = lineThrough(begins);
  if (edge === null) return null;
  const places = begins.map(({ t }) => t);
  const [from, to] = [Math.min(...places), Math.max(...places)];
  const offAt = (t: number): number => edge.off + edge.slope * t;
  if (Math.max(Math.abs(offAt(from)), Math.abs(offAt(to))) < elsewherePx) return null;
  const at = (t: number): { x: number; y: number } => ({
    x: f.x + t * f.dx - offAt(t) * f.side * f.dy,
    y: f.y + t * f.dy + offAt(t) * f.side * f.dx,
  });
  const shortPx = Math.max(8, reachPx - offAt((from + to) / 2));
  return { ...line, from: at(from), to: at(to), tickPx: Math.min(line.tickPx, shortPx) };
};

/** A line that lies off this far at either end, px, is not the one that the marks begin on. */
const elsewherePx = 4;

/** How much further beyond the line than marks are met within it is looked for what goes on there, px, and how near to a mark's place that lies, px and steps. */
const beyond = { px: 4, nearPx: 1, nearSteps: 0.15 };
/** So high beside the mark itself is what goes on beyond, and so large a share of the marks goes on where they are none of a ruler. */
const goingOn = { height: 0.4, share: 0.6 };

/** The marks that do not cross the line on which a ruler's marks begin, as lines of a mat, threads and stitches do; null where most of them cross it. */
const endingHere = (
  f: MarkRow,
  marks: ReadonlyMap<number, Peak>,
  off: number,
): ReadonlyMap<number, Peak> | null => {
  const places = [...marks].sort(([, a], [, b]) => a.t - b.t);
  const [from, to] = [(places[0]?.[1].t ?? 0) - 10, (places[places.length - 1]?.[1].t ?? 0) + 10];
  const near = Math.max(beyond.nearPx, (beyond.nearSteps * (to - from)) / places.length);
  const crossing = peaksOf(profileAt(f, from, to, -(off + beyond.px), 0.5), 0.5, 2.5);
  const ending = new Map<number, Peak>();
  let i = 0;
  for (const [index, mark] of places) {
    while (i < crossing.length && from + (crossing[i]?.t ?? 0) < mark.t - near) i++;
    let crosses = false;
    for (let k = i; k < crossing.length && from + (crossing[k]?.t ?? 0) <= mark.t + near; k++)
      crosses ||= (crossing[k]?.height ?? 0) > goingOn.height * mark.height;
    if (!crosses) ending.set(index, mark);
  }
  return ending.size < (1 - goingOn.share) * places.length ? null : ending;
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
