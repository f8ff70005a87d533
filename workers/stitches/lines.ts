import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { CountWindow, GridLine, StitchGrid } from '../../src/domain/grid';
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

const line = (id: string, places: readonly (Vec | null)[], toPhoto: (v: Vec) => Vec): GridLine | null => {
  const run = longestRun(places, 4);
  return run.length < 3
    ? null
    : { id, kind: 'stitch', points: run.map((p) => asPhoto(toPhoto(p))), origin: 'detected' };
};

const isLine = (l: GridLine | null): l is GridLine => l !== null;

/** The grid as polylines in photo px, wales left to right, courses top to bottom. */
export const gridOf = (lattice: Lattice, toPhoto: (v: Vec) => Vec): StitchGrid => {
  const wales = lattice.places.map((column, w) => line(`w${w + 1}`, column, toPhoto)).filter(isLine);
  const courses = Array.from({ length: lattice.courses }, (_, c) =>
    line(
      `c${c + 1}`,
      lattice.places.map((column) => column[c] ?? null),
      toPhoto,
    ),
  ).filter(isLine);
  return { wales, courses };
};

/** Share of the fabric left out on every side of the counted window: edges curl and are knitted unevenly. */
const margin = 0.2;

const firstAndLast = (count: number): [number, number] => {
  const first = Math.round(margin * (count - 1));
  return [first, Math.max(first + 1, count - 1 - first)];
};

export interface WindowReading {
  readonly window: CountWindow;
  readonly pitchPx: { readonly wale: number; readonly course: number };
  /** Share of the window's places where a stitch was really seen. */
  readonly seenShare: number;
}

/**
 * The counted window: the middle 60 % of the wales by the middle 60 % of the courses, and the mean distance between neighbouring
 * wales and courses inside it, photo px. Null where the middle of the grid was not read.
 */
export const windowOf = (lattice: Lattice, toPhoto: (v: Vec) => Vec): WindowReading | null => {
  const [w0, w1] = firstAndLast(lattice.wales);
  const [c0, c1] = firstAndLast(lattice.courses);
  let walePx = 0;
  let waleCount = 0;
  let coursePx = 0;
  let courseCount = 0;
  let seen = 0;
  let total = 0;
  const photo = lattice.places.map((column) => column.map((p) => (p === null ? null : toPhoto(p))));
  for (let w = w0; w <= w1; w++) {
    for (let c = c0; c <= c1; c++) {
      total++;
      if (lattice.seen[w]?.[c] === true) seen++;
      const here = photo[w]?.[c] ?? null;
      const right = w < w1 ? (photo[w + 1]?.[c] ?? null) : null;
      const below = c < c1 ? (photo[w]?.[c + 1] ?? null) : null;
      if (here === null) continue;
      if (right !== null) {
        walePx += Math.hypot(right.x - here.x, right.y - here.y);
        waleCount++;
      }
      if (below !== null) {
        coursePx += Math.hypot(below.x - here.x, below.y - here.y);
        courseCount++;
      }
    }
  }
  const corners = [photo[w0]?.[c0], photo[w1]?.[c0], photo[w1]?.[c1], photo[w0]?.[c1]].flatMap((p) =>
    p === null || p === undefined ? [] : [asPhoto(p)],
  );
  if (corners.length < 4 || waleCount === 0 || courseCount === 0) return null;
  return {
    window: { corners },
    pitchPx: { wale: walePx / waleCount, course: coursePx / courseCount },
    seenShare: seen / total,
  };
};

/** Outline of the grid: along its first course, down its last wale, back along its last course and up its first wale. */
export const outlineOf = (grid: StitchGrid): PhotoPoint[] => {
  const top = grid.courses[0]?.points ?? [];
  const right = grid.wales[grid.wales.length - 1]?.points ?? [];
  const bottom = grid.courses[grid.courses.length - 1]?.points ?? [];
  const left = grid.wales[0]?.points ?? [];
  return [...top, ...right, ...[...bottom].reverse(), ...[...left].reverse()];
};
