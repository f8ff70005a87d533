import { WIDEST_WALE } from './finer';
import { type Repeats, WALES_ARE_ALIKE } from './repeats';

/** What tells whether one reading explains another. */
interface Explainable {
  readonly finding: {
    readonly pitchPx: { readonly wale: number; readonly course: number } | null;
  };
  readonly likelihood: number;
  readonly reading: {
    readonly lattice: { readonly perRepeat?: number; readonly gaps: readonly boolean[] };
    readonly repeats: Pick<Repeats, 'oddWales'> | null;
  };
}

/**
 * The readings less those that another one explains. A reading that takes a rib's columns for evenly spaced finds that every second or third looks different, one
 * that takes several columns for one finds it far too wide; a reading that has found their repeat, in the same courses and no less likely, knows why. However often the
 * first mistake is made, it must not outweigh what clears it up.
 */
export const withoutExplained = <T extends Explainable>(all: readonly T[]): T[] =>
  all.filter((plain) => !(asksForRepeat(plain) && all.some((other) => explains(other, plain))));

const asksForRepeat = ({ finding: { pitchPx }, reading: { lattice, repeats } }: Explainable): boolean => {
  if (lattice.perRepeat !== undefined || repeats === null || pitchPx === null) return false;
  const knitShare = lattice.gaps.filter((gap) => !gap).length / lattice.gaps.length;
  const tooWide = (pitchPx.wale * knitShare) / pitchPx.course > WIDEST_WALE;
  return tooWide || repeats.oddWales.alike < WALES_ARE_ALIKE;
};

const explains = (other: Explainable, plain: Explainable): boolean => {
  const [own, theirs] = [plain.finding.pitchPx, other.finding.pitchPx];
  return (
    other.reading.lattice.perRepeat !== undefined &&
    other.likelihood >= plain.likelihood &&
    own !== null &&
    theirs !== null &&
    Math.abs(own.course / theirs.course - 1) < sameCourses
  );
};

/** Course pitches of one fabric differ by less than this share: two windows do not lie at quite the same place. */
const sameCourses = 0.015;
