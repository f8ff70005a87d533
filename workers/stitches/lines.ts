import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { CountWindow, GridLine, StitchGrid } from '../../src/domain/grid';
import { gapRhythm } from './columns';
import type { Vec } from './raster';
import type { Lattice } from './smooth';

const asPhoto = (v: Vec): PhotoPoint => photoPoint(v.x, v.y);

/** Longest run of table places without a hole wider than `bridge`; holes inside it are bridged by straight pieces. */
const longestRun = (places: readonly (Vec | null)[], bridge: number): Vec[] => {
  let best: Vec[] = [];
  let run: Vec[] = [];
  let hole = 0;
  for (const place of places) {
    if (place === null) {
      hole++;
      continue;
    }
    if (hole > bridge) run = [];
    run.push(place);
    hole = 0;
    if (run.length > best.length) best = run;
  }
  return best;
};

const line = (
  id: string,
  kind: GridLine['kind'],
  places: readonly (Vec | null)[],
  toPhoto: (v: Vec) => Vec,
): GridLine | null => {
  const run = longestRun(places, 4);
  return run.length < 3
    ? null
    : { id, kind, points: run.map((p) => asPhoto(toPhoto(p))), origin: 'detected' };
};

const isLine = (l: GridLine | null): l is GridLine => l !== null;

/** The grid as polylines in photo px, wales left to right, courses top to bottom. */
export const gridOf = (lattice: Lattice, toPhoto: (v: Vec) => Vec): StitchGrid => {
  const wales = lattice.places
    .map((column, w) => {
      const gap = lattice.gaps[w] === true;
      const found = line(`w${w + 1}`, gap ? 'needleGap' : 'stitch', column, toPhoto);
      return found !== null && gap && lattice.furrow === 'purl'
        ? { ...found, holds: 'purl' as const }
        : found;
    })
    .filter(isLine);
  const courses = Array.from({ length: lattice.courses }, (_, c) =>
    line(
      `c${c + 1}`,
      'stitch',
      lattice.places.map((column) => column[c] ?? null),
      toPhoto,
    ),
  ).filter(isLine);
  return { wales, courses };
};

/**
 * Shares of the fabric left out on every side of the counted window: edges curl and are knitted unevenly. Where a corner of the first window was not
 * read, a smaller one is tried.
 */
const margins = [0.2, 0.25, 0.3, 0.35] as const;

/** Where the window begins and ends, in line numbers with parts: line i stands for the strip from i − ½ to i + ½. */
const ends = (count: number, margin: number): [number, number] => [
  margin * count - 0.5,
  (1 - margin) * count - 0.5,
];

/**
 * The same end to end over whole repeats: columns of a rib and beside needle gaps stand unevenly, so that a part of a repeat has another gauge than the
 * whole. Unchanged where no repeat is known or not even one has room.
 */
const wholeRepeats = (lattice: Lattice, [from, to]: [number, number]): [number, number] => {
  const every = lattice.perRepeat ?? gapRhythm(lattice.gaps) ?? 1;
  const length = every * Math.floor((to - from) / every + 1e-6);
  if (every === 1 || length === 0) return [from, to];
  const start = Math.round((from + to - length) / 2 - 0.5) + 0.5;
  return [start, start + length];
};

export interface WindowReading {
  readonly window: CountWindow;
  /** Distance between neighbouring wales that carry stitches, and between courses, photo px. */
  readonly pitchPx: { readonly wale: number; readonly course: number };
  /** Distance between neighbouring needle positions, photo px; the wale pitch where no needle is out. */
  readonly needlePx: number;
  /** Share of the window's places where a stitch was really seen; needle gaps do not count. */
  readonly seenShare: number;
}

/** A table of photo positions that can be read between its lines. */
type Table = readonly (readonly (Vec | null)[])[];

const between = (p: Vec | null | undefined, q: Vec | null | undefined, t: number): Vec | null => {
  if (p === null || p === undefined) return t > 0.999 ? (q ?? null) : null;
  if (q === null || q === undefined) return t < 0.001 ? p : null;
  return { x: p.x + t * (q.x - p.x), y: p.y + t * (q.y - p.y) };
};

