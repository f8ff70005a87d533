import { CHANCE_WEIGHTS } from './chanceWeights';
import type { Evidence } from './confidence';
import { CENTRE_IS_WHOLE } from './repeats';
import { ridgesShown } from './turned';

const over = (value: number, limit: number): number => Math.max(0, value - limit);
const flag = (condition: boolean): number => (condition ? 1 : 0);

/**
 * How clearly the cells are those of garter. A plain weave has ridges as well, but over and under change places half a cell on either way, so that it looks the same
 * there: known garter is alike to 0.6, and no square cell that is alike to 0.9 was knitted.
 */
const ridgesOf = (e: Evidence): number =>
  (e.repeats?.halfOfBoth ?? 0) > CENTRE_IS_WHOLE ? 0 : ridgesShown(e.ratio, e);

/** Width over height that a stitch has at least, usually: plain fabric 1.25, garter, whose two rows make a ridge, 0.8 (common practice). */
export const leastRatio = (e: Evidence): number => 1.25 - 0.45 * ridgesOf(e);

/** How clearly stitches lean, 0 to about 1: ridges are as clear a sign of knitting as legs or arcs, and may hide the lean. */
export const signOfStitches = (e: Evidence): number => Math.max(e.lean, 0.3 * ridgesOf(e));

/**
 * How far a fabric shows neither leaning legs nor yarn that mostly runs one way, 0 to 1: the two threads of a woven ground are alike, those of a stitch seldom. Of
 * readings of known photos that lean less than 0.3 and run less than 0.45 one way, 1 in 23 was right.
 */
const weaveShown = (e: Evidence): number => {
  const [sign, oneWay] = [signOfStitches(e), Math.abs(e.alongCourse)];
  const neither = (over(0.3, sign) / 0.3) * (over(0.45, oneWay) / 0.45);
  return Math.max(neither, over(leastOfBoth, sign + oneWay) / leastOfBoth);
};
/** How much the yarn leans and how much it runs one way come to this much together: of readings of known photos below 0.7, 3 of 73 were right, and one above 0.65. */
const leastOfBoth = 0.75;

/** Whether columns were left out that show neither a ladder nor the arcs of purl stitches. */
export const gapsUnclear = (e: Evidence): boolean => e.gaps && e.furrow !== 'ladder' && e.furrow !== 'purl';

/**
 * What of the evidence speaks for or against a reading, all free of units and 0 (or near it) for a clear one. Each counts from where right readings of
 * known photos begin to leave off, so that a clear photo is not called clearer still.
 */
export const featuresOf = (e: Evidence) => {
  const { repeats } = e;
  const parts = repeats && Math.max(repeats.partOfWale.alike, repeats.partOfCourse.alike);
  // Beside a needle gap wales do look different: there the gaps must differ clearly from all others instead.
  const columns = e.gaps ? e.columnsClear : Math.min(repeats?.oddWales.alike ?? 1, e.columnsClear);
  const wales = Math.min(columns, repeats?.chequer ?? 1);
  return {
    constant: 1,
    partsMatch: over(parts ?? 0, 0.3),
    centreMatches: over(repeats?.halfOfBoth ?? 0, 0.85),
    walesDiffer: Math.min(0.3, over(1 - wales, 0.03)),
    // Stripes may do this too.
    coursesDiffer: Math.min(0.12, over(1 - (repeats?.oddCourses.alike ?? 1), 0.03)),
    // Courses higher than usual may be wales: garter turned on its side.
    tooHigh: Math.min(0.1, over(leastRatio(e), e.ratio)),
    tooWide: Math.min(0.3, over(e.ratio, 1.6)),
    unlike: over(0.55, e.likeness),
    littleLean: Math.min(0.2, over(0.3, signOfStitches(e))),
    weave: weaveShown(e),
    scatter: over(Math.max(e.scatter.wale, e.scatter.course), 0.03),
    few: 1 - Math.min(1, e.wales / 10, e.courses / 12),
    small: over(Math.log2(8 / e.coursePx), 0),
    unseen: 1 - e.seenShare,
    clashes: Math.min(0.05, e.clashShare),
    gapsUnclear: flag(gapsUnclear(e)),
    gapsOutOfRhythm: flag(!e.gapsInRhythm),
    faceUnknown: flag(e.face === 'unknown'),
    repeatsUnknown: flag(repeats === null),
  };
};

export type Features = ReturnType<typeof featuresOf>;

/** Logistic function: from minus to plus infinity onto 0 to 1. */
export const sigmoid = (x: number): number => 1 / (1 + Math.exp(-x));

/** No evidence makes a count surer than this: some faults leave none. */
const SUREST = 0.995;

/**
 * No grid is surer than this whose columns may as well be rows: a knit stitch is its own mirror image, and where its yarn leans as much down the columns as across
 * them, one guess is as good as the other. Of the known readings without clear legs that lean 0.7 times as much down as across, half were right.
 */
const surestOnSide = (e: Evidence): number => {
  if (e.face === 'purl' || e.lean > clearLean) return SUREST;
  const onSide = Math.min(1, over(e.leanDown / (e.lean + 1e-9), 0.6) / 0.25);
  return SUREST - (SUREST - 0.5) * onSide;
};
/** Legs that lean so much are legs. */
const clearLean = 0.4;

/**
 * How likely the evidence makes both pitches right within 1 %, 0 to 1, by logistic regression (Cox 1958) on readings of photos with known truth. This is what readings of one photo
 * are compared by: that columns may as well be rows speaks against no reading that stands alone.
 */
export const likelihoodOf = (evidence: Evidence): number => {
  const features = featuresOf(evidence);
  const names = Object.keys(CHANCE_WEIGHTS) as (keyof Features)[];
  const sum = names.reduce((total, name) => total + CHANCE_WEIGHTS[name] * features[name], 0);
  return Math.min(SUREST, sigmoid(sum));
};

/**
 * No grid is surer than this whose stitches share next to nothing of what changes down the wales: it may have caught the beat of a marl's plies. Of known readings that
 * shared less than 0.04, 2 of 24 were right, of those that shared 0.04 to 0.08, 18 of 19.
 */
const surestInStep = ({ shared }: Evidence): number =>
  shared === null ? SUREST : SUREST - (SUREST - 0.5) * Math.min(1, over(0.05, shared) / 0.02);

/** Nor is one surer whose lines claim the same spots: of known readings with a clash for every 100 stitches 1 in 15 was right, with one for every 200 2 in 9. */
const surestApart = ({ clashShare }: Evidence): number =>
  SUREST - (SUREST - 0.5) * Math.min(1, over(clashShare, 0.004) / 0.006);

/** The chance that is stated: the likelihood, and no more than a toss where columns may as well be rows, or where the grid may have slipped or be out of step. */
export const chanceOf = (evidence: Evidence): number =>
  Math.min(surestOnSide(evidence), surestInStep(evidence), surestApart(evidence), likelihoodOf(evidence));
