/**
 * The few special functions that the distributions stand on. Each is good to about twelve digits over the range that
 * measurements reach.
 */

/** Lanczos' coefficients for g = 7, n = 9 (C. Lanczos 1964; coefficients as given by P. Godfrey 2001). */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

/** Natural logarithm of the gamma function for x > 0 (Lanczos' approximation). */
export const logGamma = (x: number): number => {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const shifted = x - 1;
  const base = shifted + 7.5;
  const series = LANCZOS.reduce((sum, c, i) => (i === 0 ? c : sum + c / (shifted + i)), 0);
  return 0.5 * Math.log(2 * Math.PI) + (shifted + 0.5) * Math.log(base) - base + Math.log(series);
};

const TINY = 1e-300;
const awayFromZero = (v: number): number => (Math.abs(v) < TINY ? TINY : v);

/** Continued fraction of the incomplete beta function (NIST DLMF 8.17.22), evaluated by Lentz' method. */
const betaFraction = (x: number, a: number, b: number): number => {
  let c = 1;
  let d = 1 / awayFromZero(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m <= 20_000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / awayFromZero(1 + even * d);
    c = awayFromZero(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / awayFromZero(1 + odd * d);
    c = awayFromZero(1 + odd / c);
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < 1e-15) break;
  }
  return h;
};

/**
 * Regularised incomplete beta function I_x(a, b) (NIST DLMF 8.17.2) for 0 ≤ x ≤ 1, a > 0, b > 0.
 * `oneMinusX` may be given where it is known more exactly than by subtraction.
 */
export const regularisedIncompleteBeta = (x: number, a: number, b: number, oneMinusX = 1 - x): number => {
  if (x <= 0) return 0;
  if (oneMinusX <= 0) return 1;
  const logX = x < 0.5 ? Math.log(x) : Math.log1p(-oneMinusX);
  const logRest = oneMinusX < 0.5 ? Math.log(oneMinusX) : Math.log1p(-x);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * logX + b * logRest);
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(x, a, b)) / a
    : 1 - (front * betaFraction(oneMinusX, b, a)) / b;
};

/** Series of the lower incomplete gamma function (NIST DLMF 8.11.4), regularised. */
const lowerGammaSeries = (a: number, x: number): number => {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 1000 && Math.abs(term) > Math.abs(sum) * 1e-17; n += 1) {
    term *= x / (a + n);
    sum += term;
  }
  return sum * Math.exp(-x + a * Math.log(x) - logGamma(a));
};

/** Continued fraction of the upper incomplete gamma function (NIST DLMF 8.9.2), regularised. */
const upperGammaFraction = (a: number, x: number): number => {
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 1000; i += 1) {
    const numerator = -i * (i - a);
    b += 2;
    d = 1 / awayFromZero(numerator * d + b);
    c = awayFromZero(b + numerator / c);
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return h * Math.exp(-x + a * Math.log(x) - logGamma(a));
};

/** Regularised upper incomplete gamma function Q(a, x) (NIST DLMF 8.2.4) for a > 0, x ≥ 0. */
export const regularisedUpperGamma = (a: number, x: number): number => {
  if (x <= 0) return 1;
  return x < a + 1 ? 1 - lowerGammaSeries(a, x) : upperGammaFraction(a, x);
};
