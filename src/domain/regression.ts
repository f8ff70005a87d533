import { studentTTwoSided } from './statistics';

/** A linear least squares fit; list positions follow the columns of the model, the intercept first if there is one. */
export interface LeastSquaresFit {
  readonly coefficients: readonly number[];
  /** Standard errors from the residual scatter; NaN when there are as many coefficients as points. */
  readonly standardErrors: readonly number[];
  /** (XᵀWX)⁻¹: the covariance of the coefficients when every weight is 1 / u² with the true u. */
  readonly statedCovariance: readonly (readonly number[])[];
  /** The same multiplied by the residual variance. */
  readonly covariance: readonly (readonly number[])[];
  /** Observed minus fitted, unweighted, in the unit of y. */
  readonly residuals: readonly number[];
  /** Square root of the (weighted) residual sum of squares over its degrees of freedom. */
  readonly residualSd: number;
  readonly degreesOfFreedom: number;
  readonly residualSumOfSquares: number;
  /** About the mean when the model has an intercept, about zero otherwise. */
  readonly regressionSumOfSquares: number;
  readonly rSquared: number;
  readonly fStatistic: number;
}

type Vector = readonly number[];

const dot = (a: Vector, b: Vector): number => a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0);
const minusMultiple = (a: Vector, factor: number, b: Vector): number[] =>
  a.map((v, i) => v - factor * (b[i] ?? 0));

interface Projected {
  readonly rest: Vector;
  readonly shares: readonly number[];
}

/** Takes the directions out of a vector, twice, so that rounding leaves nothing of them behind. */
const projectOut = (vector: Vector, directions: readonly Vector[]): Projected => {
  let rest: Vector = vector;
  const shares = directions.map(() => 0);
  for (let pass = 0; pass < 2; pass += 1) {
    directions.forEach((q, j) => {
      const share = dot(q, rest);
      rest = minusMultiple(rest, share, q);
      shares[j] = (shares[j] ?? 0) + share;
    });
  }
  return { rest, shares };
};

/** Columns of R as [shares on the earlier directions…, own length], and the orthonormal directions. */
const factorise = (columns: readonly Vector[]): { directions: Vector[]; r: number[][] } => {
  const directions: Vector[] = [];
  const r: number[][] = [];
  for (const column of columns) {
    const { rest, shares } = projectOut(column, directions);
    const length = Math.sqrt(dot(rest, rest));
    if (!(length > 1e-11 * Math.sqrt(dot(column, column)))) {
      throw new RangeError('These points do not settle the fit: too few of them lie at different places.');
    }
    directions.push(rest.map((v) => v / length));
    r.push([...shares, length]);
  }
  return { directions, r };
};

/** Solves R b = c for upper triangular R given by columns. */
const backSubstitute = (r: readonly Vector[], c: Vector): number[] => {
  const rest = [...c];
  const solution = c.map(() => 0);
  for (let k = r.length - 1; k >= 0; k -= 1) {
    const column = r[k] ?? [];
    const value = (rest[k] ?? 0) / (column[k] ?? 1);
    solution[k] = value;
    for (let j = 0; j < k; j += 1) rest[j] = (rest[j] ?? 0) - value * (column[j] ?? 0);
  }
  return solution;
};

/** (RᵀR)⁻¹ = R⁻¹ R⁻ᵀ. */
const inverseOfSquare = (r: readonly Vector[]): number[][] => {
  const unit = (k: number): number[] => r.map((_, j) => (j === k ? 1 : 0));
  const inverseColumns = r.map((_, k) => backSubstitute(r, unit(k)));
  const row = (i: number): number[] => inverseColumns.map((column) => column[i] ?? 0);
  return r.map((_, i) => r.map((__, j) => dot(row(i), row(j))));
};

/**
 * Linear least squares through an orthogonal factorisation of the columns by modified Gram–Schmidt with
 * re-orthogonalisation (Å. Björck, BIT 7, 1967, 1–21). Weights, where given, are 1 / u² of each y, or proportional to it.
 * @param columns the model's columns, each as long as `y`; with `hasIntercept` the first is all ones.
 * @throws RangeError when lengths differ, points are fewer than coefficients, or the columns do not settle the fit.
 */
export const fitColumns = (
  columns: readonly Vector[],
  y: Vector,
  options: { readonly hasIntercept: boolean; readonly weights?: Vector | undefined },
): LeastSquaresFit => {
  const { weights, hasIntercept } = options;
  if ([...columns, ...(weights ? [weights] : [])].some((column) => column.length !== y.length)) {
    throw new RangeError('Every list of a fit must be equally long.');
  }
  if (y.length < columns.length) {
    throw new RangeError(`This fit needs at least ${columns.length} points; there are ${y.length}.`);
  }
  const roots = weights?.map(Math.sqrt) ?? y.map(() => 1);
  const scaled = (v: Vector): number[] => v.map((value, i) => value * (roots[i] ?? 0));
  const { directions, r } = factorise(columns.map(scaled));
  const { rest, shares } = projectOut(scaled(y), directions);
  const coefficients = backSubstitute(r, shares);
  const degreesOfFreedom = y.length - columns.length;
  const residualSumOfSquares = dot(rest, rest);
  const explained = hasIntercept ? shares.slice(1) : shares;
  const regressionSumOfSquares = dot(explained, explained);
  const variance = residualSumOfSquares / degreesOfFreedom;
  const statedCovariance = inverseOfSquare(r);
  const covariance = statedCovariance.map((line) => line.map((v) => v * variance));
  return {
    coefficients,
    statedCovariance,
    covariance,
    standardErrors: covariance.map((line, i) => Math.sqrt(line[i] ?? Number.NaN)),
    residuals: rest.map((v, i) => v / (roots[i] ?? 1)),
    residualSd: Math.sqrt(variance),
    degreesOfFreedom,
    residualSumOfSquares,
    regressionSumOfSquares,
    rSquared: regressionSumOfSquares / (regressionSumOfSquares + residualSumOfSquares),
    fStatistic: regressionSumOfSquares / explained.length / variance,
  };
};

/** y = b₀ + b₁x + … + b_d x^d by (weighted) least squares; coefficients from the constant upwards. */
export const fitPolynomial = (x: Vector, y: Vector, degree: number, weights?: Vector): LeastSquaresFit => {
  const columns = Array.from({ length: degree + 1 }, (_, power) => x.map((v) => v ** power));
  return fitColumns(columns, y, { hasIntercept: true, weights });
};

/** y = b₀ + b₁x by (weighted) least squares. */
export const fitStraightLine = (x: Vector, y: Vector, weights?: Vector): LeastSquaresFit =>
  fitPolynomial(x, y, 1, weights);

/** y = b₁x by (weighted) least squares; R² is about zero, not about the mean. */
export const fitThroughOrigin = (x: Vector, y: Vector, weights?: Vector): LeastSquaresFit =>
  fitColumns([x], y, { hasIntercept: false, weights });

/** Chance of a coefficient this far from zero, either way, when its true value is zero (Student's t). */
export const chanceCoefficientIsZero = (fit: LeastSquaresFit, position: number): number => {
  const t = (fit.coefficients[position] ?? Number.NaN) / (fit.standardErrors[position] ?? Number.NaN);
  return studentTTwoSided(t, fit.degreesOfFreedom);
};
