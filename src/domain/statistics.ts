import { regularisedIncompleteBeta, regularisedUpperGamma } from './specialFunctions';

export { logGamma, regularisedIncompleteBeta } from './specialFunctions';

/** Consistency factor of the median absolute deviation for normal data: 1 / Φ⁻¹(3/4). */
export const MAD_TO_SIGMA = 1.482602218505602;

/**
 * Arithmetic mean.
 * @throws RangeError when there are no values.
 */
export const mean = (values: readonly number[]): number => {
  if (values.length === 0) throw new RangeError('The mean of no values does not exist.');
  return values.reduce((sum, v) => sum + v, 0) / values.length;
};

/**
 * Sample standard deviation with n − 1 in the denominator (JCGM 100:2008, 4.2.2).
 * @throws RangeError when there are fewer than two values.
 */
export const standardDeviation = (values: readonly number[]): number => {
  if (values.length < 2) throw new RangeError('A spread needs at least two values.');
  const centre = mean(values);
  return Math.sqrt(values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1));
};

/** Puts the element of rank k at index k, smaller ones before it, larger ones behind (C. A. R. Hoare 1961). */
const select = (a: Float64Array, k: number): number => {
  let left = 0;
  let right = a.length - 1;
  while (left < right) {
    const pivot = a[(left + right) >> 1] as number;
    let i = left;
    let j = right;
    while (i <= j) {
      while ((a[i] as number) < pivot) i += 1;
      while ((a[j] as number) > pivot) j -= 1;
      if (i > j) break;
      const held = a[i] as number;
      a[i] = a[j] as number;
      a[j] = held;
      i += 1;
      j -= 1;
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else break;
  }
  return a[k] as number;
};

/**
 * Median: the middle value, or the mean of the two middle ones.
 * @throws RangeError when there are no values, or one is not a number.
 */
export const median = (values: ArrayLike<number>): number => {
  const copy = Float64Array.from(values);
  if (copy.length === 0) throw new RangeError('The median of no values does not exist.');
  if (copy.some(Number.isNaN)) throw new RangeError('The median needs numbers.');
  const middle = copy.length >> 1;
  const upper = select(copy, middle);
  if (copy.length % 2 === 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < middle; i += 1) lower = Math.max(lower, copy[i] as number);
  return (lower + upper) / 2;
};

/** Median absolute deviation about the median, scaled by 1.4826 so that it estimates σ of normal data. */
export const scaledMad = (values: ArrayLike<number>): number => {
  const centre = median(values);
  return MAD_TO_SIGMA * median(Float64Array.from(values, (v) => Math.abs(v - centre)));
};

/**
 * Weighted mean and its standard uncertainty when each weight is 1 / u².
 * @throws RangeError when the lists differ in length or the weights do not sum to something positive.
 */
export const weightedMean = (
  values: readonly number[],
  weights: readonly number[],
): { readonly value: number; readonly standardUncertainty: number } => {
  const total = weights.reduce((sum, w) => sum + w, 0);
  if (values.length !== weights.length || !(total > 0)) {
    throw new RangeError('A weighted mean needs one weight a value, and a positive sum of weights.');
  }
  const value = values.reduce((sum, v, i) => sum + v * (weights[i] ?? 0), 0) / total;
  return { value, standardUncertainty: 1 / Math.sqrt(total) };
};

/** Chance that a standard normal variable exceeds z; keeps its relative accuracy far out in the tail. */
const normalTail = (z: number): number =>
  z < 0 ? 1 - normalTail(-z) : 0.5 * regularisedUpperGamma(0.5, (z * z) / 2);

const normalDensity = (z: number): number => Math.exp(-(z * z) / 2) / Math.sqrt(2 * Math.PI);

/** Chance that a standard normal variable is at most z. */
export const normalCdf = (z: number): number => normalTail(-z);

const checkProbability = (p: number): void => {
  if (!(p > 0 && p < 1)) throw new RangeError('A probability for a quantile lies between 0 and 1.');
};

/**
 * Quantile of the standard normal distribution for 0 < p < 1, by Newton's method on the logarithm of the tail, which is
 * concave, so that the iteration cannot run away.
 * @throws RangeError when p is not inside (0, 1).
 */
export const normalQuantile = (p: number): number => {
  checkProbability(p);
  if (p < 0.5) return -upperNormal(p);
  return p === 0.5 ? 0 : upperNormal(1 - p);
};

const upperNormal = (tail: number): number => {
  // The tail is at most ½ exp(−z²/2), so this start lies above the solution and the steps come down to it.
  let z = Math.sqrt(-2 * Math.log(2 * tail));
  for (let i = 0; i < 100; i += 1) {
    const q = normalTail(z);
    const step = ((Math.log(q) - Math.log(tail)) * q) / normalDensity(z);
    z += step;
    if (Math.abs(step) < 1e-14 * Math.max(1, z)) break;
  }
  return z;
};

/** Above this many degrees of freedom t is mapped to z by Abramowitz & Stegun 26.7.8, off by less than 1/df². */
const NEARLY_NORMAL_DF = 1e6;

const checkDegreesOfFreedom = (df: number): void => {
  if (!(df > 0)) throw new RangeError('Degrees of freedom must be positive.');
};

/** Chance that Student's t exceeds t ≥ 0. */
const studentTail = (t: number, df: number): number => {
  if (df > NEARLY_NORMAL_DF) {
    return normalTail(df === Infinity ? t : (t * (1 - 1 / (4 * df))) / Math.sqrt(1 + (t * t) / (2 * df)));
  }
  const square = t * t;
  return 0.5 * regularisedIncompleteBeta(df / (df + square), df / 2, 0.5, square / (df + square));
};

/**
 * Chance that Student's t with `df` degrees of freedom (any positive real, Infinity for the normal) is at most t.
 * Formula: NIST/SEMATECH e-Handbook 1.3.6.6.4 with NIST DLMF 8.17.
 * @throws RangeError when df is not positive.
 */
export const studentTCdf = (t: number, df: number): number => {
  checkDegreesOfFreedom(df);
  return t < 0 ? studentTail(-t, df) : 1 - studentTail(t, df);
};

/** Chance of a |t| at least this large when nothing but chance is at work (two-sided p). */
export const studentTTwoSided = (t: number, df: number): number => {
  checkDegreesOfFreedom(df);
  return 2 * studentTail(Math.abs(t), df);
};

/**
 * Quantile of Student's t for 0 < p < 1 and any positive real df (Infinity gives the normal quantile).
 * @throws RangeError when p is not inside (0, 1) or df is not positive.
 */
export const studentTQuantile = (p: number, df: number): number => {
  checkProbability(p);
  checkDegreesOfFreedom(df);
  if (df === Infinity) return normalQuantile(p);
  if (p < 0.5) return -upperStudent(p, df);
  return p === 0.5 ? 0 : upperStudent(1 - p, df);
};

/** Solves tail(t) = target for t > 0 by bisection on log t: slow, sure, and the same for every df. */
const upperStudent = (target: number, df: number): number => {
  let low = Math.log(upperNormal(target));
  if (!Number.isFinite(low)) low = Math.log(Number.EPSILON);
  let width = 1;
  while (studentTail(Math.exp(low + width), df) > target && width < 700) width *= 2;
  let high = low + width;
  low -= 1e-3;
  for (let i = 0; i < 80 && high - low > 1e-15 * Math.max(1, Math.abs(high)); i += 1) {
    const middle = (low + high) / 2;
    if (studentTail(Math.exp(middle), df) > target) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
};

/**
 * Two-sided coverage factor: t such that |t| stays below it with chance `level` (JCGM 100:2008, G.3).
 * @throws RangeError when level is not inside (0, 1) or df is not positive.
 */
export const coverageFactor = (df: number, level = 0.95): number => {
  checkProbability(level);
  return studentTQuantile(0.5 + level / 2, df);
};
