import { describe, expect, it } from 'vitest';
import {
  chanceCoefficientIsZero,
  fitPolynomial,
  fitStraightLine,
  fitThroughOrigin,
} from '../../src/domain/regression';
import { coverageFactor } from '../../src/domain/statistics';

/** The value agrees with the certified one to this many significant digits. */
const agrees = (value: number | undefined, certified: number, digits: number) =>
  expect(Math.abs((value ?? Number.NaN) / certified - 1)).toBeLessThan(0.5 * 10 ** -digits);

// NIST Statistical Reference Datasets, linear regression, Norris.dat (order y, x).
const norris = `0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3
  449.1 448.6 778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5
  10.8 11.6 557.7 556.0 228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8
  339.3 339.1 888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1
  449.2 448.9 0.2 0.5`
  .split(/\s+/)
  .map(Number);
const norrisY = norris.filter((_, i) => i % 2 === 0);
const norrisX = norris.filter((_, i) => i % 2 === 1);

describe('a straight line through the NIST Norris data', () => {
  const fit = fitStraightLine(norrisX, norrisY);

  it('has the certified coefficients and standard errors to ten digits', () => {
    expect(norrisY).toHaveLength(36);
    agrees(fit.coefficients[0], -0.262323073774029, 10);
    agrees(fit.coefficients[1], 1.00211681802045, 12);
    agrees(fit.standardErrors[0], 0.232818234301152, 11);
    agrees(fit.standardErrors[1], 0.429796848199937e-3, 11);
  });

  it('has the certified scatter, R² and F', () => {
    agrees(fit.residualSd, 0.884796396144373, 11);
    agrees(fit.rSquared, 0.999993745883712, 14);
    agrees(fit.regressionSumOfSquares, 4255954.13232369, 12);
    agrees(fit.residualSumOfSquares, 26.6173985294224, 11);
    agrees(fit.fStatistic, 5436385.54079785, 11);
    expect(fit.degreesOfFreedom).toBe(34);
  });

  it('has the covariance of slope and intercept that another program found', () => {
    agrees(fit.covariance[0]?.[1], -7.7432753633957e-5, 10);
  });
});

describe('a line through the origin for the NIST NoInt1 data', () => {
  const x = Array.from({ length: 11 }, (_, i) => 60 + i);
  const fit = fitThroughOrigin(
    x,
    x.map((v) => v + 70),
  );

  it('has every certified value', () => {
    agrees(fit.coefficients[0], 2.07438016528926, 13);
    agrees(fit.standardErrors[0], 0.165289256198347e-1, 13);
    agrees(fit.residualSd, 3.56753034006338, 13);
    agrees(fit.rSquared, 0.999365492298663, 14);
    agrees(fit.regressionSumOfSquares, 200457.727272727, 14);
    agrees(fit.residualSumOfSquares, 127.272727272727, 13);
    agrees(fit.fStatistic, 15750.25, 12);
    expect(fit.degreesOfFreedom).toBe(10);
  });
});

describe('a parabola through the NIST Pontius data', () => {
  const y = `.11019 .21956 .32949 .43899 .54803 .65694 .76562 .87487 .98292 1.09146 1.20001 1.30822 1.41599
    1.52399 1.63194 1.73947 1.84646 1.95392 2.06128 2.16844 .11052 .22018 .32939 .43886 .54798 .65739 .76596
    .87474 .98300 1.09150 1.20004 1.30818 1.41613 1.52408 1.63159 1.73965 1.84696 1.95445 2.06177 2.16829`
    .split(/\s+/)
    .map(Number);
  const fit = fitPolynomial(
    y.map((_, i) => 150_000 * ((i % 20) + 1)),
    y,
    2,
  );

  it('has the certified coefficients and standard errors to ten digits though x runs to three million', () => {
    agrees(fit.coefficients[0], 0.673565789473684e-3, 10);
    agrees(fit.coefficients[1], 0.732059160401003e-6, 12);
    agrees(fit.coefficients[2], -0.316081871345029e-14, 10);
    agrees(fit.standardErrors[0], 0.107938612033077e-3, 10);
    agrees(fit.standardErrors[1], 0.157817399981659e-9, 10);
    agrees(fit.standardErrors[2], 0.486652849992036e-16, 10);
  });

  it('has the certified scatter', () => {
    agrees(fit.residualSd, 0.205177424076185e-3, 10);
    agrees(fit.rSquared, 0.999999900178537, 14);
    agrees(fit.residualSumOfSquares, 0.155761768796992e-5, 10);
    agrees(fit.regressionSumOfSquares, 15.6040343244198, 13);
  });

  it('finds the bend far from zero', () => {
    expect(chanceCoefficientIsZero(fit, 2)).toBeLessThan(1e-6);
  });
});

describe('fits of an everyday size', () => {
  // Heights and masses: the numerical example of Wikipedia, "Simple linear regression" (from memory, redone).
  const heights = [1.47, 1.5, 1.52, 1.55, 1.57, 1.6, 1.63, 1.65, 1.68, 1.7, 1.73, 1.75, 1.78, 1.8, 1.83];
  const masses = [
    52.21, 53.12, 54.48, 55.84, 57.2, 58.57, 59.93, 61.29, 63.11, 64.47, 66.28, 68.1, 69.92, 72.19, 74.46,
  ];
  const fit = fitStraightLine(heights, masses);

  it('agree with the worked example, its standard errors and its confidence intervals', () => {
    expect(fit.coefficients[1]).toBeCloseTo(61.272, 3);
    expect(fit.coefficients[0]).toBeCloseTo(-39.062, 3);
    expect(Math.sqrt(fit.rSquared)).toBeCloseTo(0.9946, 4);
    expect(fit.standardErrors[1]).toBeCloseTo(1.776, 3);
    expect(fit.standardErrors[0]).toBeCloseTo(2.938, 3);
    const t = coverageFactor(fit.degreesOfFreedom);
    expect(t).toBeCloseTo(2.1604, 4);
    const [intercept = 0, slope = 0] = fit.coefficients;
    const [uIntercept = 0, uSlope = 0] = fit.standardErrors;
    expect(slope - t * uSlope).toBeCloseTo(57.4, 1);
    expect(slope + t * uSlope).toBeCloseTo(65.1, 1);
    expect(intercept - t * uIntercept).toBeCloseTo(-45.4, 1);
    expect(intercept + t * uIntercept).toBeCloseTo(-32.7, 1);
  });

  it('count a point of double weight like the same point twice', () => {
    const doubled = fitStraightLine([1, 2, 3, 3], [1.1, 1.9, 3.2, 3.2]);
    const weighted = fitStraightLine([1, 2, 3], [1.1, 1.9, 3.2], [1, 1, 2]);
    weighted.coefficients.forEach((b, i) => {
      expect(b).toBeCloseTo(doubled.coefficients[i] ?? Number.NaN, 12);
    });
    expect(weighted.residualSumOfSquares).toBeCloseTo(doubled.residualSumOfSquares, 12);
    expect(weighted.statedCovariance[1]?.[1]).toBeCloseTo(doubled.statedCovariance[1]?.[1] ?? 0, 12);
  });

  it('refuse points that all lie at one place, and too few of them, in a sentence', () => {
    expect(() => fitStraightLine([2, 2, 2], [1, 2, 3])).toThrow('do not settle the fit');
    expect(() => fitStraightLine([2], [1])).toThrow('at least 2 points; there are 1');
    expect(() => fitStraightLine([1, 2], [1, 2, 3])).toThrow('equally long');
  });
});
