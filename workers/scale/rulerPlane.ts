import type { CameraFacts } from '../../src/domain/camera';
import { type CameraFit, fitCameraToLines } from '../../src/domain/cameraFit';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { jacobianAt, localScale, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import { type LensBow, straightened, straightLens } from '../../src/domain/planeFitLens';
import { flattened } from './gridFit';
import type { FittedRuler } from './rulerTicks';

/** A tick's place on its own, px. */
const tickPx = 0.5;

/** Places on marks are never better than this, px, and somewhat worse than they look from how well they fit: bends of the row hide in the tilt. */
const leastPlacePx = 0.15;
const placeShare = 1.5;

/** A place on a mark that lies off by more than so many times the middle of all, and by more than so many px, belongs to something else. */
const outlier = { times: 4, px: 0.8 };

const offPx = (fit: PlaneFit, s: LineSighting): number => {
  const [ux, uy, vx, vy] = jacobianAt(fit.photoToPlane, s.x, s.y);
  const off = mapPoint(fit.photoToPlane, s.x, s.y)[s.axis] - s.index;
  return Math.abs(off) / (s.axis === 0 ? Math.hypot(ux, uy) : Math.hypot(vx, vy));
};

/** The plane that a ruler's marks lie on. */
export interface MarksFit {
  readonly fit: PlaneFit;
  /** How far lengths may be off because the lens bows or the row is bent, as a share. */
  readonly bowShare: number;
  /** What is left at the marks, px. */
  readonly leftPx: number;
}

/** What is left of a lens's bowing after its own correction, at the corners of a photo (standard uncertainty; common practice), and the most that a lens shows. */
const usualBow = 0.01;
const mostBow = 0.06;

/**
 * What is left at the marks may be a bend of the whole row, which no number of marks makes less. Left over from the cubic A s³, s from −1 to 1, beside its best
 * parabola (0.4 A P₃, the Legendre polynomial) is 0.151 A, and its slope is 8 times that over the row's length in the middle and 32 times that at the ends:
 * lengths may be off by so many times, as a share, where a swatch lies beside most of the row.
 */
const hiddenTimes = 24;
const hiddenShare = (places: readonly LineSighting[], leftPx: number): number => {
  const [xs, ys] = [places.map(({ x }) => x), places.map(({ y }) => y)];
  const rowPx = Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
  return (hiddenTimes * leftPx) / rowPx;
};

const unbowed = (sightings: readonly LineSighting[], lens: LensBow): LineSighting[] =>
  sightings.map((s) => {
    const [x, y] = straightened(lens, s.x, s.y);
    return { ...s, x, y };
  });

interface BowFit {
  readonly bow: number;
  readonly fit: CameraFit;
  /** The one plane nearest to it and how far lengths on that are off at worst, as a share. */
  readonly flat: { readonly fit: PlaneFit; readonly leftover: number };
}

/**
 * The camera over the marks with the lens's bowing told by all that is known together: how evenly the marks stand, how the rest of the photo says that the table
 * is tilted, and that lenses bow little. The bow of a row seen off the middle looks like tilt along it, so neither can be told first. The cost is a parabola of
 * the bowing through three tries; its bend says how well the bowing is known, and what that leaves open at the swatch belongs to the ±.
 */
const fitWithBow = (
  places: readonly LineSighting[],
  start: PlaneFit,
  placePx: number,
  camera: CameraFacts,
  level: CameraLevel,
  wantedAt: { readonly x: number; readonly y: number },
): { readonly best: BowFit; readonly openShare: number } | null => {
  const straight = straightLens(camera.widthPx, camera.heightPx);
  const fitAt = (bow: number): BowFit | null => {
    const lens = { ...straight, bow };
    const fit = fitCameraToLines(unbowed(places, lens), start.photoToPlane, camera, placePx, level);
    return fit && { bow, fit, flat: flattened({ ...fit, lens, bowUncertainty: null }) };
  };
  const [less, here, more] = [fitAt(-usualBow), fitAt(0), fitAt(usualBow)];
  if (less === null || here === null || more === null) return null;
  const cost = ({ fit, bow }: BowFit): number => fit.misfit + (bow / usualBow) ** 2;
  const bend = cost(less) - 2 * cost(here) + cost(more);
  const wanted = (usualBow * (cost(less) - cost(more))) / (2 * bend);
  const best = fitAt(Math.max(-mostBow, Math.min(mostBow, wanted)));
  if (best === null) return null;
  const scaleOf = ({ flat }: BowFit): number =>
    Math.log(localScale(flat.fit.photoToPlane, wantedAt.x, wantedAt.y));
  const perBow = (scaleOf(more) - scaleOf(less)) / (2 * usualBow);
  // A cost of one more is one standard uncertainty: bend · (bow / usualBow)² / 2 = 1.
  const open = usualBow * Math.sqrt(2 / bend);
  return { best, openShare: Math.abs(perBow * open) };
};

/** The camera's pose over the marks, without those places on them that lie off, leaning on what the rest of the photo tells of the tilt. */
export const fitMarks = (
  ruler: FittedRuler,
  camera: CameraFacts,
  level: CameraLevel,
  wantedAt: { readonly x: number; readonly y: number },
): MarksFit | null => {
  const rough = fitCameraToLines(ruler.sightings, ruler.toSteps, camera, tickPx, level);
  if (rough === null) return null;
  const offs = ruler.sightings.map((s) => offPx(rough, s));
  const middle = [...offs].sort((a, b) => a - b)[offs.length >> 1] ?? 0;
  const limit = Math.max(outlier.px, outlier.times * middle);
  const kept = ruler.sightings.filter((_, i) => (offs[i] ?? 0) < limit);
  // How well the marks fit one plane tells how well their places are known, and so how much they may say against the rest of the photo.
  const plain = fitCameraToLines(kept, rough.photoToPlane, camera, tickPx, level);
  if (plain === null) return null;
  const placePx = Math.max(leastPlacePx, placeShare * plain.residualPx);
  const first = fitWithBow(kept, plain, placePx, camera, level, wantedAt);
  if (first === null) return null;
  const { best, openShare } = first;
  const leftPx = best.fit.residualPx;
  const fit = { ...best.flat.fit, covariance: plain.covariance };
  return { fit, bowShare: Math.hypot(openShare, best.flat.leftover, hiddenShare(kept, leftPx)), leftPx };
};
