import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { coinFaceHeight } from '../../src/domain/faceHeight';
import { type DiscPose, type DiscPrior, type StandingDisc, standing } from './disc';
import {
  type Change,
  lookAtRim,
  meanChange,
  type RimView,
  rimDistances,
  rimRays,
  ringStrength,
  sizeOf,
} from './discEdges';
import type { ScaleContext } from './kind';
import { levelOfTable } from './level';
import { edgesTaken, fitTo, groundShares, grownBy, offOf, type RimFit, radiusOf, rimFrom } from './rimFit';
import { hasRingBeyond } from './ringBeyond';
import { workCamera } from './workCamera';

/**
 * Thickness of coins as a share of their radius: 0.14 to 0.20 of the coins whose mints' data are listed with the app, at its edge a little less where the rim
 * is rounded.
 */
const coinThickness = { value: 0.165, uncertainty: 0.035 };
export interface FoundCoin {
  readonly best: RimFit;
  /** Other ways of standing that the outline leaves open. */
  readonly others: readonly RimFit[];
  /** Share of the directions that show the rim. */
  readonly share: number;
  readonly rmsPx: number;
  /** By how many standard uncertainties what the outline says of the tilt is off what the rest of the photo says. */
  readonly strain: number;
  /** Whether a ring further out may be the rim. */
  readonly isDoubtful: boolean;
}

/** A first idea of where a coin lies, work px. */
export interface RoughCircle {
  readonly x: number;
  readonly y: number;
  readonly radiusPx: number;
}

export const poseOf = (
  { x, y, radiusPx }: RoughCircle,
  { level, thickness }: DiscPrior,
  camera: CameraFacts,
): DiscPose => [
  level.slopeX,
  level.slopeY,
  x,
  y,
  Math.log(priorFocalPx(camera).value / radiusPx),
  thickness.value,
  1,
];

/** The pose in which the same outline stands mirrored about the ray to its middle. */
const mirrored = ({ pose, normal, centre }: StandingDisc): DiscPose => {
  const size = Math.hypot(...centre);
  const along = (normal[0] * centre[0] + normal[1] * centre[1] + normal[2] * centre[2]) / size;
  const [x = 0, y = 0, z = 1] = [0, 1, 2].map(
    (k) => (2 * along * (centre[k] ?? 0)) / size - (normal[k] ?? 0),
  );
  return [x / z, y / z, ...pose.slice(2)] as unknown as DiscPose;
};

/** Shares of the rough radius at which the rim may lie: the strongest ring is often the border inside it. */
const startShares = [0.93, 0.96, 0.99, 1.02, 1.05, 1.08, 1.11];

/** A rim stands out from the ground by this factor, and is not much weaker than the strongest ring. */
const ringContrast = 1.5;
const ringShare = 0.35;
/** While middle and size are found the disc is held this close to the table's level. */
const heldLevel = 0.015;

/** Shares at which a first look is taken, and by how much a ring stands out from the ground there though its shape is not yet known. */
const firstShares = Array.from({ length: 26 }, (_, i) => 0.88 + 0.01 * i);
const firstContrast = 1.25;

/** Whether anything goes round at all: spares the fits where fabric or grain was taken for a round thing. */
const hasRing = (view: RimView, disc: StandingDisc): boolean => {
  const distances = rimDistances(view, disc);
  const ground = groundShares.map((share) => ringStrength(view, distances, share)).sort((a, b) => a - b);
  const least = firstContrast * (ground[ground.length >> 1] ?? 0);
  return firstShares.some((share) => ringStrength(view, distances, share) > least);
};

/** The clearest of several rings: its shape is the rim's. */
const clearest = (rims: readonly RimFit[]): RimFit | null => {
  const strongest = Math.max(...rims.map(({ strength }) => strength));
  const [best] = rims
    .filter(({ strength, ground }) => strength >= ringShare * strongest && strength >= ringContrast * ground)
    .sort((a, b) => a.misfit - b.misfit);
  return best ?? null;
};

/** A ring round a disc: how much the disc must grow to lie on it, and the change of colour there. */
interface Ring {
  readonly factor: number;
  readonly change: Change;
}

/** A rim is no weaker than this share of the strongest ring, and stands out so many times from the ground's own unrest. */
const outerShare = 0.12;
const outerContrast = 4;
const mostRings = 4;

