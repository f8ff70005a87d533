import type { Face } from '../../src/domain/grid';
import type { Confidence } from '../../src/domain/measurement';
import { chanceOf, gapsUnclear, leastRatio, likelihoodOf, signOfStitches } from './chance';
import type { FurrowKind } from './furrow';
import { CENTRE_IS_WHOLE, COURSES_ARE_ALIKE, PART_IS_WHOLE, type Repeats, WALES_ARE_ALIKE } from './repeats';
import { ridgesShown } from './turned';

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
  /** Likewise down the wale: next to nothing on knit stitches that stand upright. */
  readonly leanDown: number;
  /** How much more of the yarn's edges run along the course than along the wale, −1 to 1. */
  readonly alongCourse: number;
  /** How alike the fabric is whole and part steps away; null when it could not be measured. */
  readonly repeats: Repeats | null;
  /** How much of what changes down the wales all stitches share; null with too few. */
  readonly shared: number | null;
  /** Whether needle gaps or purl columns were found. */
  readonly gaps: boolean;
  /** What they show; null without any, and where that could not be looked at. */
  readonly furrow: FurrowKind | null;
  /** How clearly the columns that are counted differ from those that are not, 1 without a doubt. */
  readonly columnsClear: number;
  /** Whether the gaps, if any, follow each other at even distances. */
  readonly gapsInRhythm: boolean;
}

interface Doubt {
  readonly doubted: boolean;
  /** Whether a look at the photo must settle it, whatever the rest of the evidence says. */
  readonly grave?: boolean;
  /** What is doubtful, and what to do to settle it. */
  readonly sentence: string;
}

/** What may be wrong with a reading, the gravest first. */
const doubtsAbout = (e: Evidence): Doubt[] => {
  const { repeats } = e;
  return [
    {
      doubted: repeats === null || partsMatch(repeats),
      grave: true,
      sentence:
        'One marked stitch may be two: zoom in, tap a column or a row that holds two, and split it in two.',
    },
    {
      doubted: repeats !== null && linesDiffer(repeats, e),
      grave: true,
      sentence:
        'Some columns or rows look different in turn: zoom in, tap one that is marked between two real ones, and remove it.',
    },
    {
      doubted: !e.gapsInRhythm,
      grave: true,
      sentence:
        'The needle gaps found do not come in an even rhythm: tap a column that is wrongly marked as a gap, or an empty needle that is not.',
    },
    {
      doubted: e.ratio < leastRatio(e) - 0.05 || e.ratio > 1.62,
      sentence:
        'The stitches found have an unusual shape: tap where a column or a row is counted twice or left out.',
    },
    {
      doubted: e.face === 'unknown' || signOfStitches(e) < 0.28,
      sentence:
        'Neither legs nor arcs of stitches can be made out: zoom in, and where the columns do not run along the stitches tap two neighbours yourself (“Look elsewhere”).',
    },
    {
      doubted: e.seenShare < 0.9,
      grave: true,
      sentence:
        'Parts of the counted area could not be read: move the counted area to where the stitches are clear.',
    },
    {
      doubted: e.coursePx < 6 || mayBeWoven(e),
      grave: e.coursePx < BARELY_PX || mayBeWoven(e),
      sentence: tooSmall(e.coursePx),
    },
    {
      doubted: e.wales < 10 || e.courses < 12,
      sentence:
        'Only a few stitches could be read: photograph a larger piece, or tap a marked line that is wrong.',
    },
    {
      doubted: e.clashShare > 0.01,
      grave: true,
      sentence:
        'Columns or rows disagree where the rings are: tap a line that slipped over there, and move it.',
    },
    {
      doubted: Math.max(e.scatter.wale, e.scatter.course) > 0.13,
      sentence:
        'The stitches sit unevenly on the lines: tap a line that lies beside its stitches, and move it.',
    },
    // Too few photos with needles out are known for their counts to be called sure.
    { doubted: e.gaps && e.furrow !== 'closed', grave: true, sentence: leftOut(e) },
    {
      // What cannot be seen is not measured.
      doubted: e.furrow === 'closed',
      grave: true,
      sentence:
        'The furrows between the columns may hide purl columns, which are then not counted as needles: open the fabric with two fingers, and where there are some add a column in the furrow and mark it as a needle gap.',
    },
    {
      doubted: e.likeness < 0.5,
      sentence:
        'The stitches differ much from one another: tap a marked column or row that does not run along stitches.',
    },
  ];
};