const readAt = (table: Table, wale: number, course: number): Vec | null => {
  const w = Math.floor(wale);
  const c = Math.floor(course);
  const t = course - c;
  return between(
    between(table[w]?.[c], table[w]?.[c + 1], t),
    between(table[w + 1]?.[c], table[w + 1]?.[c + 1], t),
    wale - w,
  );
};

/** Mean length from one end of the window to the other along lines `across` it, over the steps between. */
const meanStep = (
  path: (along: number, across: number) => Vec | null,
  along: [number, number],
  across: [number, number],
): number | null => {
  const stops = [along[0]];
  for (let i = Math.ceil(along[0] + 1e-6); i < along[1]; i++) stops.push(i);
  stops.push(along[1]);
  let length = 0;
  let steps = 0;
  for (let a = Math.ceil(across[0]); a <= across[1]; a++) {
    for (let i = 1; i < stops.length; i++) {
      const from = stops[i - 1] as number;
      const to = stops[i] as number;
      const p = path(from, a);
      const q = path(to, a);
      if (p === null || q === null) continue;
      length += Math.hypot(q.x - p.x, q.y - p.y);
      steps += to - from;
    }
  }
  return steps === 0 ? null : length / steps;
};

/**
 * The counted window: the middle 60 % of the wales by the middle 60 % of the courses (or less, where its corners were not read), and the mean distance between neighbouring
 * wales and courses inside it, photo px. Null where the middle of the grid was not read or no wale carries stitches.
 */
export const windowOf = (lattice: Lattice, toPhoto: (v: Vec) => Vec): WindowReading | null => {
  const photo: Table = lattice.places.map((column) => column.map((p) => (p === null ? null : toPhoto(p))));
  for (const margin of margins) {
    const counted = windowWithin(lattice, photo, margin);
    if (counted !== null) return counted;
  }
  return null;
};

const windowWithin = (lattice: Lattice, photo: Table, margin: number): WindowReading | null => {
  const wales = wholeRepeats(lattice, ends(lattice.wales, margin));
  const courses = ends(lattice.courses, margin);
  const needle = meanStep((w, c) => readAt(photo, w, c), wales, courses);
  const course = meanStep((c, w) => readAt(photo, w, c), courses, wales);
  const corners = [
    readAt(photo, wales[0], courses[0]),
    readAt(photo, wales[1], courses[0]),
    readAt(photo, wales[1], courses[1]),
    readAt(photo, wales[0], courses[1]),
  ].flatMap((p) => (p === null ? [] : [asPhoto(p)]));
  const share = stitchShare(lattice.gaps);
  if (corners.length < 4 || needle === null || course === null || share === 0) return null;
  return {
    window: { corners },
    pitchPx: { wale: needle / share, course },
    needlePx: needle,
    seenShare: seenShareOf(lattice, wales, courses),
  };
};

/** Wales that carry stitches over needle positions, over whole repeats: from the first gap up to the last; over all of them where needles out lie in one place alone. */
const stitchShare = (gaps: readonly boolean[]): number => {
  const first = gaps.indexOf(true);
  const last = gaps.lastIndexOf(true);
  const within = gaps.slice(first, last);
  const repeats = first < 0 || within.every(Boolean) ? gaps : within;
  return 1 - repeats.filter(Boolean).length / repeats.length;
};

const seenShareOf = (lattice: Lattice, wales: [number, number], courses: [number, number]): number => {
  let seen = 0;
  let total = 0;
  for (let w = Math.ceil(wales[0]); w <= wales[1]; w++) {
    if (lattice.gaps[w] === true) continue;
    for (let c = Math.ceil(courses[0]); c <= courses[1]; c++) {
      total++;
      if (lattice.seen[w]?.[c] === true) seen++;
    }
  }
  return total === 0 ? 0 : seen / total;
};

/** Outline of the grid: along its first course, down its last wale, back along its last course and up its first wale. */
export const outlineOf = (grid: StitchGrid): PhotoPoint[] => {
  const top = grid.courses[0]?.points ?? [];
  const right = grid.wales[grid.wales.length - 1]?.points ?? [];
  const bottom = grid.courses[grid.courses.length - 1]?.points ?? [];
  const left = grid.wales[0]?.points ?? [];
  return [...top, ...right, ...[...bottom].reverse(), ...[...left].reverse()];
};
