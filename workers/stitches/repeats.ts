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
  /** Every n-th wale, up to the eighth, against those between: near 1 on a true grid, low in a rib and if a line is marked between two real ones. */
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

/** Courses likewise, unless stripes come in step: known photos come to 0.93. */
export const COURSES_ARE_ALIKE = 0.87;

/** In which rhythm lines differ most from each other, and how alike they are then. */
export interface EveryNth {
  readonly every: number;
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
    oddWales: oddest(all, mean, 'wale'),
    oddCourses: oddest(all, mean, 'course'),
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
const oddest = (all: readonly Place[], mean: MeanOf, along: 'wale' | 'course'): EveryNth => {
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
  const long = longRhythm(all, mean, along);
  return long !== null && long.alike < found.alike - 0.02 ? long : found;
};

/** Rhythms looked for by how alike lines are that lie so far apart: longer ones need more lines than a swatch has. */
const longest = 8;
/** Lines one rhythm apart are at least this much more alike than any lines nearer to each other. */
const rhythmStandsOut = 0.1;

/** The likeliest rhythm of five to eight lines and how alike the least alike lines in it are; null where none stands out. */
const longRhythm = (all: readonly Place[], mean: MeanOf, along: 'wale' | 'course'): EveryNth | null => {
  const last = Math.max(...all.map((p) => p[along]));
  const lines = Array.from({ length: last + 1 }, (_, k) => mean(0, 0, (p) => p[along] === k));
  const apart = Array.from({ length: longest }, (_, i) => {
    const pairs = lines.flatMap((a, k) => {
      const b = lines[k + i + 1] ?? null;
      return a === null || b === null ? [] : [alike(a, b)];
    });
    return pairs.length < 4 ? -1 : pairs.reduce((sum, q) => sum + q, 0) / pairs.length;
  });
  const standOut = apart.map((q, i) => {
    return i < 4 ? 0 : q - Math.max(...apart.slice(0, i));
  });
  const most = Math.max(...standOut);
  if (most < rhythmStandsOut) return null;
  const every = standOut.indexOf(most) + 1;
  const pictures = Array.from({ length: every }, (_, k) => mean(0, 0, (p) => p[along] % every === k)).filter(
    (picture) => picture !== null,
  );
  const pairs = pictures.flatMap((a, i) => pictures.slice(i + 1).map((b) => alike(a, b)));
  return { every, alike: Math.min(1, ...pairs) };
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
