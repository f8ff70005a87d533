import type { CameraFacts } from '../../src/domain/camera';
import { type CameraFit, fitCameraToLines } from '../../src/domain/cameraFit';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { jacobianAt, localScale, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import { type LensBow, straightened, straightLens, usualCornerBow } from '../../src/domain/planeFitLens';
import { median } from '../../src/domain/statistics';
import { flattened } from './gridFit';
import type { FittedRuler } from './rulerTicks';

/** A tick's place on its own, px. */
const tickPx = 0.5;

/** Places on marks are never better than this, px, and somewhat worse than they look from how well they fit: bends of the row hide in the tilt. */
const leastPlacePx = 0.15;
const placeShare = 1.5;

/**
 * A place on a mark that lies off by more than so many times the middle of all, and by more than so many px, belongs to something else: by more where neither the
 * lens's bow is known nor what such places themselves have bent.
 */
const outlier = { times: 4, firstPx: 0.8, px: 0.4 };
const mostRounds = 3;

/** How far a place lies off its line, px. */
const offPx = (fit: PlaneFit, s: LineSighting): number => {
  const [ux, uy, vx, vy] = jacobianAt(fit.photoToPlane, s.x, s.y);
  const off = mapPoint(fit.photoToPlane, s.x, s.y)[s.axis] - s.index;
  return off / (s.axis === 0 ? Math.hypot(ux, uy) : Math.hypot(vx, vy));
};

/** Which of the places lie on a plane. */
const lyingOn = (places: readonly LineSighting[], fit: PlaneFit, leastPx: number): readonly boolean[] => {
  const offs = places.map((s) => Math.abs(offPx(fit, s)));
  const finite = offs.filter(Number.isFinite);
  const limit = Math.max(leastPx, outlier.times * (finite.length === 0 ? 0 : median(finite)));
  return offs.map((off) => off < limit);
};

/** A mark of which less than this share of the usual number of places is left is covered for the rest, and what covers it may have moved those. */
const leastOfMark = 0.6;

/** The places that lie on a plane, without the marks that hardly do. */
const keptOn = (places: readonly LineSighting[], lying: readonly boolean[]): readonly LineSighting[] => {
  const on = places.filter((_, i) => lying[i]);
  const counts = new Map<number, number>();
  for (const { group } of on) counts.set(group, (counts.get(group) ?? 0) + 1);
  const usual = counts.size === 0 ? 0 : median([...counts.values()]);
  return on.filter(({ axis, group }) => axis === 1 || (counts.get(group) ?? 0) >= leastOfMark * usual);
};

/** The plane that a ruler's marks lie on. */
export interface MarksFit {
  readonly fit: PlaneFit;
  /** How far lengths may be off because the lens bows or the row is bent, as a share. */
  readonly bowShare: number;
  /** What is left at the marks, px. */
  readonly leftPx: number;
}

/** Bends are at most so many times as large as usual. */
const mostBends = 6;

/**
 * A bend of the whole row is made less by no number of marks, what single places lie off by is: so what neighbouring marks have in common is asked, in so many
 * stretches of the row. Left over from the cubic A s³, s from −1 to 1, beside its best parabola (0.4 A P₃, the Legendre polynomial) is 0.151 A, and its slope is
 * 8 times that over the row's length in the middle and 32 times that at the ends: lengths may be off by so many times, as a share, where a swatch lies beside most
 * of the row.
 */
const hiddenTimes = 24;
const stretches = 8;
const hiddenShare = (places: readonly LineSighting[], fit: PlaneFit): number => {
  const marks = places.filter(({ axis }) => axis === 0);
  const numbers = marks.map(({ index }) => index);
  const [first, last] = [Math.min(...numbers), Math.max(...numbers)];
  const sums = Array.from({ length: stretches }, () => ({ count: 0, off: 0 }));
  for (const s of marks) {
    const own = sums[Math.min(stretches - 1, Math.floor((stretches * (s.index - first)) / (last - first)))];
    if (own === undefined) continue;
    own.count++;
    own.off += offPx(fit, s);
  }
  const means = sums.filter(({ count }) => count > 0).map(({ count, off }) => off / count);
  const together = Math.sqrt(means.reduce((sum, off) => sum + off * off, 0) / means.length);
  const [xs, ys] = [places.map(({ x }) => x), places.map(({ y }) => y)];
  const rowPx = Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
  return (hiddenTimes * together) / rowPx;
};

const unbowed = (sightings: readonly LineSighting[], lens: LensBow): LineSighting[] =>
  sightings.map((s) => {
    const [x, y] = straightened(lens, s.x, s.y);
    return { ...s, x, y };
  });

/** Marks are printed square to a ruler's edge to about a tenth of a degree (standard uncertainty; judgement). */
const usualSkew = 0.002;

/** What a row of marks does not tell apart from tilt, each in its usual size: the lens's bow, and marks that are not square to the edge. */
type Bends = readonly [bow: number, skew: number];

const skewed = (sightings: readonly LineSighting[], toSteps: Homography, skew: number): LineSighting[] => {
  const back = invertHomography(toSteps);
  return sightings.map((s) => {
    if (s.axis === 1) return s;
    const [u, v] = mapPoint(toSteps, s.x, s.y);
    const [x, y] = mapPoint(back, u + skew * v, v);
    return { ...s, x, y };
  });
};

interface BentFit {
  readonly places: readonly LineSighting[];
  readonly fit: CameraFit;
  /** Sum of the squares of all that is left, the bends among it. */
  readonly cost: number;
  /** The one plane nearest to it and how far lengths on that are off at worst, as a share. */
  readonly flat: { readonly fit: PlaneFit; readonly leftover: number };
}

/**
 * The camera over the marks with the lens's bow and the marks' skew told by all that is known together: how evenly the marks stand, how the rest of the photo says
 * that the table is tilted, and that both are small. The bow of a row seen off the middle looks like tilt along it and skew like tilt across it, so neither can be
 * told first. The cost is a quadratic form of the two through six tries; its curvature says how well they are known, and what that leaves open at the swatch
 * belongs to the ± (Gaussian approximation, covariance twice the inverse of the Hessian).
 */
const fitWithBends = (
  fitAt: (bends: Bends) => BentFit | null,
  scaleOf: (fit: BentFit) => number,
): { readonly best: BentFit; readonly openShare: number } | null => {
  const tries = (
    [
      [0, 0],
      [-1, 0],
      [1, 0],
      [0, -1],
      [0, 1],
      [1, 1],
    ] as const
  ).map(fitAt);
  const [here, less, more, left, right, both] = tries;
  if (!here || !less || !more || !left || !right || !both) return null;
  const [g, h] = [(more.cost - less.cost) / 2, (right.cost - left.cost) / 2];
  const [a, c] = [less.cost - 2 * here.cost + more.cost, left.cost - 2 * here.cost + right.cost];
  const b = both.cost - more.cost - right.cost + here.cost;
  const size = a * c - b * b;
  if (!(a > 0 && size > 0)) return null;
  const within = (value: number): number => Math.max(-mostBends, Math.min(mostBends, value));
  const best = fitAt([within((b * h - c * g) / size), within((b * g - a * h) / size)]);
  if (best === null) return null;
  const [p, q] = [(scaleOf(more) - scaleOf(less)) / 2, (scaleOf(right) - scaleOf(left)) / 2];
  return { best, openShare: Math.sqrt((2 * (p * p * c - 2 * p * q * b + q * q * a)) / size) };
};

/** The camera's pose over the marks, without those places on them that lie off, leaning on what the rest of the photo tells of the tilt. */
export const fitMarks = (
  ruler: FittedRuler,
  camera: CameraFacts,
  level: CameraLevel,
  wantedAt: { readonly x: number; readonly y: number },
): MarksFit | null => {
  const plainFit = (places: readonly LineSighting[], start: Homography): CameraFit | null =>
    fitCameraToLines(places, start, camera, tickPx, level);
  const rough = plainFit(ruler.sightings, ruler.toSteps);
  if (rough === null) return null;
  const straight = straightLens(camera.widthPx, camera.heightPx);
  let kept = keptOn(ruler.sightings, lyingOn(ruler.sightings, rough, outlier.firstPx));
  for (let round = 0; ; round++) {
    // How well the marks fit one plane tells how well their places are known, and so how much they may say against the rest of the photo.
    const plain = plainFit(kept, rough.photoToPlane);
    if (plain === null) return null;
    const placePx = Math.max(leastPlacePx, placeShare * plain.residualPx);
    const marks = kept;
    const fitAt = ([bow, skew]: Bends): BentFit | null => {
      const lens = { ...straight, bow: bow * usualCornerBow };
      const places = skewed(unbowed(marks, lens), ruler.toSteps, skew * usualSkew);
      const fit = fitCameraToLines(places, plain.photoToPlane, camera, placePx, level);
      const flat = fit && flattened({ ...fit, lens, bowUncertainty: null });
      return fit && flat && { places, fit, flat, cost: fit.misfit + bow * bow + skew * skew };
    };
    const bent = fitWithBends(fitAt, ({ flat }) =>
      Math.log(localScale(flat.fit.photoToPlane, wantedAt.x, wantedAt.y)),
    );
    if (bent === null) return null;
    const { best, openShare } = bent;
    const lying = keptOn(kept, lyingOn(best.places, best.fit, outlier.px));
    if (lying.length < kept.length && round < mostRounds) {
      kept = lying;
      continue;
    }
    const leftPx = best.fit.residualPx;
    const fit = { ...best.flat.fit, covariance: best.fit.covariance };
    return {
      fit,
      bowShare: Math.hypot(openShare, best.flat.leftover, hiddenShare(best.places, best.fit)),
      leftPx,
    };
  }
};