/** What the columns are that were left out, and what to do if they are not. */
const leftOut = (e: Evidence): string => {
  if (gapsUnclear(e))
    return 'Columns are left out as empty needle positions or purl columns of a rib, and which they are cannot be made out: tap one to see it large, and take the mark off where a column of stitches runs.';
  return e.furrow === 'purl'
    ? 'Columns are left out as the purl columns of a rib, and counted as needles: tap one that shows the legs of stitches, or one that lacks that mark.'
    : 'Columns are left out as empty needle positions: tap one that is none, or one that lacks that mark.';
};

/** Courses this high are always enough, px. */
const ENOUGH_PX = 8;
/** Rows lower than this are read by luck: too few of them are among the known photos. */
const BARELY_PX = 4.5;

/** The ridges of garter this small look like the threads of a woven ground. */
const mayBeWoven = (e: Evidence): boolean => e.coursePx < ENOUGH_PX && ridgesShown(e.ratio, e) > 0;

const tooSmall = (coursePx: number): string =>
  `The stitches are very small in this photo: move closer, a row is ${coursePx.toFixed(0)} px high and ${ENOUGH_PX} are needed.`;

/** What lies a part step away looks like a stitch: a marked one holds several. */
const partsMatch = (r: Repeats): boolean =>
  Math.max(r.partOfWale.alike, r.partOfCourse.alike) > PART_IS_WHOLE || r.halfOfBoth > CENTRE_IS_WHOLE;

/**
 * Lines look different in turn: some lie between real ones, or it is a rib. Plain wales of known photos are alike to 0.97, courses to 0.93 unless stripes
 * come in step; beside a needle gap wales do look different, but the gaps more so.
 */
const linesDiffer = (r: Repeats, e: Evidence): boolean =>
  Math.min(e.gaps ? 1 : r.oddWales.alike, r.chequer, e.columnsClear) < WALES_ARE_ALIKE ||
  r.oddCourses.alike < COURSES_ARE_ALIKE;

/** Said of a reading that is not sure although nothing by itself is amiss. */
const unclear =
  'The stitches are not quite clear: tap a column or a row that is marked where there is none, or a place that lacks one.';

/** "Measured" from this chance on. */
const MEASURED = 0.99;

/** What a reading weighs beside others of the same photo, 0 to 1: as likely as its evidence makes it, and never like one that is measured where a doubt is grave. */
export const likelihoodBesideOthers = (evidence: Evidence): number =>
  Math.min(doubtsAbout(evidence).some(isGrave) ? MEASURED : 1, likelihoodOf(evidence));

const isGrave = ({ doubted, grave }: Doubt): boolean => doubted && grave === true;

/** Weighs the evidence into a status, a chance and what to do about each doubt; what is measured leaves nothing to settle. */
export const confidenceOf = (evidence: Evidence): Confidence => {
  const chance = chanceOf(evidence);
  const doubts = doubtsAbout(evidence).filter(({ doubted }) => doubted);
  if (doubts.some(isGrave)) {
    const reasons = doubts.map(({ sentence }) => sentence);
    return { status: 'proposal', chance: Math.min(chance, MEASURED), reasons };
  }
  if (chance > MEASURED) return { status: 'measured', chance, reasons: [] };
  const reasons = doubts.length === 0 ? [unclear] : doubts.map(({ sentence }) => sentence);
  return { status: 'proposal', chance, reasons };
};

export const unreadable = (sentence: string): Confidence => ({
  status: 'unreadable',
  chance: 0,
  reasons: [sentence],
});
