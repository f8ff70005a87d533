import { CHANCE_WEIGHTS } from './chanceWeights';
import type { Evidence } from './confidence';

const over = (value: number, limit: number): number => Math.max(0, value - limit);
const flag = (condition: boolean): number => (condition ? 1 : 0);

/**
 * What of the evidence speaks for or against a reading, all free of units and 0 (or near it) for a clear one. Each counts from where right readings of
 * known photos begin to leave off, so that a clear photo is not called clearer still.
 */
export const featuresOf = (e: Evidence) => {
  const { repeats } = e;
  const parts = repeats && Math.max(repeats.partOfWale.alike, repeats.partOfCourse.alike);
  // Beside a needle gap wales do look different.
  const wales = repeats && Math.min(e.gaps ? 1 : repeats.oddWales.alike, repeats.chequer);
  return {
    constant: 1,
    partsMatch: over(parts ?? 0, 0.3),
    centreMatches: over(repeats?.halfOfBoth ?? 0, 0.85),
    walesDiffer: Math.min(0.3, over(1 - (wales ?? 1), 0.03)),
    // Stripes may do this too.
    coursesDiffer: Math.min(0.12, over(1 - (repeats?.oddCourses.alike ?? 1), 0.03)),
    // Courses higher than usual may be wales: garter turned on its side.
    tooHigh: Math.min(0.1, over(1.25, e.ratio)),
    tooWide: Math.min(0.3, over(e.ratio, 1.6)),
    unlike: over(0.55, e.likeness),
    littleLean: Math.min(0.2, over(0.3, e.lean)),
    scatter: over(Math.max(e.scatter.wale, e.scatter.course), 0.03),
    few: 1 - Math.min(1, e.wales / 10, e.courses / 12),
    small: over(Math.log2(8 / e.coursePx), 0),
    unseen: 1 - e.seenShare,
    clashes: Math.min(0.05, e.clashShare),
    gaps: flag(e.gaps),
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

/** Chance that both pitches are within 1 %, by logistic regression (Cox 1958) on readings of photos with known truth. */
export const chanceOf = (evidence: Evidence): number => {
  const features = featuresOf(evidence);
  const names = Object.keys(CHANCE_WEIGHTS) as (keyof Features)[];
  const sum = names.reduce((total, name) => total + CHANCE_WEIGHTS[name] * features[name], 0);
  return Math.min(SUREST, sigmoid(sum));
};
