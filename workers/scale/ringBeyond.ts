import type { StandingDisc } from './disc';
import { lookAtRim, meanChange, rimDistances, sizeOf } from './discEdges';
import type { ScaleContext } from './kind';
import { radiusOf } from './rimFit';

/** A coin's border ends a few hundredths of its radius inside the rim; where the coin has the ground's colour the rim is the fainter of the two. */
const beyond = { from: 1.02, to: 1.06, share: 0.4 };

/** Whether the colour changes all round a disc a little further out, nearly as much as at what was taken for its rim. */
export const hasRingBeyond = (
  context: ScaleContext,
  disc: StandingDisc,
  wide: readonly [number, number],
): boolean => {
  const view = lookAtRim(context.work.image, { x: disc.pose[2], y: disc.pose[3] }, wide);
  const distances = rimDistances(view, disc);
  const step = 0.5 / radiusOf(disc);
  const changeAt = (factor: number): number => sizeOf(meanChange(view, distances, factor));
  const rim = Math.max(changeAt(1 - step), changeAt(1), changeAt(1 + step));
  for (let factor = beyond.from; factor < beyond.to; factor += step) {
    const here = changeAt(factor);
    if (here > beyond.share * rim && here > changeAt(factor - step) && here >= changeAt(factor + step))
      return true;
  }
  return false;
};
