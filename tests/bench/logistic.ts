import { Matrix, solve } from 'ml-matrix';
import { sigmoid } from '../../workers/stitches/chance';

/** Ridge on the standardised weights: keeps classes that hardly overlap from being called certain. */
const RIDGE = 0.1;
const ROUNDS = 60;

/** One half of the photos by name (FNV-1a), so that each photo, with all that was made of it, falls to one side whatever else there is. */
export const isFirstHalf = (photo: string): boolean => {
  const root = photo.match(/d\d\d/)?.[0] ?? photo;
  let hash = 0x811c9dc5;
  for (const letter of root) hash = Math.imul(hash ^ letter.charCodeAt(0), 0x01000193) >>> 0;
  return ((hash >>> 8) & 1) === 0;
};

/**
 * Logistic regression by Newton's method with a ridge (Hosmer, Lemeshow and Sturdivant, Applied Logistic Regression, 2013, section 1.2; le Cessie and van
 * Houwelingen 1992 for the ridge). The first column is the constant and is not drawn towards zero.
 */
export const fitLogistic = (
  rows: readonly (readonly number[])[],
  right: readonly boolean[],
  ridgeWeight = RIDGE,
): number[] => {
  const width = rows[0]?.length ?? 0;
  const spread = Array.from({ length: width }, (_, k) => {
    const mean = rows.reduce((sum, row) => sum + (row[k] ?? 0), 0) / rows.length;
    const deviation = Math.sqrt(
      rows.reduce((sum, row) => sum + ((row[k] ?? 0) - mean) ** 2, 0) / rows.length,
    );
    return deviation > 1e-9 ? deviation : 1;
  });
  const X = new Matrix(rows.map((row) => row.map((value, k) => value / (spread[k] ?? 1))));
  const ridge = Matrix.eye(width, width, ridgeWeight);
  ridge.set(0, 0, 1e-6);
  let weights = Matrix.zeros(width, 1);
  for (let round = 0; round < ROUNDS; round++) {
    const chances = X.mmul(weights).to1DArray().map(sigmoid);
    const scaled = X.clone();
    chances.forEach((p, i) => {
      scaled.mulRow(i, p * (1 - p) + 1e-9);
    });
    const misses = Matrix.columnVector(chances.map((p, i) => (right[i] === true ? 1 : 0) - p));
    const slope = X.transpose().mmul(misses).sub(ridge.mmul(weights));
    weights = weights.add(solve(X.transpose().mmul(scaled).add(ridge), slope));
  }
  return weights.to1DArray().map((weight, k) => weight / (spread[k] ?? 1));
};

/**
 * The same with no feature counting in favour: each says what is amiss, and one that seems to help does so by the chance of few photos. Those are left
 * out one after another, the largest first, until none is left.
 */
export const fitDoubts = (
  rows: readonly (readonly number[])[],
  right: readonly boolean[],
  ridgeWeight = RIDGE,
): number[] => {
  let used = (rows[0] ?? []).map((_, k) => k);
  for (;;) {
    const weights = fitLogistic(
      rows.map((row) => used.map((k) => row[k] ?? 0)),
      right,
      ridgeWeight,
    );
    const largest = Math.max(...weights.slice(1));
    if (largest <= 0) {
      const all = new Array<number>(rows[0]?.length ?? 0).fill(0);
      used.forEach((k, i) => {
        all[k] = weights[i] ?? 0;
      });
      return all;
    }
    used = used.filter((_, i) => i === 0 || weights[i] !== largest);
  }
};
