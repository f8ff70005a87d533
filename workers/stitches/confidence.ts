import type { Confidence } from '../../src/domain/measurement';

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
  /** Share of independent votes on the lattice that agree with the one used. */
  readonly agreement: number;
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
  doubt(
    e.agreement < 0.6,
    0.4,
    'The size of one stitch is not certain: zoom in and check that each marked column is one column of stitches.',
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
