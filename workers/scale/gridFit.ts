import type { Homography } from '../../src/domain/plane';
import type { BowedPlaneFit } from '../../src/domain/planeFit';
import { jacobianAt, mapPoint, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import type { PlaneFit } from '../../src/domain/planeFitCovariance';
import { straightened, straightLens } from '../../src/domain/planeFitLens';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import { fitBowIfSeen } from './bowIfSeen';
import { type MeasuredLine, measureLines, sightingsFrom } from './gridLines';
import { recounted } from './gridNumbers';
import type { Polarity } from './ridges';

/** A grid whose lines are numbered and measured, in px of the work image. */
export interface FittedGrid {
  readonly fit: BowedPlaneFit;
  readonly lines: readonly MeasuredLine[];
  readonly polarity: Polarity;
}

/** Distance between neighbouring lines of each axis at a place, px. */
export const spacingOn = (toLattice: Homography, x: number, y: number): [number, number] => {
  const [ux, uy, vx, vy] = jacobianAt(toLattice, x, y);
  return [1 / Math.hypot(ux, uy), 1 / Math.hypot(vx, vy)];
};

/** Distance from a line to its neighbour, px, at the middle of what was seen of it. */
export const spacingAt = (toLattice: Homography, line: MeasuredLine): number => {
  const place = line.places[line.places.length >> 1] ?? { x: 0, y: 0 };
  return spacingOn(toLattice, place.x, place.y)[line.axis];
};

/** Lines are looked at in so many places along the picture's long side, which leaves several in the margin around a swatch, but not closer than texture repeats. */
const stepsPerSide = 200;
const leastStepPx = 4;
const mostStepPx = 10;

/**
 * Refines a guessed grid on the work image: every line is measured at many places and the plane fitted to them, coarsely and then finely; the
 * lens's bowing is fitted along where the lines show it.
 * @param toLattice work px → (u, v), whole numbers on the lines.
 * @returns null when too little of the grid is there.
 */
export const refineGrid = (
  image: GreyImage,
  toLattice: Homography,
  polarity: Polarity,
): FittedGrid | null => {
  let h = toLattice;
  let lens = straightLens(image.widthPx, image.heightPx);
  const longSidePx = Math.max(image.widthPx, image.heightPx);
  const coarsePx = Math.min(mostStepPx, Math.max(leastStepPx, longSidePx / stepsPerSide));
  const measured = (searchPx: number, stepPx: number): MeasuredLine[] =>
    measureLines(image, h, { polarity, lens, halfWidthPx: 12, searchPx, stepPx });
  const pass = (searchPx: number, stepPx: number): FittedGrid | null => {
    const lines = measured(searchPx, stepPx);
    const fit = fitBowIfSeen(sightingsFrom(lines), h, lens);
    if (fit === null) return null;
    h = fit.photoToPlane;
    lens = fit.lens;
    return { fit, lines, polarity };
  };
  ({ toLattice: h, lens } = recounted(measured(4, coarsePx), { toLattice: h, lens }));
  const first = pass(4, coarsePx);
  if (first === null || (first.fit.lens.bow !== 0 && pass(4, coarsePx) === null)) return null;
  const fine = pass(2, coarsePx / 2);
  return fine === null ? null : withoutEmptyLines(fine);
};

/** Share of the photo's width and height, about its middle, where a bowed plane is flattened best. */
const middleShare = 0.6;
/** That part is looked at in so many places along either side, and lengths across it that are so many steps long, as a counted window is. */
const places = 9;
const spanSteps = 4;

/**
 * The one homography that comes nearest to a bowed fit over the middle of the picture, where the swatch lies, and how far (relative)
 * lengths across a window there are off at worst.
 */
export const flattened = (fit: BowedPlaneFit): { fit: PlaneFit; leftover: number } => {
  const { lens } = fit;
  if (lens.bow === 0) return { fit, leftover: 0 };
  const across = (i: number): number => 1 + middleShare * ((2 * i) / (places - 1) - 1);
  const from = Array.from({ length: places ** 2 }, (_, k) => ({
    x: lens.centreX * across(Math.floor(k / places)),
    y: lens.centreY * across(k % places),
  }));
  const truly = from.map(({ x, y }) => mapPoint(fit.photoToPlane, ...straightened(lens, x, y)));
  const photoToPlane = homographyFromPoints(
    from,
    truly.map(([x, y]) => ({ x, y })),
  );
  if (photoToPlane === null) return { fit, leftover: 0 };
  const flat = from.map(({ x, y }) => mapPoint(photoToPlane, x, y));
  const lengthIn = (points: readonly (readonly [number, number])[], a: number, b: number): number => {
    const [ax, ay] = points[a] ?? [0, 0];
    const [bx, by] = points[b] ?? [0, 0];
    return Math.hypot(ax - bx, ay - by);
  };
  let worst = 0;
  for (let i = 0; i < places; i++) {
    for (let j = 0; j + spanSteps < places; j++) {
      const spans = [
        [places * i + j, places * i + j + spanSteps],
        [places * j + i, places * (j + spanSteps) + i],
      ] as const;
      for (const [a, b] of spans)
        worst = Math.max(worst, Math.abs(lengthIn(flat, a, b) / lengthIn(truly, a, b) - 1));
    }
  }
  return { fit: { ...fit, photoToPlane }, leftover: worst };
};

/** Least share of everything seen that must lie on every n-th line for the lines between to count as not there. */
const emptyBetween = 0.93;

/** Sum of what was seen on the lines of one axis, by the remainder of their index. */
const seenByPhase = (lines: readonly MeasuredLine[], axis: 0 | 1, every: number): number[] => {
  const sums = new Array<number>(every).fill(0);
  for (const line of lines) {
    if (line.axis !== axis) continue;
    const phase = ((line.index % every) + every) % every;
    sums[phase] = (sums[phase] ?? 0) + line.seenShare;
  }
  return sums;
};

/**
 * The same grid without the lines that are nowhere: where only every n-th numbered line was seen, those become the grid.
 * Faint lines that are there are kept, since it is counted how far a line is seen and not how strongly.
 */
export const withoutEmptyLines = (grid: FittedGrid): FittedGrid => {
  for (const every of [2, 3, 5]) {
    const phases = ([0, 1] as const).map((axis) => {
      const sums = seenByPhase(grid.lines, axis, every);
      const total = sums.reduce((a, b) => a + b, 0);
      const top = Math.max(...sums);
      return top > emptyBetween * total ? sums.indexOf(top) : null;
    });
    const [p, q] = phases;
    if (p === null || p === undefined || q === null || q === undefined) continue;
    const phase = [p, q] as const;
    const lines = grid.lines
      .filter((l) => (l.index - phase[l.axis]) % every === 0)
      .map((l) => ({ ...l, index: (l.index - phase[l.axis]) / every }));
    const fit = { ...grid.fit, ...coarserFit(grid.fit, every, phase) };
    return withoutEmptyLines({ ...grid, fit, lines });
  }
  return grid;
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
