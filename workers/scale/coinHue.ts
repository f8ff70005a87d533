import { type FoundCoin, foundFrom, priorOf, waysToStand, withChange } from './coinRim';
import { type DiscPose, type StandingDisc, standing } from './disc';
import { lookAtRim, meanChange, type RimView, rimDistances } from './discEdges';
import { hueView } from './hueView';
import type { ScaleContext } from './kind';
import { grownBy, type RimFit, radiusOf } from './rimFit';

/** Thing and ground must differ in hue by so many units of their own spread, or hue tells nothing. */
const leastApart = 1.6;
/** What is looked at, and where a coin's hue may end, as shares of what was taken for its rim. */
const looked = { from: 0.6, to: 1.45 };
const ends = { from: 0.86, to: 1.2 };
/** A rim that is seen by hue is seen in this share of the directions. */
const leastSeen = 0.6;

/** A file keeps hue at half the lightness's fineness: a rim seen by it is placed to this share of its radius and of this many px, whatever the noise. */
const huePlace = { share: 0.004, px: 0.25 };
/** Lightness often shows the border inside a rim or the shadow outside; where it shows the rim itself it places it to this share of the radius and this many px. */
const lightPlace = { share: 0.006, px: 0.25 };
/** So many places of a rim are independent of each other. */
const independentPlaces = 14;
/** Two rims further apart than so many standard uncertainties of the one seen by hue are two rings: then hue tells which is the rim. */
const sameRing = 2;

/** By how much a disc must grow so that its rim lies where hue changes most. */
const growthTo = (view: RimView, disc: StandingDisc): number => {
  const distances = rimDistances(view, disc);
  const step = 0.5 / radiusOf(disc);
  let best = { factor: 1, fall: 0 };
  for (let factor = ends.from; factor < ends.to; factor += step) {
    const fall = -meanChange(view, distances, factor)[0];
    if (fall > best.fall) best = { factor, fall };
  }
  return best.factor;
};

/** A way to stand with its size changed a little: the covariance stays. */
const resized = (way: RimFit, factor: number): RimFit => {
  const { disc } = way.fit;
  const pose: DiscPose = grownBy(disc.pose, factor);
  return { ...way, fit: { ...way.fit, disc: standing(pose, disc.camera) } };
};

const grown = (coin: FoundCoin, factor: number): FoundCoin => ({
  ...coin,
  best: resized(coin.best, factor),
  others: coin.others.map((way) => resized(way, factor)),
});

/**
 * A lens mixes light, a file keeps its root: half the hue lies a little on the darker side of an edge. By a fifth of the blur's spread for each e-fold of light, which
 * is for one of 0.8 px:
 */
const darkwardPx = 0.15;
const mostFolds = 1.5;

/**
 * A coin looked at once more by hue. The ring that stands out most in lightness may be the border inside a coin's rim or the edge of its shadow; its hue ends at the
 * rim. Where both show one ring its size is their weighted mean, where they do not it is the one that hue shows. Where coin and ground have one hue nothing
 * changes.
 */
export const toldByHue = (context: ScaleContext, coin: FoundCoin): FoundCoin => {
  const { disc } = coin.best.fit;
  const prior = priorOf(context);
  const radius = radiusOf(disc);
  const seen = hueView(
    lookAtRim(context.work.image, { x: disc.pose[2], y: disc.pose[3] }, [
      looked.from * radius,
      looked.to * radius,
    ]),
    disc,
  );
  if (seen === null || seen.apart < leastApart) return coin;
  const view = withChange(seen.view, [-1, -1, -1]);
  const start = standing(grownBy(disc.pose, growthTo(view, disc)), disc.camera);
  const ways = waysToStand(view, start, prior);
  const found = foundFrom(context, ways, radius, false);
  if (found === null || found.share < leastSeen) return coin;
  const folds = Math.max(-mostFolds, Math.min(mostFolds, seen.lighter));
  const byHue = grown(found, Math.exp((-darkwardPx * folds) / radius));
  const apart = Math.log(radiusOf(byHue.best.fit.disc) / radius);
  const hueShare = Math.hypot(
    huePlace.share,
    Math.hypot(huePlace.px, byHue.rmsPx / Math.sqrt(independentPlaces)) / radius,
  );
  if (Math.abs(apart) > sameRing * hueShare) return byHue;
  const lightShare = Math.hypot(lightPlace.share, lightPlace.px / radius);
  const weight = lightShare ** 2 / (lightShare ** 2 + hueShare ** 2);
  return { ...grown(coin, Math.exp(weight * apart)), isDoubtful: false };
};
