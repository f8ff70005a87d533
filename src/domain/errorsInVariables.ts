import { fitStraightLine } from './regression';

/** A measured point with the standard uncertainties of both coordinates, each in its own unit; either may be zero. */
export interface UncertainPoint {
  readonly x: number;
  readonly uX: number;
  readonly y: number;
  readonly uY: number;
  /** Correlation of the two errors, 0 when absent. */
  readonly correlation?: number;
}

/** A straight line y = intercept + slope·x with what the stated uncertainties say about it. */
export interface UncertainLine {
  readonly slope: number;
  readonly intercept: number;
  readonly uSlope: number;
  readonly uIntercept: number;
  readonly covarianceInterceptSlope: number;
  /** The x at which level and slope are uncorrelated, the line's y there, and its standard uncertainty. */
  readonly centreX: number;
  readonly levelY: number;
  readonly uLevel: number;
  /** Weighted sum of squared distances; near its degrees of freedom when the stated uncertainties are right. */
  readonly chiSquared: number;
  readonly degreesOfFreedom: number;
  /** Observed y minus the line at the observed x. */
  readonly residuals: readonly number[];
}

interface Weighed {
  readonly point: UncertainPoint;
  readonly weight: number;
}

/** W of York et al. 2004, eq. 13a, rewritten so that an uncertainty of zero needs no infinite weight. */
const weigh = (points: readonly UncertainPoint[], slope: number): Weighed[] =>
  points.map((point) => {
    const { uX, uY, correlation = 0 } = point;
    const variance = uY ** 2 + slope ** 2 * uX ** 2 - 2 * slope * correlation * uX * uY;
    if (!(variance > 0)) {
      throw new RangeError('Every point of this fit needs an uncertainty in x or in y.');
    }
    return { point, weight: 1 / variance };
  });

const weightedSum = (weighed: readonly Weighed[], of: (point: UncertainPoint) => number): number =>
  weighed.reduce((sum, { point, weight }) => sum + weight * of(point), 0);

interface Centred {
  readonly weighed: readonly Weighed[];
  readonly total: number;
  readonly meanX: number;
  readonly meanY: number;
  /** β of York et al. 2004: the best x of a point, from the mean. */
  readonly beta: (item: Weighed) => number;
}

const centre = (points: readonly UncertainPoint[], slope: number): Centred => {
  const weighed = weigh(points, slope);
  const total = weightedSum(weighed, () => 1);
  const meanX = weightedSum(weighed, (p) => p.x) / total;
  const meanY = weightedSum(weighed, (p) => p.y) / total;
  const beta = ({ point, weight }: Weighed): number => {
    const u = point.x - meanX;
    const v = point.y - meanY;
    const { uX, uY, correlation = 0 } = point;
    return weight * (u * uY ** 2 + slope * v * uX ** 2 - (slope * u + v) * correlation * uX * uY);
  };
  return { weighed, total, meanX, meanY, beta };
};

/** Slope after one step of York's iteration (eq. 13b). */
const improvedSlope = (points: readonly UncertainPoint[], slope: number): number => {
  const { weighed, meanX, meanY, beta } = centre(points, slope);
  const products = (of: (point: UncertainPoint) => number): number =>
    weighed.reduce((sum, item) => sum + item.weight * beta(item) * of(item.point), 0);
  return products((p) => p.y - meanY) / products((p) => p.x - meanX);
};

