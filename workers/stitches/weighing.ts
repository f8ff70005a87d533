import { withoutExplained } from './explained';
import type { Judged } from './finding';
import type { FabricReading } from './readFabric';
import { ridgeShare, uprightShare } from './turned';
import { agree, worthiest } from './worthiest';

/** One reading of a photo. */
export interface Found extends Judged {
  readonly reading: FabricReading;
  /** The odds that it is right, times the share of the photo that it covers, less where it looks woven or goes out of step with the stitches. */
  readonly worth: number;
  /** Whether it reaches over a good part of the fabric. */
  readonly whole: boolean;
}

/** What a reading is worth that covers such a share of the photo. */
export const worthOf = (
  reading: FabricReading,
  { finding: { pitchPx }, likelihood }: Judged,
  share: number,
): number =>
  pitchPx === null
    ? 0
    : oddsOf(likelihood) *
      share *
      inStep(reading) *
      uprightShare(reading.template) *
      ridgeShare(pitchPx.wale / pitchPx.course, reading.template);

/** No chance is so high that how much was read did not count. */
const oddsOf = (likelihood: number): number => likelihood / (1.005 - likelihood);

export const mostWorthOf = (met: readonly Found[]): number =>
  Math.max(0, ...met.map(({ whole, worth }) => (whole ? worth : 0)));

/** A reading this likely is not looked for again at another scale, nor at all once a second one agrees. */
const goodEnough = 0.95;

export const isGoodEnough = ({ likelihood, reading, whole }: Found): boolean =>
  whole && likelihood >= goodEnough && inStep(reading) >= halfInStep;

/** Likely, and clear: one reading may have caught the beat of a marl's plies, and two may drown in one marl in the same way. */
export const isLikely = (found: Found): boolean =>
  isGoodEnough(found) && found.worth > 0 && found.reading.medianScore > clearlyAlike;
const clearlyAlike = 0.5;

/**
 * How far a grid goes in step with the stitches, 0 to 1, by what all of them share down the wales: right readings of drawn photos come to 0.3 and more, of marl to 0.13;
 * grids that had caught the beat of a marl's plies to 0.02 to 0.05.
 */
const inStep = ({ shared }: FabricReading): number =>
  shared === null ? 1 : Math.min(1, Math.max(0, shared) / sharedByStitches) ** 2;
const sharedByStitches = 0.15;
const halfInStep = 0.4;

/** Whether it is as good as not, reaches over the fabric and goes in step with its stitches. */
const isSound = ({ likelihood, reading, whole }: Found): boolean =>
  whole && likelihood >= asGoodAsNot && inStep(reading) >= halfInStep;

/** Whether what is the likeliest nowhere is worth the time: not where something sound was read, nor where there is hardly any fabric. */
export const isWorthSeconds = (met: readonly Found[]): boolean => !met.some(isSound) && met.some(leavesHope);

/** The worthiest of all; where some reach over the fabric and are sound, of those. */
export const best = (met: readonly Found[]): Found | undefined =>
  worthiest(withoutExplained(met.some(isSound) ? met.filter(({ whole }) => whole) : met));

/** Where a reading over the whole is at least as likely as not, nothing lighter is looked for beside it. */
export const asGoodAsNot = 0.5;

/** Whether one that is likely agrees with another such, and neither is a mistake that a third explains. */
export const bearsOut = (found: Found, met: readonly Found[]): boolean => {
  const kept = withoutExplained([...met, found]).filter(isLikely);
  return kept.includes(found) && kept.some((other) => other !== found && agree(found, other));
};

/** Whether it is as good as not, reaches over the fabric and has not caught another beat than the stitches'. */
export const isFair = ({ likelihood, reading, whole }: Found): boolean =>
  whole && likelihood >= asGoodAsNot && inStep(reading) >= notOutOfStep;
/** All of 12 known readings that shared 0.06 to 0.08 were right, 8 of 30 that shared less. */
const notOutOfStep = 0.16;

/** Whether so many readings agree with this one, and leave the same doubt, that another look would neither outweigh them nor settle it. */
export const isSettled = (found: Found, met: readonly Found[]): boolean => {
  const totalWorth = (some: readonly Found[]): number => some.reduce((sum, { worth }) => sum + worth, 0);
  const doubtOf = ({ finding }: Found): string => finding.confidence.reasons.join();
  const alike = met.filter(
    (other) => isFair(other) && agree(found, other) && doubtOf(found) === doubtOf(other),
  );
  return alike.length >= enoughAlike && totalWorth(alike) > mostWorth * totalWorth(met);
};
const enoughAlike = 3;
const mostWorth = 0.9;

/** Whether it reaches over the fabric and may be right. */
const leavesHope = ({ likelihood, whole }: Found): boolean => whole && likelihood > littleHope;
/** What is less likely gives nothing. */
export const littleHope = 0.05;
