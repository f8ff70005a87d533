import { describe, expect, it } from 'vitest';
import { fitDemingLine, fitUncertainLine, type UncertainPoint } from '../../src/domain/errorsInVariables';
import { fitStraightLine } from '../../src/domain/regression';

// Pearson's data (1901) with York's weights (1966), as in York et al., Am. J. Phys. 72 (2004), table II.
const x = [0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4];
const y = [5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5];
const weightX = [1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1];
const weightY = [1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500];
const pearsonYork: UncertainPoint[] = x.map((v, i) => ({
  x: v,
  uX: 1 / Math.sqrt(weightX[i]!),
  y: y[i]!,
  uY: 1 / Math.sqrt(weightY[i]!),
}));

describe('a line through points uncertain in both coordinates', () => {
  it('agrees with the published solution of Pearson’s data with York’s weights', () => {
    const line = fitUncertainLine(pearsonYork);
    expect(line.intercept).toBeCloseTo(5.47991022403, 10);
    expect(line.slope).toBeCloseTo(-0.48053340745, 10);
    expect(line.uIntercept).toBeCloseTo(0.294970735, 8);
    expect(line.uSlope).toBeCloseTo(0.057985009, 8);
    expect(line.chiSquared / line.degreesOfFreedom).toBeCloseTo(1.483294149, 8);
  });

  it('has the published scaled standard errors of Cantrell 2008', () => {
    const line = fitUncertainLine(pearsonYork);
    const scale = Math.sqrt(line.chiSquared / line.degreesOfFreedom);
    expect(line.uIntercept * scale).toBeCloseTo(0.359246522551112, 7);
    expect(line.uSlope * scale).toBeCloseTo(0.070620269528771, 7);
  });

  it('is weighted least squares when x is exact', () => {
    const line = fitUncertainLine(pearsonYork.map((p) => ({ ...p, uX: 0 })));
    const plain = fitStraightLine(x, y, weightY);
    expect(line.slope).toBeCloseTo(plain.coefficients[1]!, 12);
    expect(line.intercept).toBeCloseTo(plain.coefficients[0]!, 12);
    expect(line.uSlope ** 2).toBeCloseTo(plain.statedCovariance[1]![1]!, 12);
    expect(line.uIntercept ** 2).toBeCloseTo(plain.statedCovariance[0]![0]!, 12);
    expect(line.covarianceInterceptSlope).toBeCloseTo(plain.statedCovariance[0]![1]!, 12);
    expect(line.chiSquared).toBeCloseTo(plain.residualSumOfSquares, 10);
  });

  it('turns over when x and y change places', () => {
    const line = fitUncertainLine(pearsonYork);
    const turned = fitUncertainLine(pearsonYork.map((p) => ({ x: p.y, uX: p.uY, y: p.x, uY: p.uX })));
    expect(turned.slope).toBeCloseTo(1 / line.slope, 10);
    expect(turned.intercept).toBeCloseTo(-line.intercept / line.slope, 9);
  });

  it('does not flatten the slope where least squares would', () => {
    // Errors in x as large as a third of its range, mirrored, so that least squares is pulled towards zero.
    const truth = [0, 1, 2, 3, 4, 5, 6, 7];
    const points = truth.flatMap((t) => [-1, 1].map((e) => ({ x: t + e, uX: 1, y: 2 * t, uY: 0.01 })));
    const flattened = fitStraightLine(
      points.map((p) => p.x),
      points.map((p) => p.y),
    );
    expect(flattened.coefficients[1]).toBeLessThan(1.75);
    expect(fitUncertainLine(points).slope).toBeGreaterThan(1.95);
  });

  it('knows that level and slope are uncorrelated at its centre', () => {
    const line = fitUncertainLine(pearsonYork);
    const atCentre =
      line.uIntercept ** 2 +
      2 * line.centreX * line.covarianceInterceptSlope +
      line.centreX ** 2 * line.uSlope ** 2;
    expect(Math.sqrt(atCentre)).toBeCloseTo(line.uLevel, 10);
  });

  it('refuses points without any uncertainty', () => {
    expect(() => fitUncertainLine(x.map((v, i) => ({ x: v, uX: 0, y: y[i]!, uY: 0 })))).toThrow(
      'needs an uncertainty',
    );
  });
});

describe('a line with a known ratio of the two error variances', () => {
  it('is Pearson’s own orthogonal line at a ratio of one: 5.7857 − 0.546 x as he printed it in 1901', () => {
    const line = fitDemingLine(x, y, 1);
    expect(line.slope).toBeCloseTo(-0.546, 3);
    expect(line.intercept).toBeGreaterThan(5.78);
    expect(line.intercept).toBeLessThan(5.79);
  });

  it('agrees with the iterated line of the same constant uncertainties', () => {
    const closed = fitDemingLine(x, y, 4);
    const iterated = fitUncertainLine(x.map((v, i) => ({ x: v, uX: 0.1, y: y[i]!, uY: 0.2 })));
    expect(closed.slope).toBeCloseTo(iterated.slope, 11);
    const scale = Math.sqrt(iterated.chiSquared / iterated.degreesOfFreedom);
    expect(closed.uSlope).toBeCloseTo(iterated.uSlope * scale, 10);
  });

  it('nears least squares when x is almost exact', () => {
    const plain = fitStraightLine(x, y);
    expect(fitDemingLine(x, y, 1e12).slope).toBeCloseTo(plain.coefficients[1]!, 7);
  });
});