/**
 * Rings concentric with a disc and not inside it, by the mean change of colour all round, outermost first: the border of a coin has rings of its own inside the
 * rim, and the rim is not always the strongest.
 */
const ringsRound = (view: RimView, disc: StandingDisc): Ring[] => {
  const distances = rimDistances(view, disc);
  const step = 0.5 / radiusOf(disc);
  const looked: Ring[] = [];
  for (let factor = 0.96; factor < 1.24; factor += step)
    looked.push({ factor, change: meanChange(view, distances, factor) });
  const sizes = looked.map(({ change }) => sizeOf(change));
  const ground = sizes.slice(Math.floor(0.6 * sizes.length)).sort((a, b) => a - b);
  const least = Math.max(outerShare * Math.max(...sizes), outerContrast * (ground[ground.length >> 1] ?? 0));
  return looked
    .filter((_, i) => {
      const v = sizes[i] ?? 0;
      return v >= least && v > (sizes[i - 1] ?? v) && v >= (sizes[i + 1] ?? v);
    })
    .reverse()
    .slice(0, mostRings);
};

/** A ring further out is preferred unless it fits worse than the best one by more than this. */
const ringSlack = 35;
/** A ring is seen in about as many directions as the others; the edge of a shadow is not. */
const roundShare = 0.8;
/** A ring further out that is seen in this share of the directions may be the rim after all. */
const doubtShare = 0.75;

/** The outermost ring that goes all the way round as well as others do: a shadow's edge does not. */
const rimAmong = (
  view: RimView,
  anchor: StandingDisc,
  prior: DiscPrior,
): { disc: StandingDisc; view: RimView; isDoubtful: boolean } | null => {
  const tried = ringsRound(view, anchor).flatMap(({ factor, change }) => {
    const seen = withChange(view, change);
    const start = standing(grownBy(anchor.pose, factor), anchor.camera);
    const [way] = waysFrom(seen, [start], start, prior);
    return way === undefined
      ? []
      : [{ disc: way.fit.disc, view: seen, misfit: way.misfit, seenIn: way.edges.length }];
  });
  const least = Math.min(...tried.map(({ misfit }) => misfit));
  const most = Math.max(...tried.map(({ seenIn }) => seenIn));
  const chosen = tried.findIndex(
    ({ misfit, seenIn }) => misfit <= least + ringSlack && seenIn >= roundShare * most,
  );
  const rim = tried[chosen];
  const isDoubtful = tried.slice(0, chosen).some(({ seenIn }) => seenIn >= doubtShare * view.rays.length);
  return rim === undefined ? null : { ...rim, isDoubtful };
};

/** Only the edges at which the colour changes about as it does all round. */
export const withChange = (view: RimView, change: Change): RimView => ({
  ...view,
  rays: view.rays.map((ray) => ({
    ...ray,
    edges: ray.edges.filter((edge) => {
      const along =
        (edge.change[0] * change[0] + edge.change[1] * change[1] + edge.change[2] * change[2]) / 3;
      return along > alike * edge.strength * sizeOf(change);
    }),
  })),
});

/** Cosine between changes of colour that may be one edge's. */
const alike = 0.3;

/** The other rings of a coin lie further than this from its rim, as a share of the radius. */
const sameRing = 0.025;

/** Fits from several starts, each with every way to see the wall, those that stay on one ring; best first. */
const waysFrom = (
  view: RimView,
  starts: readonly StandingDisc[],
  ring: StandingDisc,
  prior: DiscPrior,
): RimFit[] =>
  starts
    .flatMap((start) =>
      (['outline', 'face', 'either'] as const).flatMap((shows) => {
        const way = rimFrom(view, start, prior, shows, [0.02, 0.012]);
        return way === null || Math.abs(radiusOf(way.fit.disc) / radiusOf(ring) - 1) > sameRing ? [] : [way];
      }),
    )
    .sort((a, b) => a.misfit - b.misfit);

/** Of all ways to see the wall and to stand that the outline leaves open, those that fit one ring, best first. */
const waysToStand = (view: RimView, disc: StandingDisc, prior: DiscPrior): RimFit[] => {
  const { pose, camera } = disc;
  const atLevel = [prior.level.slopeX, prior.level.slopeY, ...pose.slice(2)] as unknown as DiscPose;
  return waysFrom(view, [disc, standing(atLevel, camera), standing(mirrored(disc), camera)], disc, prior);
};

