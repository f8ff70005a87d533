import { choleskyFactor, choleskySolve } from './planeFitAlgebra';

/** How a fit is sought. */
export interface SearchRules<T extends readonly number[]> {
  /** Changes of the values that derivatives are taken over. */
  readonly stepsAt: (values: T) => readonly number[];
  readonly rounds: number;
  /** The search ends when a step lowers the cost by less than this share of it. */
  readonly leastGain: number;
  readonly mostDamping: number;
}

/** Where a fit came to rest. */
export interface DampedFit<T extends readonly number[]> {
  readonly values: T;
  readonly residuals: readonly number[];
  /** Cholesky factor of the normal matrix, row by row: its inverse is the covariance of the values. */
  readonly factor: number[];
}

/** Sum of the squares of residuals. */
export const costOf = (residuals: readonly number[]): number => residuals.reduce((sum, v) => sum + v * v, 0);

/**
 * Moves values until the sum of squared residuals is least (Levenberg 1944, Marquardt 1963), with derivatives by differences.
 * @param residualsOf in units of their standard uncertainty, always as many.
 * @returns null when the values are not determined.
 */
export const dampedLeastSquares = <T extends readonly number[]>(
  start: T,
  residualsOf: (values: T) => readonly number[],
  { stepsAt, rounds, leastGain, mostDamping }: SearchRules<T>,
): DampedFit<T> | null => {
  const size = start.length;
  const shifted = (values: T, by: (i: number) => number): T =>
    values.map((v, i) => v + by(i)) as unknown as T;
  let values = start;
  let residuals = residualsOf(values);
  let damping = 1e-3;
  let factor: number[] | null = null;
  for (let round = 0; round < rounds; round++) {
    const columns = stepsAt(values).map((step, k) =>
      residualsOf(shifted(values, (i) => (i === k ? step : 0))).map(
        (v, i) => (v - (residuals[i] ?? 0)) / step,
      ),
    );
    const matrix = productsOf(columns);
    const right = columns.map((a) => -dot(a, residuals));
    factor = choleskyFactor(matrix, size);
    const damped = matrix.map((v, k) => (k % (size + 1) === 0 ? v * (1 + damping) : v));
    const solver = choleskyFactor(damped, size);
    if (solver === null) return null;
    const change = choleskySolve(solver, size, right);
    const next = shifted(values, (i) => change[i] ?? 0);
    const moved = residualsOf(next);
    const [before, after] = [costOf(residuals), costOf(moved)];
    if (after < before) {
      values = next;
      residuals = moved;
      damping = Math.max(1e-9, damping / 10);
      if (before - after < leastGain * before) break;
    } else {
      damping *= 10;
      if (damping > mostDamping) break;
    }
  }
  return factor === null ? null : { values, residuals, factor };
};

/** Inner product of two lists of one length. */
export const dot = (a: readonly number[], b: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
};

/** Products of all columns with each other, a symmetric matrix row by row. */
const productsOf = (columns: readonly (readonly number[])[]): number[] => {
  const size = columns.length;
  const products = new Array<number>(size * size).fill(0);
  columns.forEach((a, i) => {
    for (let j = 0; j <= i; j++) {
      const product = dot(a, columns[j] ?? []);
      products[size * i + j] = product;
      products[size * j + i] = product;
    }
  });
  return products;
};
