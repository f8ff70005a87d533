import { placeAt } from './latticePlace';
import { alike, meanCell, withoutColumnMeans, withoutRowMeans } from './patches';
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

/** What lies a part step away looks like a stitch from here on: right grids of known photos stay below 0.3, wrong ones come to 0.95 and more. */
export const PART_IS_WHOLE = 0.6;
/** Likewise for the middle of the cell, where the next stitch's legs look much like a stitch: right grids come to 0.84. */
export const CENTRE_IS_WHOLE = 0.9;

/** Plain wales are at least this much alike, in whatever rhythm: right grids of known photos come to 0.97. */
export const WALES_ARE_ALIKE = 0.95;

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
      all.filter(keep).flatMap((p) => placeAt(lattice, p.wale + n, p.course + m) ?? []),
      6,
    );
  const every = (): boolean => true;
  const own = mean(0, 0, every);
  const matchAt = (n: number, m: number, only: (cell: Float32Array) => Float32Array): number => {
    const there = mean(n, m, every);
    return own === null || there === null ? 0 : alike(only(own), only(there));
  };
  const alongWale = (cell: Float32Array) => withoutColumnMeans(cell, image.count);
  const alongCourse = (cell: Float32Array) => withoutRowMeans(cell, image.count);
  const both = (cell: Float32Array) => alongWale(alongCourse(cell));
  return {
    partOfWale: betterPart(matchAt(1 / 2, 0, alongCourse), matchAt(1 / 3, 0, alongCourse)),
    partOfCourse: betterPart(matchAt(0, 1 / 2, alongWale), matchAt(0, 1 / 3, alongWale)),
    halfOfBoth: Math.max(matchAt(1 / 2, 1 / 2, both), matchAt(-1 / 2, 1 / 2, both)),
    oddWales: oddest(mean, 'wale'),
    oddCourses: oddest(mean, 'course'),
    chequer: alike(
      mean(0, 0, (p) => (p.wale + p.course) % 2 === 0),
      mean(0, 0, (p) => (p.wale + p.course) % 2 === 1),
    ),
  };
};

/** The better of the matches a half and a third of a step away. */
export const betterPart = (half: number, third: number): PartMatch =>
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
