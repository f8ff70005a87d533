import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import {
  type DiscPose,
  type DiscPrior,
  distancesTo,
  type FittedDisc,
  fitDisc,
  type StandingDisc,
} from './disc';
import { type RimView, rimDistances, ringStrength } from './discEdges';

/** A rim is placed to about so many px, and to this share of its radius (bevel, milling, shadow). */
const rimPx = 0.3;
const rimShare = 0.004;

/** An edge of the rim as the fit takes it: what it may be off by, px, and whether it is the edge of the face that it shows. */
export interface TakenEdge {
  readonly x: number;
  readonly y: number;
  readonly part: 'outline' | 'face' | 'both';
}

/** Where wall and face cannot be told apart the strongest change lies about this far from the face's rim to the outline. */
const blendShare = 0.6;
const blendSpread = 0.3;
/** A wall wider than this, px, shows as two edges. */
const apartPx = 2.2;

/** How far an edge lies outside the part of the rim that it shows, px. */
const partOff = (face: number, outline: number, part: TakenEdge['part']): number =>
  part === 'outline' ? outline : part === 'face' ? face : face - blendShare * (face - outline);

/** How far an edge lies outside a disc's rim, px. */
export const offOf = (disc: StandingDisc, { x, y, part }: TakenEdge): number => {
  const { face, outline } = distancesTo(disc, x, y);
  return partOff(face, outline, part);
};

/**
 * Which edge shows where the disc's wall is seen: a bright wall over dark ground its foot, a dark one the rim of the face, and either where both can be told
 * apart.
 */
export type WallShows = 'outline' | 'face' | 'either';

const partsAt = (face: number, outline: number, shows: WallShows): readonly TakenEdge['part'][] => {
  if (shows !== 'either') return [shows];
  return face - outline > apartPx ? ['outline', 'face'] : ['both'];
};

/** The edge of each ray that fits a disc best, nearer than `windowPx`. */
export const edgesTaken = (
  disc: StandingDisc,
  view: RimView,
  windowPx: number,
  shows: WallShows,
): TakenEdge[] =>
  view.rays.flatMap((ray) => {
    let best: { edge: TakenEdge; worth: number } | null = null;
    for (const { x, y, strength } of ray.edges) {
      const { face, outline } = distancesTo(disc, x, y);
      for (const part of partsAt(face, outline, shows)) {
        const off = Math.abs(partOff(face, outline, part));
        if (off > windowPx) continue;
        const worth = Math.min(30, strength) * (1 - 0.7 * (off / windowPx) ** 2);
        if (best === null || worth > best.worth) best = { edge: { x, y, part }, worth };
      }
    }
    return best === null ? [] : [(best as { edge: TakenEdge }).edge];
  });

/** So many places of a rim are independent of each other: relief, shadow and wear go on along it. */
const independentPlaces = 14;

export const fitTo = (
  start: DiscPose,
  camera: CameraFacts,
  edges: readonly TakenEdge[],
  prior: DiscPrior,
) => {
  const radius = priorFocalPx(camera).value / Math.exp(start[4]);
  const placePx = Math.hypot(rimPx, rimShare * radius);
  const weight = Math.sqrt(Math.min(1, independentPlaces / Math.max(1, edges.length)));
  return fitDisc(start, camera, prior, (disc) =>
    edges.map((edge) => {
      const { face, outline } = distancesTo(disc, edge.x, edge.y);
      const spread = edge.part === 'both' ? blendSpread * (face - outline) : 0;
      const off = partOff(face, outline, edge.part) / Math.sqrt(placePx * placePx + spread * spread);
      // Beyond two standard uncertainties an edge counts less and less (Cauchy's weights).
      return weight * 2 * Math.sign(off) * Math.sqrt(Math.log1p((off / 2) ** 2));
    }),
  );
};

export const grownBy = (pose: DiscPose, factor: number): DiscPose => [
  pose[0],
  pose[1],
  pose[2],
  pose[3],
  pose[4] - Math.log(factor),
  pose[5],
  pose[6],
];

/** How far out the ground's own unrest is looked at, as shares of the rim. */
export const groundShares = [1.1, 1.13, 1.16, 1.19, 1.22];

export interface RimFit {
  readonly fit: FittedDisc;
  readonly edges: readonly TakenEdge[];
  /** How ill disc and edges go together, directions without an edge included. */
  readonly misfit: number;
  readonly strength: number;
  readonly ground: number;
}

export const radiusOf = ({ focalPx, pose }: StandingDisc): number => focalPx / Math.exp(pose[4]);

/** Fits the rim nearest to a start, edges being taken from nearer and nearer. */
export const rimFrom = (
  view: RimView,
  start: StandingDisc,
  prior: DiscPrior,
  shows: WallShows,
  windowShares: readonly number[],
): RimFit | null => {
  let disc = start;
  let fit: FittedDisc | null = null;
  let edges: TakenEdge[] = [];
  for (const windowShare of windowShares) {
    edges = edgesTaken(disc, view, Math.max(1.5, windowShare * radiusOf(disc)), shows);
    if (edges.length < 0.4 * view.rays.length) return null;
    fit = fitTo(disc.pose, disc.camera, edges, prior);
    if (fit === null) return null;
    disc = fit.disc;
  }
  return fit && rimOf(view, fit, edges);
};

/** A fit to some of a view's edges, with how well it suits them and the ring that it lies on. */
export const rimOf = (view: RimView, fit: FittedDisc, edges: readonly TakenEdge[]): RimFit => {
  const { disc } = fit;
  const distances = rimDistances(view, disc);
  const ground = groundShares.map((share) => ringStrength(view, distances, share)).sort((a, b) => a - b);
  return {
    fit,
    edges,
    misfit: fit.cost + missingCost * (view.rays.length - edges.length),
    strength: ringStrength(view, distances, 1),
    ground: ground[ground.length >> 1] ?? 0,
  };
};

/** A direction that shows no edge counts as one that is off by about three of its uncertainties. */
const missingCost = 0.8;
