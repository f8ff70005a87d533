import {
  type FoundCoin,
  foundFrom,
  poseOf,
  priorOf,
  priorOfSize,
  type RoughCircle,
  withChange,
} from './coinRim';
import { type DiscPose, type DiscPrior, type StandingDisc, standing } from './disc';
import { lookAtRim, meanChange, type RimView, rimDistances } from './discEdges';
import { hueRimRound } from './hueRim';
import { type HueView, hueView } from './hueView';
import type { ScaleContext } from './kind';
import { fitTo, grownBy, type RimFit, radiusOf, rimFrom, rimOf } from './rimFit';
import { workCamera } from './workCamera';

/** Thing and ground must differ in hue by so many units of their own spread, or hue tells nothing. */
const leastApart = 1.6;
/** What is looked at, and where a coin's hue may end, as shares of what was taken for its rim. */
const looked = { from: 0.6, to: 1.45 };
const ends = { from: 0.86, to: 1.2 };
/** A rim that is seen by hue is seen in this share of the directions. */
const leastSeen = 0.6;

/** A file keeps hue at half the lightness's fineness: a rim seen by it is placed to this share of its radius and to so many px, whatever the noise. */
const huePlace = { share: 0.005, px: 0.12 };
/**
 * Where lightness shows the rim it places it to this share of its radius; in a small picture the border's flank runs into the rim: the share grows with the square of one
 * over the radius (seen on drawn photos).
 */
const lightPlace = { share: 0.0015, pxSquared: 15, most: 0.02 };
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

/** Hue is noisier than lightness: a coin that stands out in lightness is no less sure for it. */
const noWorseThan = (coin: FoundCoin, misfit: number): FoundCoin => {
  const spared = Math.max(0, coin.best.misfit - misfit);
  const sparing = (way: RimFit): RimFit => ({ ...way, misfit: way.misfit - spared });
  return { ...coin, best: sparing(coin.best), others: coin.others.map(sparing) };
};

/** What is seen by hue round a disc, so far as thing and ground differ by at least so much. */
const hueRound = (context: ScaleContext, disc: StandingDisc, least: number): HueView | null => {
  const radius = radiusOf(disc);
  const middle = { x: disc.pose[2], y: disc.pose[3] };
  const seen = hueView(
    lookAtRim(context.work.image, middle, [looked.from * radius, looked.to * radius]),
    disc,
  );
  return seen === null || seen.apart < least ? null : { ...seen, view: withChange(seen.view, [-1, -1, -1]) };
};

/** Rounds in which the rim is looked for about where the last one put it. */
const rounds = 3;

/** The way a coin stands whose outline is where its hue ends, from a disc nearby; null where that is not seen. */
const standingInHue = (
  context: ScaleContext,
  start: StandingDisc,
  prior: DiscPrior,
  least = 0,
): RimFit | null => {
  const radius = radiusOf(start);
  const view = lookAtRim(context.work.image, { x: start.pose[2], y: start.pose[3] }, [
    looked.from * radius,
    looked.to * radius,
  ]);
  let disc = start;
  let way: RimFit | null = null;
  for (let round = 0; round < rounds; round++) {
    const rim = hueRimRound(view, disc);
    if (rim === null || rim.apart < least || rim.edges.length < leastSeen * view.rays.length) return null;
    const fit = fitTo(disc.pose, disc.camera, rim.edges, prior);
    if (fit === null) return null;
    way = rimOf(view, fit, rim.edges);
    disc = fit.disc;
  }
  return way;
};

/**
 * A coin looked at once more by hue. The ring that stands out most in lightness may be the border inside a coin's rim or the edge of its shadow; its hue ends at the
 * rim. Where both show one ring its size is their weighted mean, where they do not it is the one that hue shows. Where coin and ground have one hue nothing
 * changes.
 */
export const toldByHue = (context: ScaleContext, coin: FoundCoin): FoundCoin => {
  const { disc } = coin.best.fit;
  const radius = radiusOf(disc);
  const seen = hueRound(context, disc, leastApart);
  if (seen === null) return coin;
  const start = standing(grownBy(disc.pose, growthTo(seen.view, disc)), disc.camera);
  const way = standingInHue(context, start, priorOfSize(context));
  const byHue = way && foundFrom(context, [way], radius, false);
  if (byHue === null || byHue.share < leastSeen) return coin;
  const apart = Math.log(radiusOf(byHue.best.fit.disc) / radius);
  const hueShare = Math.hypot(
    huePlace.share,
    Math.hypot(huePlace.px, byHue.rmsPx / Math.sqrt(independentPlaces)) / radius,
  );
  if (Math.abs(apart) > sameRing * hueShare) return noWorseThan(byHue, coin.best.misfit);
  const lightShare = Math.min(
    lightPlace.most,
    Math.hypot(lightPlace.share, lightPlace.pxSquared / radius ** 2),
  );
  const weight = lightShare ** 2 / (lightShare ** 2 + hueShare ** 2);
  // How it stands is told by whichever of the two places the rim better.
  return weight > 0.5
    ? noWorseThan(grown(byHue, Math.exp((weight - 1) * apart)), coin.best.misfit)
    : { ...grown(coin, Math.exp(weight * apart)), isDoubtful: false };
};

/** Found by hue alone, a coin must differ this much from the ground once it is roughly known where it lies, and is fitted from further and further away, in shares of its radius. */
const clearlyApart = 6;
const nearing = [0.2, 0.1, 0.04, 0.015];

/** A coin that is looked for by hue alone: seen much aslant, or hardly lighter or darker than the ground. */
export const coinByHue = (context: ScaleContext, rough: RoughCircle): FoundCoin | null => {
  const prior = priorOf(context);
  const first = standing(poseOf(rough, prior, workCamera(context)), workCamera(context));
  const seen = hueRound(context, first, leastApart);
  const rim = seen && rimFrom(seen.view, first, prior, 'outline', nearing);
  if (seen === null || rim === null) return null;
  const way = standingInHue(context, rim.fit.disc, priorOfSize(context), clearlyApart);
  return way && foundFrom(context, [way], radiusOf(rim.fit.disc), false);
};
