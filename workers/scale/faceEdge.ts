import { costOf, dampedLeastSquares, dot } from '../../src/domain/dampedLeastSquares';
import { choleskyFactor, choleskySolve } from '../../src/domain/planeFitAlgebra';
import { at, colourOf, type FaceShape, placesFor, readAt, shadesOf, type WallSeen } from './faceModel';
import type { LightAcross } from './sideLight';

/**
 * What is usual, with standard deviations (assumed): soft focus of most photos; a wall in the shade or in grazing light; the shadow of a thin thing under a lamp and light
 * from all round; files that keep colour at half the resolution.
 */
const usual: readonly (readonly [index: number, value: number, spread: number])[] = [
  [at.lnBlur, Math.log(0.9), 0.35],
  [at.wall, 0.7, 0.2],
  [at.depth, 0.3, 0.15],
  [at.reach, 0.1, 0.3],
  [at.lnSoft, Math.log(0.3), 0.35],
  [at.chroma, 1.3, 0.5],
];
/** A first look leads to within this of the edge, beside the wall, px. */
const ledPx = 1.5;
/** What noise and grain leave in a mean profile, grey levels of lightness, warmth and greenness. */
const noise = [2, 1, 1] as const;
/** Neighbouring places of a profile share their noise: variances are so many times those of independent ones. */
const sharedNoise = 2;
/** A profile has no fewer places than this. */
const leastPlaces = 10;
/** A wall wider than this may be taken for the face's edge at first, or be missed, px. */
const clearWallPx = 0.35;
/** Changes that derivatives are taken over: shape, then colours. */
const stepOf = (index: number): number => (index < at.face ? 0.01 : 0.1);
/** What fits so well, mean square in units of the noise, needs no second look with more noise. */
const fitsWell = 1.5;

/** Some things of the usual thickness have rounded or bevelled edges, or are thinner, so that no wall shows (assumed share). */
const noWallShare = 0.2;

/** Where a face ends, px outward of the line, with its standard uncertainty and all that the profile showed. */
export interface FaceEdge {
  readonly edgePx: number;
  readonly uncertaintyPx: number;
  readonly shape: FaceShape;
  /** The wall that the shape goes with. */
  readonly seen: WallSeen;
  /** Sum of the squares of what is left, in units of the noise that was assumed. */
  readonly left: number;
  /** Sum of the squares of how far the shape is from what is usual. */
  readonly unusual: number;
}

/** Weights of a profile's values, by how many pixels each is the mean of, one shade after the other. */
const weightsOf = ({ pixels }: LightAcross): number[] => {
  const most = Math.max(...pixels);
  return noise.flatMap((level) => pixels.map((n) => Math.sqrt(n / most) / level));
};

const seenIn = ({ shades }: LightAcross): number[] => [0, 1, 2].flatMap((c) => shades.map((s) => s[c] ?? 0));

/** First diagonal entry of the inverse of a matrix by its Cholesky factor. */
const firstVariance = (factor: readonly number[], size: number): number =>
  choleskySolve(factor, size, [1, ...new Array<number>(size - 1).fill(0)])[0] ?? 0;

/** The edge from one start; what is left beyond the assumed noise (grain, print, seams) counts as more noise. */
const edgeFrom = (profile: LightAcross, seen: WallSeen, start: FaceShape): FaceEdge | null => {
  const places = placesFor(profile);
  const [weights, given] = [weightsOf(profile), seenIn(profile)];
  let told: FaceEdge | null = null;
  let shape = start;
  let temper = 1;
  for (let round = 0; round < 2; round++) {
    const found = dampedLeastSquares(
      shape,
      (tried) => [
        ...readAt(shadesOf(tried, seen, places), places, profile).map(
          (v, i) => ((v - (given[i] ?? 0)) * (weights[i] ?? 0)) / temper,
        ),
        (tried[at.edge] ?? 0) / (ledPx + Math.abs(seen.wallPx)),
        ...usual.map(([k, value, spread]) => ((tried[k] ?? 0) - value) / spread),
      ],
      { stepsAt: (tried) => tried.map((_, k) => stepOf(k)), rounds: 15, leastGain: 1e-3, mostDamping: 1e6 },
    );
    if (found === null) return null;
    const left = costOf(found.residuals.slice(0, given.length)) * temper ** 2;
    shape = found.values;
    told = {
      edgePx: shape[at.edge] ?? 0,
      uncertaintyPx: Math.sqrt(sharedNoise * firstVariance(found.factor, start.length)),
      shape,
      seen,
      left,
      unusual: costOf(found.residuals.slice(given.length)),
    };
    const perValue = left / (temper ** 2 * Math.max(1, given.length - start.length));
    if (perValue < fitsWell) break;
    temper *= Math.sqrt(perValue);
  }
  return told;
};

