import { alike, meanCell } from './patches';
import type { Vec } from './raster';
import type { Lattice } from './smooth';
import type { Channels } from './template';

/**
 * How alike the fabric is at parts and multiples of the grid's steps, −1 to 1. Pictures are averaged over all stitches first, along the grid
 * itself, so that colour along the yarn, bow and tilt do not matter.
 */
export interface Repeats {
  /** A stitch against what lies a half or a third of a wale beside it: near 1 if a marked stitch holds two or three. */
  readonly partOfWale: number;
  /** Likewise along the wale. */
  readonly partOfCourse: number;
  /** Likewise half a wale and half a course away. */
  readonly halfOfBoth: number;
  /** Every second wale against those between: near 1 on a true grid, low if a line is marked between two real ones. */
  readonly secondWales: number;
  readonly secondCourses: number;
  /** Stitches on even against those on odd places of a chequerboard. */
  readonly chequer: number;
}

/** Compares the mean stitch with its surroundings and with the mean of every second one. Null with too few stitches. */
export const repeatsOf = (image: Channels, lattice: Lattice): Repeats | null => {
  const all = seenPlaces(lattice);
  if (all.length < 20) return null;
  const mean = (n: number, m: number, keep: (p: Place) => boolean): Float32Array | null =>
    meanCell(
      image,
      all.filter(keep).flatMap((p) => placeAt(lattice, p, n, m) ?? []),
      6,
    );
  const every = (): boolean => true;
  const own = mean(0, 0, every);
  const beside = (n: number, m: number): number => alike(own, mean(n, m, every));
  return {
    partOfWale: Math.max(beside(1 / 2, 0), beside(1 / 3, 0)),
    partOfCourse: Math.max(beside(0, 1 / 2), beside(0, 1 / 3)),
    halfOfBoth: Math.max(beside(1 / 2, 1 / 2), beside(-1 / 2, 1 / 2)),
    secondWales: alike(
      mean(0, 0, (p) => p.wale % 2 === 0),
      mean(0, 0, (p) => p.wale % 2 === 1),
    ),
    secondCourses: alike(
      mean(0, 0, (p) => p.course % 2 === 0),
      mean(0, 0, (p) => p.course % 2 === 1),
    ),
    chequer: alike(
      mean(0, 0, (p) => (p.wale + p.course) % 2 === 0),
      mean(0, 0, (p) => (p.wale + p.course) % 2 === 1),
    ),
  };
};

interface Place {
  readonly wale: number;
  readonly course: number;
}

/** Stitches seen, needle gaps and the outermost lines left out. */
const seenPlaces = (lattice: Lattice): Place[] => {
  const all: Place[] = [];
  for (let wale = 1; wale < lattice.wales - 1; wale++) {
    for (let course = 1; course < lattice.courses - 1; course++) {
      if (lattice.seen[wale]?.[course] === true && lattice.gaps[wale] !== true) all.push({ wale, course });
    }
  }
  return all;
};

/** The place `n` wales and `m` courses from a stitch, read between the grid's places. */
const placeAt = (lattice: Lattice, { wale, course }: Place, n: number, m: number): Vec | null => {
  const w = Math.floor(wale + n);
  const c = Math.floor(course + m);
  const s = wale + n - w;
  const t = course + m - c;
  const p = lattice.places[w]?.[c] ?? null;
  if (p === null) return null;
  const right = s === 0 ? p : (lattice.places[w + 1]?.[c] ?? null);
  const below = t === 0 ? p : (lattice.places[w]?.[c + 1] ?? null);
  if (right === null || below === null) return null;
  return {
    x: p.x + s * (right.x - p.x) + t * (below.x - p.x),
    y: p.y + s * (right.y - p.y) + t * (below.y - p.y),
  };
};
