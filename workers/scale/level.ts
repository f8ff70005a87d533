import { priorFocalPx } from '../../src/domain/camera';
import { type CameraLevel, heldByHand, slopesOf } from '../../src/domain/cameraLevel';
import type { PhotoFacts } from '../../src/domain/measurement';
import type { FittedGrid } from './gridFit';
import type { LineSegments, ScaleContext } from './kind';
import { crossSquarely } from './lattice';
import { cross, findBundles } from './vanishing';

/** A printed grid tells the level this well. */
const gridUncertainty = 0.004;
/** Printed lines lie this near to where a rigid grid puts them, px; threads of a cloth that were taken for print do not. */
const mostGridResidualPx = 0.4;
/** Rows and columns, threads and grain are parallel and flat on the table only about so well, rad (seen on drawn photos: a hundredth mostly). */
const leastUncertainty = 0.02;
/** With less length of parallel lines than so many long sides of the picture the level is less certain, in proportion. */
const fullSupport = 20;
/** Bundles with less length than so many long sides of the picture together say too little. */
const leastSupport = 0.8;
/** Bundles that are square to each other, as stitches and threads mostly are, count this much more than others. */
const squareSlack = 0.1;
const askewShare = 0.15;
/** Tilts beyond this are no photo of a swatch. */
const mostSlope = 0.7;

interface Vote {
  readonly x: number;
  readonly y: number;
  readonly weight: number;
}

const votesOf = ({ segments, widthPx, heightPx }: LineSegments, photo: PhotoFacts): Vote[] => {
  const half = Math.hypot(widthPx, heightPx) / 2;
  const focal = priorFocalPx({ widthPx, heightPx, focalLength35Mm: photo.focalLength35Mm }).value / half;
  return (['light', 'dark'] as const).flatMap((polarity) => {
    const bundles = findBundles(segments[polarity], widthPx, heightPx, 4);
    return bundles.flatMap((b, j) =>
      bundles.slice(0, j).flatMap((a): Vote[] => {
        if (!crossSquarely(a, b)) return [];
        const [p, q] = [a, b].map(({ point }) => [point[0] / focal, point[1] / focal, point[2]] as const);
        if (p === undefined || q === undefined) return [];
        const cosine = (p[0] * q[0] + p[1] * q[1] + p[2] * q[2]) / (Math.hypot(...p) * Math.hypot(...q));
        const horizon = cross(a.point, b.point);
        const [x, y] = [(focal * horizon[0]) / horizon[2], (focal * horizon[1]) / horizon[2]];
        if (!(Math.hypot(x, y) < mostSlope)) return [];
        const square = askewShare + Math.exp(-0.5 * (cosine / squareSlack) ** 2);
        return [{ x, y, weight: Math.min(a.supportPx, b.supportPx) * square }];
      }),
    );
  });
};

const weightedMedian = (values: readonly { readonly at: number; readonly weight: number }[]): number => {
  const sorted = [...values].sort((a, b) => a.at - b.at);
  let left = sorted.reduce((sum, v) => sum + v.weight, 0) / 2;
  for (const { at, weight } of sorted) {
    left -= weight;
    if (left <= 0) return at;
  }
  return 0;
};

/** Two estimates of one level joined by their uncertainties. */
const joined = (a: CameraLevel, b: CameraLevel): CameraLevel => {
  const [p, q] = [1 / a.uncertainty ** 2, 1 / b.uncertainty ** 2];
  return {
    slopeX: (p * a.slopeX + q * b.slopeX) / (p + q),
    slopeY: (p * a.slopeY + q * b.slopeY) / (p + q),
    uncertainty: 1 / Math.sqrt(p + q),
  };
};

/**
 * How the table stands to the camera, from whatever runs parallel on it: the mat's lines if there is a grid, else rows and columns of the swatch, the ground's
 * threads or grain. Two families of parallel lines give the plane's horizon. Things of one known length, that tell nothing of the tilt themselves, are
 * carried to the swatch by it.
 */
export const levelFrom = (
  lines: LineSegments,
  grid: FittedGrid | null,
  photo: PhotoFacts,
  work: { readonly widthPx: number; readonly heightPx: number },
): CameraLevel => {
  if (grid !== null && grid.fit.residualPx < mostGridResidualPx) {
    const [slopeX, slopeY] = slopesOf(grid.fit.photoToPlane, {
      ...work,
      focalLength35Mm: photo.focalLength35Mm,
    });
    return { slopeX, slopeY, uncertainty: gridUncertainty };
  }
  const votes = votesOf(lines, photo);
  const total = votes.reduce((sum, v) => sum + v.weight, 0);
  const long = Math.max(lines.widthPx, lines.heightPx);
  if (total < leastSupport * long) return heldByHand;
  const x = weightedMedian(votes.map((v) => ({ at: v.x, weight: v.weight })));
  const y = weightedMedian(votes.map((v) => ({ at: v.y, weight: v.weight })));
  const spread = weightedMedian(votes.map((v) => ({ at: Math.hypot(v.x - x, v.y - y), weight: v.weight })));
  const seen = {
    slopeX: x,
    slopeY: y,
    uncertainty: Math.max((leastUncertainty * fullSupport * long) / total, leastUncertainty, spread),
  };
  return joined(seen, heldByHand);
};

/** Without a grid, what tells the table's level is seldom quite flat itself: a thing leans on it no more than this, rad. */
const leastBeside = 0.03;

/** A level as things lying on the table may lean on it: no surer than they lie flat, unless measured stitches tell it. */
export const leantOn = (level: CameraLevel): CameraLevel =>
  level.isFromFabric === true ? level : { ...level, uncertainty: Math.max(level.uncertainty, leastBeside) };

/** The level of the table for a thing that does not show its own tilt. */
export const levelOfTable = (context: Pick<ScaleContext, 'level'>): CameraLevel => {
  const level = context.level();
  return level.uncertainty <= gridUncertainty ? level : leantOn(level);
};
