import type { Homography } from '../../src/domain/plane';
import { type BowedPlaneFit, fitPlaneAndLens } from '../../src/domain/planeFit';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import type { LensBow } from '../../src/domain/planeFitLens';

/** Bowing counts when it is at least this many times its own uncertainty and moves a corner by more than `leastBowPx`. */
const bowSignificance = 5;
const leastBowPx = 0.4;

/** The plane through sightings of numbered lines, with the lens's bowing where they show it beyond doubt. */
export const fitBowIfSeen = (
  sightings: readonly LineSighting[],
  start: Homography,
  lens: LensBow,
): BowedPlaneFit | null => {
  const withBow = fitPlaneAndLens(sightings, start, lens, true);
  if (withBow !== null && withBow.bowUncertainty !== null) {
    const { bow, radiusPx } = withBow.lens;
    const counts =
      Math.abs(bow) > bowSignificance * withBow.bowUncertainty &&
      Math.abs(bow) * radiusPx > leastBowPx &&
      Math.abs(bow) < 0.1;
    if (counts) return withBow;
  }
  return fitPlaneAndLens(sightings, start, { ...lens, bow: 0 }, false);
};