/** With a wall or without: how likely each is by what it leaves, and the edge that is to be expected of both together. */
const weighed = (edges: readonly FaceEdge[], count: number): FaceEdge | null => {
  const least = Math.min(...edges.map(({ left }) => left));
  const temper = sharedNoise * Math.max(1, least / Math.max(1, count));
  const weights = edges.map(
    ({ left, unusual, seen }) =>
      (seen.wallPx === 0 ? noWallShare : 1) * Math.exp(-0.5 * ((left - least) / temper + unusual)),
  );
  const total = weights.reduce((a, b) => a + b, 0);
  const likeliest = edges[weights.indexOf(Math.max(...weights))];
  if (likeliest === undefined || !(total > 0)) return null;
  const mean = (of: (edge: FaceEdge) => number): number =>
    edges.reduce((sum, edge, k) => sum + ((weights[k] ?? 0) / total) * of(edge), 0);
  const edgePx = mean((edge) => edge.edgePx);
  const variance = mean((edge) => edge.uncertaintyPx ** 2 + (edge.edgePx - edgePx) ** 2);
  return { ...likeliest, edgePx, uncertaintyPx: Math.sqrt(variance) };
};

/**
 * Finds where a face ends in the mean profile across its side: face, wall and ground with the thing's shadow, blurred together. In light, wall and shadow leave the
 * hues of face and ground as they are, so that hue tells the foot from both; where hues are alike, what is usual of walls and shadows tells how open it is.
 * @param before what a profile nearly the same has shown.
 * @returns null where too little is seen.
 */
export const faceEdgeIn = (
  profile: LightAcross,
  seen: WallSeen,
  before: FaceEdge | null = null,
): FaceEdge | null => {
  const { shades } = profile;
  if (shades.length < leastPlaces) return null;
  const colours = [...colourOf(shades.slice(0, 3)), ...colourOf(shades.slice(-4))];
  const fresh = (edge: number): FaceShape => [edge, ...usual.map(([, value]) => value), ...colours];
  const edgesFrom = (wall: WallSeen, starts: readonly FaceShape[]): FaceEdge[] =>
    starts
      .flatMap((start) => edgeFrom(profile, wall, start) ?? [])
      .sort((a, b) => a.left - b.left)
      .slice(0, 1);
  if (seen.wallPx < clearWallPx)
    return edgesFrom(seen, [before === null ? fresh(0) : [0, ...before.shape.slice(1)]])[0] ?? null;
  const edges = [
    ...edgesFrom(seen, [fresh(0), fresh(-seen.wallPx)]),
    ...edgesFrom({ ...seen, wallPx: 0 }, [fresh(0)]),
  ];
  return weighed(edges, 3 * shades.length);
};

/** Colours of face and ground may be so much other in one part of a side, pixel values. */
const otherColour = 30;
/** In no part does a straight face end further than this from where the whole of it does, px. */
const mostOffPx = 1.5;

/**
 * Where the face ends in each part of a side, px outward of the line; all but its colours is as the whole side showed it. NaN where the part does not tell. Parts lie
 * near to the whole, so that one linear step does.
 */
export const edgesInParts = (
  parts: readonly LightAcross[],
  whole: LightAcross,
  { shape, seen, edgePx }: FaceEdge,
): number[] => {
  const places = placesFor(whole);
  const here = shadesOf(shape, seen, places);
  const free = [at.edge, ...shape.flatMap((_, k) => (k >= at.face ? [k] : []))];
  const columns = free.map((k) => {
    const there = shadesOf(
      shape.map((v, i) => (i === k ? v + stepOf(k) : v)),
      seen,
      places,
    );
    return there.map((line, c) => line.map((v, i) => (v - (here[c]?.[i] ?? 0)) / stepOf(k)));
  });
  return parts.map((part) => {
    if (part.offPx.length < leastPlaces) return Number.NaN;
    const [weights, given] = [weightsOf(part), seenIn(part)];
    const off = readAt(here, places, part).map((v, i) => ((given[i] ?? 0) - v) * (weights[i] ?? 0));
    const slopes = columns.map((lines) => readAt(lines, places, part).map((v, i) => v * (weights[i] ?? 0)));
    const matrix = slopes.flatMap((a, i) =>
      slopes.map((b, j) => dot(a, b) + (i !== j ? 0 : i === 0 ? 1e-6 : otherColour ** -2)),
    );
    const factor = choleskyFactor(matrix, free.length);
    const moved =
      factor &&
      choleskySolve(
        factor,
        free.length,
        slopes.map((a) => dot(a, off)),
      )[0];
    return moved != null && Math.abs(moved) < mostOffPx ? edgePx + moved : Number.NaN;
  });
};