/** How the disc stands whose rim is the outermost ring round another. */
const standingIn = (
  view: RimView,
  anchor: StandingDisc,
  prior: DiscPrior,
): { readonly ways: readonly RimFit[]; readonly isDoubtful: boolean } | null => {
  const rim = rimAmong(view, anchor, prior);
  return rim && { ways: waysToStand(rim.view, rim.disc, prior), isDoubtful: rim.isDoubtful };
};

const strainOf = ({ pose }: StandingDisc, level: CameraLevel): number =>
  Math.hypot(pose[0] - level.slopeX * pose[6], pose[1] - level.slopeY * pose[6]) / level.uncertainty;

/** What is known of how a coin stands before it is looked at. */
export const priorOf = (context: ScaleContext): DiscPrior => ({
  level: levelOfTable(context),
  thickness: coinThickness,
});

/** The same once a coin is found: its thickness is better known where its size is. */
export const priorOfSize = (context: ScaleContext): DiscPrior => {
  const prior = priorOf(context);
  const diameterMm = context.hints.coinDiameterMm ?? null;
  if (diameterMm === null) return prior;
  const { heightMm, uncertaintyMm } = coinFaceHeight(diameterMm);
  const [value, uncertainty] = [(2 * heightMm) / diameterMm, (2 * uncertaintyMm) / diameterMm];
  return uncertainty < coinThickness.uncertainty ? { ...prior, thickness: { value, uncertainty } } : prior;
};

/** A coin from the ways to stand that its rim leaves open, best first; null where there is none. */
export const foundFrom = (
  context: ScaleContext,
  [best, ...others]: readonly RimFit[],
  radiusPx: number,
  isDoubtful: boolean,
): FoundCoin | null => {
  if (best === undefined) return null;
  const offs = best.edges.map((edge) => offOf(best.fit.disc, edge));
  const kept = offs.filter((off) => Math.abs(off) < Math.max(1, 0.01 * radiusPx));
  return {
    best,
    others,
    strain: strainOf(best.fit.disc, levelOfTable(context)),
    share: kept.length / rimRays,
    isDoubtful,
    rmsPx: Math.sqrt(kept.reduce((sum, off) => sum + off * off, 0) / Math.max(1, kept.length)),
  };
};

export const coinAround = (context: ScaleContext, rough: RoughCircle): FoundCoin | null => {
  const camera = workCamera(context);
  const prior = priorOf(context);
  const first = standing(poseOf(rough, prior, camera), camera);
  const wide: readonly [number, number] = [0.75 * rough.radiusPx, 1.45 * rough.radiusPx];
  const around = lookAtRim(context.work.image, rough, wide);
  const near = edgesTaken(first, around, 0.12 * rough.radiusPx, 'either');
  if (near.length < 0.4 * around.rays.length) return null;
  const held = { ...prior, level: { ...prior.level, uncertainty: heldLevel } };
  const middle = fitTo(first.pose, camera, near, held);
  if (middle === null) return null;
  const { disc } = middle;
  const view = lookAtRim(context.work.image, { x: disc.pose[2], y: disc.pose[3] }, wide);
  if (!hasRing(view, disc)) return null;
  const fewer = { ...view, rays: view.rays.filter((_, k) => k % 2 === 0) };
  const rims = startShares.flatMap((share) => {
    const rim = rimFrom(fewer, standing(grownBy(disc.pose, share), camera), prior, 'either', [0.03, 0.015]);
    return rim === null ? [] : [rim];
  });
  const anchor = clearest(rims);
  if (anchor === null) return null;
  const once = standingIn(view, anchor.fit.disc, prior);
  const [seen] = once?.ways ?? [];
  if (once === null || seen === undefined) return null;
  // From a middle that lies a little off, rings are blurred: what lies round the coin is looked at once more from where it is now known to be.
  const { pose } = seen.fit.disc;
  const again = standingIn(
    lookAtRim(context.work.image, { x: pose[2], y: pose[3] }, wide),
    seen.fit.disc,
    prior,
  );
  const { ways, isDoubtful } = again === null || again.ways.length === 0 ? once : again;
  const [best] = ways;
  const doubt = isDoubtful || (best !== undefined && hasRingBeyond(context, best.fit.disc, wide));
  return foundFrom(context, ways, rough.radiusPx, doubt);
};
