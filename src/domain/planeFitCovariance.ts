import type { Homography } from './plane';
import { multiply3, normalised } from './planeFitAlgebra';

/** A place in the photo (px) that is known to lie on a numbered line of a plane: `axis` 0 means u = index, 1 means v = index. */
export interface LineSighting {
  readonly x: number;
  readonly y: number;
  readonly axis: 0 | 1;
  readonly index: number;
  /** Which physical line it was seen on; sightings of one line share their printing error. */
  readonly group: number;
}

/** A homography photo px → (u, v) with what is known of its quality. */
export interface PlaneFit {
  readonly photoToPlane: Homography;
  /** Robust root mean square distance of the sightings from where the map puts them, px. */
  readonly residualPx: number;
  /** Covariance of the eight free entries of `photoToPlane` (the last is 1), row-major 8×8. */
  readonly covariance: readonly number[];
}

export interface Round {
  residuals: Float64Array;
  weights: Float64Array;
  /** Derivatives of each residual, `size` a sighting. */
  rows: Float64Array;
  size: number;
}

/** How many neighbouring sightings along one line count as one, where too few lines are there to tell. */
const sharedBy = 6;

/** Least squares covariance σ² (AᵀA)⁻¹ for few lines. */
const plainCovariance = (round: Round, inverse: readonly number[]): number[] => {
  let weights = 0;
  let squares = 0;
  round.residuals.forEach((r, i) => {
    const weight = round.weights[i] as number;
    weights += weight;
    squares += weight * r * r;
  });
  const variance = (sharedBy * squares) / Math.max(1, weights - round.size);
  return inverse.map((v) => v * variance);
};

export const clusteredCovariance = (
  round: Round,
  sightings: readonly LineSighting[],
  inverse: readonly number[],
): number[] => {
  const { size } = round;
  const scores = new Map<number, number[]>();
  sightings.forEach((s, i) => {
    const weight = (round.weights[i] ?? 0) * (round.residuals[i] ?? 0);
    const score = scores.get(s.group) ?? new Array<number>(size).fill(0);
    for (let a = 0; a < size; a++) score[a] = (score[a] ?? 0) + weight * (round.rows[size * i + a] ?? 0);
    scores.set(s.group, score);
  });
  const groups = scores.size;
  if (groups < size + 3) return plainCovariance(round, inverse);
  const few = groups / (groups - size);
  const out = new Array<number>(size * size).fill(0);
  for (const score of scores.values()) {
    const moved = score.map((_, a) => {
      let sum = 0;
      for (let b = 0; b < size; b++) sum += (inverse[size * a + b] ?? 0) * (score[b] ?? 0);
      return sum;
    });
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < size; b++) {
        out[size * a + b] = (out[size * a + b] ?? 0) + few * (moved[a] ?? 0) * (moved[b] ?? 0);
      }
    }
  }
  return out;
};

/** Carries a homography and its covariance from conditioned px back to photo px (first order). */
export const inPhotoPx = (
  h: Homography,
  covariance: readonly number[],
  toUnit: Homography,
): Pick<PlaneFit, 'photoToPlane' | 'covariance'> => {
  const photoToPlane = normalised(multiply3(h, toUnit));
  const columns = h.slice(0, 8).map((value, k) => {
    const step = 1e-6 * (1 + Math.abs(value));
    const moved = normalised(
      multiply3(
        h.map((v, i) => (i === k ? v + step : v)),
        toUnit,
      ),
    );
    return moved.slice(0, 8).map((v, i) => (v - (photoToPlane[i] ?? 0)) / step);
  });
  const out = new Array<number>(64).fill(0);
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      let sum = 0;
      for (let i = 0; i < 8; i++) {
        for (let j = 0; j < 8; j++) {
          sum += (columns[i]?.[a] ?? 0) * (covariance[8 * i + j] ?? 0) * (columns[j]?.[b] ?? 0);
        }
      }
      out[8 * a + b] = sum;
    }
  }
  return { photoToPlane, covariance: out };
};

/**
 * Standard uncertainty of a function of a fitted homography, by first-order propagation (JCGM 100:2008, 5.1.2 and 5.2.2) with numerical
 * derivatives.
 */
export const propagated = (
  fit: Pick<PlaneFit, 'photoToPlane' | 'covariance'>,
  of: (h: Homography) => number,
): number => {
  const base = of(fit.photoToPlane);
  const gradient = fit.photoToPlane.slice(0, 8).map((value, k) => {
    const deviation = Math.sqrt(Math.max(0, fit.covariance[9 * k] ?? 0));
    const step = deviation > 0 ? 0.1 * deviation : 1e-9 * (1 + Math.abs(value));
    const moved = fit.photoToPlane.map((v, i) => (i === k ? v + step : v)) as unknown as Homography;
    return (of(moved) - base) / step;
  });
  let variance = 0;
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      variance += (gradient[a] ?? 0) * (fit.covariance[8 * a + b] ?? 0) * (gradient[b] ?? 0);
    }
  }
  return Math.sqrt(Math.max(0, variance));
};