/** Everything about the line of the given best slope (York et al. 2004, eqs. 13c to 13f). */
const describeLine = (points: readonly UncertainPoint[], slope: number): UncertainLine => {
  const { weighed, total, meanX, meanY, beta } = centre(points, slope);
  const intercept = meanY - slope * meanX;
  const adjusted = weighed.map((item) => ({ weight: item.weight, x: meanX + beta(item) }));
  const centreX = adjusted.reduce((sum, { weight, x }) => sum + weight * x, 0) / total;
  const spread = adjusted.reduce((sum, { weight, x }) => sum + weight * (x - centreX) ** 2, 0);
  const varianceOfSlope = 1 / spread;
  return {
    slope,
    intercept,
    uSlope: Math.sqrt(varianceOfSlope),
    uIntercept: Math.sqrt(1 / total + centreX ** 2 * varianceOfSlope),
    covarianceInterceptSlope: -centreX * varianceOfSlope,
    centreX,
    levelY: intercept + slope * centreX,
    uLevel: Math.sqrt(1 / total),
    chiSquared: weightedSum(weighed, (p) => (p.y - intercept - slope * p.x) ** 2),
    degreesOfFreedom: points.length - 2,
    residuals: points.map((p) => p.y - intercept - slope * p.x),
  };
};

/**
 * Straight line through points that are uncertain in both coordinates: D. York, N. Evensen, M. López Martínez and
 * J. De Basabe Delgado, "Unified equations for the slope, intercept, and standard errors of the best straight line",
 * Am. J. Phys. 72 (2004) 367–375. With exact x it is weighted least squares with weights 1 / uY².
 * The standard errors are those of the stated uncertainties, not scaled by the scatter.
 * @throws RangeError when fewer than two places in x are given, a point has no uncertainty, or the line is upright.
 */
export const fitUncertainLine = (points: readonly UncertainPoint[]): UncertainLine => {
  const start = fitStraightLine(
    points.map((p) => p.x),
    points.map((p) => p.y),
  );
  let slope = start.coefficients[1] ?? Number.NaN;
  for (let step = 0; step < 500; step += 1) {
    const next = improvedSlope(points, slope);
    const change = Math.abs(next - slope);
    slope = next;
    if (change <= 1e-14 * Math.abs(slope)) break;
  }
  if (!Number.isFinite(slope)) throw new RangeError('No straight line of finite slope fits these points.');
  return describeLine(points, slope);
};

/**
 * Straight line when the errors of y have a known ratio of variance to those of x (`varianceRatio` = σ_y² / σ_x²) but
 * an unknown size: W. E. Deming, Statistical Adjustment of Data (1943); closed form as in M. Kendall and A. Stuart, The
 * Advanced Theory of Statistics, vol. 2, ch. 29. A ratio of 1 gives the orthogonal line of Pearson 1901.
 * The standard errors come from the scatter about the line.
 * @throws RangeError when there are fewer than three points or x and y vary independently of each other.
 */
export const fitDemingLine = (
  x: readonly number[],
  y: readonly number[],
  varianceRatio: number,
): UncertainLine => {
  if (x.length < 3 || x.length !== y.length) {
    throw new RangeError('This line needs at least three points with both coordinates.');
  }
  const meanX = x.reduce((a, b) => a + b, 0) / x.length;
  const meanY = y.reduce((a, b) => a + b, 0) / y.length;
  const product = (a: readonly number[], ma: number, b: readonly number[], mb: number): number =>
    a.reduce((sum, v, i) => sum + (v - ma) * ((b[i] ?? Number.NaN) - mb), 0);
  const xy = product(x, meanX, y, meanY);
  if (xy === 0) throw new RangeError('No line can be told: x and y vary independently of each other.');
  const surplus = product(y, meanY, y, meanY) - varianceRatio * product(x, meanX, x, meanX);
  const root = Math.sqrt(surplus ** 2 + 4 * varianceRatio * xy ** 2);
  // Two forms of the same root, so that neither subtracts nearly equal numbers.
  const slope = surplus > 0 ? (surplus + root) / (2 * xy) : (2 * varianceRatio * xy) / (root - surplus);
  const unscaled = (uY: number): UncertainPoint[] =>
    x.map((v, i) => ({ x: v, uX: uY / Math.sqrt(varianceRatio), y: y[i] ?? Number.NaN, uY }));
  const first = describeLine(unscaled(1), slope);
  const sigmaY = Math.sqrt(first.chiSquared / first.degreesOfFreedom);
  return sigmaY > 0 ? describeLine(unscaled(sigmaY), slope) : first;
};
