import { placeAt } from './latticePlace';
import {
  addCell,
  alike,
  type CellSum,
  meanCell,
  meanOf,
  noCells,
  together,
  withoutColumnMeans,
  withoutRowMeans,
} from './patches';
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

/** Fewer stitches than this make no mean picture. */
const leastCells = 6;

/** Compares the mean stitch with its surroundings and with the mean of every second one. Null with too few stitches. */
export const repeatsOf = (image: Channels, lattice: Lattice): Repeats | null => {
  const all = seenPlaces(lattice);
  if (all.length < 20) return null;
  const sums = sumsOf(image, lattice, all);
  const own = meanOf(together(image, sums.chequer), leastCells);
  const matchAt = (n: number, m: number, only: (cell: Float32Array) => Float32Array): number => {
    const places = all.flatMap((p) => placeAt(lattice, p.wale + n, p.course + m) ?? []);
    const there = meanCell(image, places, leastCells);
    return own === null || there === null ? 0 : alike(only(own), only(there));
  };
  const alongWale = (cell: Float32Array) => withoutColumnMeans(cell, image.count);
  const alongCourse = (cell: Float32Array) => withoutRowMeans(cell, image.count);
  const both = (cell: Float32Array) => alongWale(alongCourse(cell));
  return {
    partOfWale: betterPart(matchAt(1 / 2, 0, alongCourse), matchAt(1 / 3, 0, alongCourse)),
    partOfCourse: betterPart(matchAt(0, 1 / 2, alongWale), matchAt(0, 1 / 3, alongWale)),
    halfOfBoth: Math.max(matchAt(1 / 2, 1 / 2, both), matchAt(-1 / 2, 1 / 2, both)),
    oddWales: oddest(image, sums.wales),
    oddCourses: oddest(image, sums.courses),
    chequer: alike(meanOf(sums.chequer[0], leastCells), meanOf(sums.chequer[1], leastCells)),
  };
};

/** The stitches added up line by line, and by the two colours of a chequerboard. */
interface Sums {
  readonly wales: readonly CellSum[];
  readonly courses: readonly CellSum[];
  readonly chequer: readonly [CellSum, CellSum];
}

const sumsOf = (image: Channels, lattice: Lattice, all: readonly Place[]): Sums => {
  const lines = (count: number): CellSum[] => Array.from({ length: count }, () => noCells(image));
  const wales = lines(lattice.wales);
  const courses = lines(lattice.courses);
  const chequer = [noCells(image), noCells(image)] as const;
  for (const { wale, course } of all) {
    const place = lattice.places[wale]?.[course] ?? null;
    if (place === null) continue;
    addCell(wales[wale] as CellSum, image, place);
    addCell(courses[course] as CellSum, image, place);
    addCell(chequer[(wale + course) % 2 === 0 ? 0 : 1], image, place);
  }
  return { wales, courses, chequer };
};

/** The better of the matches a half and a third of a step away. */
export const betterPart = (half: number, third: number): PartMatch =>
  half >= third ? { parts: 2, alike: half } : { parts: 3, alike: third };

/** Compares the mean pictures of the lines in each rhythm, all against all. */
const oddest = (image: Channels, lines: readonly CellSum[]): EveryNth => {
  let found: EveryNth = { every: 2, alike: 1 };
  for (const every of [2, 3, 4] as const) {
    for (const likeness of likenessesIn(inRhythm(image, lines, every))) {
      // A rhythm of four holds that of two: it must be clearly worse to be taken.
      if (likeness < found.alike - 0.02) found = { every, alike: likeness };
    }
  }
  const long = longRhythm(image, lines);
  return long !== null && long.alike < found.alike - 0.02 ? long : found;
};

/** Mean pictures of the lines that lie so many apart, one for each place in the rhythm that has enough stitches. */
const inRhythm = (image: Channels, lines: readonly CellSum[], every: number): Float32Array[] =>
  Array.from({ length: every }, (_, k) =>
    meanOf(
      together(
        image,
        lines.filter((_line, i) => i % every === k),
      ),
      leastCells,
    ),
  ).filter((picture) => picture !== null);

/** How alike the pictures are, each with each. */
const likenessesIn = (pictures: readonly Float32Array[]): number[] =>
  pictures.flatMap((a, i) => pictures.slice(i + 1).map((b) => alike(a, b)));

/** Rhythms looked for by how alike lines are that lie so far apart: longer ones need more lines than a swatch has. */
const longest = 8;
/** Lines one rhythm apart are at least this much more alike than any lines nearer to each other. */
const rhythmStandsOut = 0.1;

/** The likeliest rhythm of five to eight lines and how alike the least alike lines in it are; null where none stands out. */
const longRhythm = (image: Channels, lines: readonly CellSum[]): EveryNth | null => {
  const pictures = lines.map((line) => meanOf(line, leastCells));
  const apart = Array.from({ length: longest }, (_, i) => {
    const pairs = pictures.flatMap((a, k) => {
      const b = pictures[k + i + 1] ?? null;
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
  return { every, alike: Math.min(1, ...likenessesIn(inRhythm(image, lines, every))) };
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
