import type { Jaw } from './records';

const BEFORE_ANY = 'Crank still, hands clear of needles and cam; mind the caliper’s sharp points.';

const BY_JAW: Record<Jaw, string> = {
  depth:
    'Let the depth rod just touch: any force moves the cam by its play and falsifies the reading. Hold the rod square to the surface.',
  inside: 'Open the inside jaws until they just touch both sides; do not force them.',
  outside: 'Close the outside jaws until they just touch; do not squeeze.',
};

/** Short cautions for the place where a reading is taken, the most important first. */
export const readingCautions = (jaw: Jaw): readonly string[] => [BEFORE_ANY, BY_JAW[jaw]];
