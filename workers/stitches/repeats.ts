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
  readonly partOfWale: PartMatch;
  /** Likewise along the wale. */
  readonly partOfCourse: PartMatch;
  /** Likewise half a wale and half a course away. */
  readonly halfOfBoth: number;
  /** Every second, third or fourth wale against those between: near 1 on a true grid, low in a rib and if a line is marked between two real ones. */
  readonly oddWales: EveryNth;
  readonly oddCourses: EveryNth;
  /** Stitches on even against those on odd places of a chequerboard. */
  readonly chequer: number;
}

/** Which part of a step the fabric matches itself best at, and how well. */
export interface PartMatch {
  readonly parts: 2 | 3;
  readonly alike: number;
}

/** What lies a part step away looks like a stitch from here on. Right grids stay below 0.78, wrong ones come to 0.95 and more. */
export const PART_IS_WHOLE = 0.85;

/** In which rhythm lines differ most from each other, and how alike they are then. */
export interface EveryNth {
  readonly every: 2 | 3 | 4;
  readonly alike: number;
}

/** Compares the mean stitch with its surroundings and with the mean of every second one. Null with too few stitches. */
export const repeatsOf = (image: Channels, lattice: Lattice): Repeats | null => {
  const all = seenPlaces(lattice);
  if (all.length < 20) return null;
  const mean: MeanOf = (n, m, keep) =>
    meanCell(
      image,
      all.filter(keep).flatMap((p) => placeAt(lattice, p, n, m) ?? []),
      6,
    );
  const every = (): boolean => true;
  const own = mean(0, 0, every);
  const beside = (n: number, m: number): number => alike(own, mean(n, m, every));
  return {
    partOfWale: best(beside(1 / 2, 0), beside(1 / 3, 0)),
    partOfCourse: best(beside(0, 1 / 2), beside(0, 1 / 3)),
    halfOfBoth: Math.max(beside(1 / 2, 1 / 2), beside(-1 / 2, 1 / 2)),
    oddWales: oddest(mean, 'wale'),
    oddCourses: oddest(mean, 'course'),
    chequer: alike(
      mean(0, 0, (p) => (p.wale + p.course) % 2 === 0),
      mean(0, 0, (p) => (p.wale + p.course) % 2 === 1),
    ),
  };
};

const best = (half: number, third: number): PartMatch =>
  half >= third ? { parts: 2, alike: half } : { parts: 3, alike: third };

type MeanOf = (n: number, m: number, keep: (p: Place) => boolean) => Float32Array | null;

/** Compares the mean pictures of the lines in each rhythm, all against all. */
const oddest = (mean: MeanOf, along: 'wale' | 'course'): EveryNth => {
  let found: EveryNth = { every: 2, alike: 1 };
  for (const every of [2, 3, 4] as const) {
    const pictures = Array.from({ length: every }, (_, k) =>
      mean(0, 0, (p) => p[along] % every === k),
    ).filter((picture) => picture !== null);
    for (const [i, a] of pictures.entries()) {
      for (const b of pictures.slice(i + 1)) {
        const likeness = alike(a, b);
        // A rhythm of four holds that of two: it must be clearly worse to be taken.
        if (likeness < found.alike - 0.02) found = { every, alike: likeness };
      }
    }
  }
  return found;
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
