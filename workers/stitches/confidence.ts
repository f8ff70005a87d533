import type { Face } from '../../src/domain/grid';
import type { Confidence } from '../../src/domain/measurement';
import { PART_IS_WHOLE, type Repeats } from './repeats';

/** What was measured about a reading, all free of units. */
export interface Evidence {
  /** Median likeness of the stitches to the learnt one. */
  readonly likeness: number;
  /** Share of the window's places where a stitch was really seen. */
  readonly seenShare: number;
  readonly scatter: { readonly wale: number; readonly course: number };
  readonly wales: number;
  readonly courses: number;
  /** Photo pixels per course, the smaller of the two pitches. */
  readonly coursePx: number;
  /** Wale pitch over course pitch. */
  readonly ratio: number;
  /** Clashes per stitch. */
  readonly clashShare: number;
  readonly face: Face;
  /** How clearly the two halves of a stitch lean against each other, 0 to about 1. */
  readonly lean: number;
  /** Share of the edges that run along the courses, −1 to 1. */
  readonly across: number;
  /** How alike the fabric is whole and part steps away; null when it could not be measured. */
  readonly repeats: Repeats | null;
  /** Whether needle gaps were found. */
  readonly gaps: boolean;
  /** Whether the gaps, if any, follow each other at even distances. */
  readonly gapsInRhythm: boolean;
}

interface Doubt {
  readonly chance: number;
  readonly sentence: string;
}

const doubtsAbout = (e: Evidence): Doubt[] => {
  const doubts: Doubt[] = [];
  const doubt = (when: boolean, chance: number, sentence: string): void => {
    if (when) doubts.push({ chance, sentence });
  };
  const { repeats } = e;
  doubt(
    repeats === null || partsMatch(repeats),
    0.3,
    'One marked stitch may be two: zoom in and check that each marked column and row is a single one.',
  );
  doubt(
    repeats !== null && linesDiffer(repeats, e.gaps),
    0.4,
    'Some columns or rows look different in turn: zoom in and check that none is marked between two real ones.',
  );
  doubt(
    e.face === 'unknown',
    0.6,
    'Neither legs nor arcs of stitches can be made out: zoom in and check that the columns run along the stitches.',
  );
  doubt(
    e.gaps,
    0.9,
    'Needle gaps were found: check that exactly the empty needle positions are marked as gaps.',
  );
  doubt(
    !e.gapsInRhythm,
    0.3,
    'The needle gaps found do not come in an even rhythm: check each of them against the photo.',
  );
  doubt(
    e.ratio < 1.15 || e.ratio > 1.62,
    0.5,
    'The stitches found have an unusual shape: check that no column or row is counted twice or left out.',
  );
  doubt(
    e.likeness < 0.5,
    0.8,
    'The stitches look little alike: check the marked columns and rows against the photo.',
  );
  doubt(
    e.seenShare < 0.9,
    0.7,
    'Parts of the counted area could not be read: move the counted area to where the stitches are clear.',
  );
  doubt(
    e.coursePx < 6,
    0.7,
    'The stitches are very small in this photo: go closer, or fill the picture with the swatch.',
  );
  doubt(
    e.wales < 10 || e.courses < 12,
    0.8,
    'Only a few stitches could be read: photograph a larger piece, or check the marked lines.',
  );
  doubt(
    e.clashShare > 0.01,
    0.8,
    'Columns or rows disagree in places: look there for a dropped stitch or a line that slipped over.',
  );
  doubt(
    Math.max(e.scatter.wale, e.scatter.course) > 0.13,
    0.85,
    'The stitches sit unevenly on the lines: check the marked columns and rows against the photo.',
  );
  return doubts.sort((a, b) => a.chance - b.chance);
};

/** What lies a part step away looks like a stitch: a marked one holds several. */
const partsMatch = (r: Repeats): boolean =>
  Math.max(r.partOfWale.alike, r.partOfCourse.alike, r.halfOfBoth) > PART_IS_WHOLE;

/** Lines look different in turn: some lie between real ones, or it is a rib. Beside a needle gap wales do look different. */
const linesDiffer = (r: Repeats, gaps: boolean): boolean =>
  Math.min(gaps ? 1 : r.oddWales.alike, r.oddCourses.alike, r.chequer) < 0.87;

/** Weighs the evidence into a status, a chance and what to do about each doubt. */
export const confidenceOf = (evidence: Evidence): Confidence => {
  const doubts = doubtsAbout(evidence);
  const chance = doubts.reduce((product, d) => product * d.chance, 0.995);
  return {
    status: chance > 0.99 ? 'measured' : 'proposal',
    chance,
    reasons: doubts.map((d) => d.sentence),
  };
};

export const unreadable = (sentence: string): Confidence => ({
  status: 'unreadable',
  chance: 0,
  reasons: [sentence],
});
