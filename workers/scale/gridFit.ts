import type { Homography } from '../../src/domain/plane';
import { fitPlaneToLines, jacobianAt, multiply3, normalised, type PlaneFit } from '../../src/domain/planeFit';
import type { GreyImage } from '../image';
import { type MeasuredLine, measureLines, sightingsFrom } from './gridLines';
import type { Polarity } from './ridges';

/** A grid whose lines are numbered and measured, in px of the work image. */
export interface FittedGrid {
  readonly fit: PlaneFit;
  readonly lines: readonly MeasuredLine[];
  readonly polarity: Polarity;
}

/** Distance from a line to its neighbour, px, at the middle of what was seen of it. */
export const spacingAt = (toLattice: Homography, line: MeasuredLine): number => {
  const place = line.places[line.places.length >> 1] ?? { x: 0, y: 0 };
  const [ux, uy, vx, vy] = jacobianAt(toLattice, place.x, place.y);
  return 1 / (line.axis === 0 ? Math.hypot(ux, uy) : Math.hypot(vx, vy));
};

const passes = [
  { searchPx: 4, stepPx: 10 },
  { searchPx: 2, stepPx: 5 },
];

/**
 * Refines a guessed grid on the work image: every line is measured at many places and the plane fitted to them, coarsely and then finely.
 * @param toLattice work px → (u, v), whole numbers on the lines.
 * @returns null when too little of the grid is there.
 */
export const refineGrid = (
  image: GreyImage,
  toLattice: Homography,
  polarity: Polarity,
): FittedGrid | null => {
  let h = toLattice;
  let result: FittedGrid | null = null;
  for (const pass of passes) {
    const lines = measureLines(image, h, { polarity, halfWidthPx: 5, ...pass });
    const fit = fitPlaneToLines(sightingsFrom(lines), h);
    if (fit === null) return null;
    h = fit.photoToPlane;
    result = { fit, lines, polarity };
  }
  return result;
};

/** The fit with every `every`-th line as the unit and line `phase` as the zero of each axis. */
export const coarserFit = (fit: PlaneFit, every: number, phase: readonly [number, number]): PlaneFit => {
  const k = 1 / every;
  const change = [k, 0, -phase[0] * k, 0, k, -phase[1] * k, 0, 0, 1];
  return inOtherPlane(fit, change);
};

/** The fit followed by an affine map of the plane, its covariance carried along. */
export const inOtherPlane = (fit: PlaneFit, change: readonly number[]): PlaneFit => {
  const photoToPlane = normalised(multiply3(change, fit.photoToPlane));
  const columns = fit.photoToPlane.slice(0, 8).map((_, k) => {
    const unit = fit.photoToPlane.map((_v, i) => (i === k ? 1 : 0));
    return multiply3(change, unit);
  });
  const covariance = new Array<number>(64).fill(0);
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      let sum = 0;
      for (let i = 0; i < 8; i++) {
        for (let j = 0; j < 8; j++) {
          sum += (columns[i]?.[a] ?? 0) * (fit.covariance[8 * i + j] ?? 0) * (columns[j]?.[b] ?? 0);
        }
      }
      covariance[8 * a + b] = sum;
    }
  }
  return { photoToPlane, residualPx: fit.residualPx, covariance };
};

/** The fit of the work image carried to the full photo. */
export const inFullPhoto = (fit: PlaneFit, photoPxPerWorkPx: number): PlaneFit => {
  const s = photoPxPerWorkPx;
  const factor = [1 / s, 1 / s, 1, 1 / s, 1 / s, 1, 1 / s, 1 / s];
  return {
    photoToPlane: normalised(multiply3(fit.photoToPlane, [1 / s, 0, 0, 0, 1 / s, 0, 0, 0, 1])),
    residualPx: fit.residualPx * s,
    covariance: fit.covariance.map((v, k) => v * (factor[k >> 3] ?? 1) * (factor[k & 7] ?? 1)),
  };
};
