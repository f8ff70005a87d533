import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { centredLine, inversePrediction } from '../../src/domain/inversePrediction';
import { fitStraightLine } from '../../src/domain/regression';
import { coverageFactor } from '../../src/domain/statistics';

/** The calibration interval of a textbook example: for one new observation, or for the mean response. */
const calibrate = (
  x: number[],
  y: number[],
  y0: number,
  level: number,
  response: 'individual' | 'mean',
): [estimate: number, lower: number, upper: number] => {
  const fit = fitStraightLine(x, y);
  const answer = inversePrediction(
    centredLine(fit),
    y0,
    response === 'individual' ? fit.residualSd ** 2 : 0,
    coverageFactor(fit.degreesOfFreedom, level),
  );
  if (answer.kind !== 'bounded') throw new Error(answer.sentence);
  return [answer.x, answer.lower, answer.upper];
};

describe('the calibration examples of Graybill and Iyer, Regression Analysis (1994), chapter 6', () => {
  const thermostat = [96, 98, 100, 102, 104, 106, 108, 110];
  const measured = [95.71, 98.16, 99.52, 102.09, 103.79, 106.18, 108.14, 110.21];

  it('thermostat, p. 431, one new observation of 104 at 95 %', () => {
    const [x, lower, upper] = calibrate(thermostat, measured, 104, 0.95, 'individual');
    expect(x).toBeCloseTo(103.995, 3);
    expect(lower).toBeCloseTo(103.4, 1);
    expect(upper).toBeCloseTo(104.6, 1);
    // The same formula worked with an independent program, to five decimals.
    expect(x).toBeCloseTo(103.99492, 5);
    expect(lower).toBeCloseTo(103.40405, 5);
    expect(upper).toBeCloseTo(104.58946, 5);
  });

  it('thermostat, one new observation of 100 at 90 %', () => {
    const [x, lower, upper] = calibrate(thermostat, measured, 100, 0.9, 'individual');
    expect(x).toBeCloseTo(100.1, 1);
    expect(lower).toBeCloseTo(99.63, 2);
    expect(upper).toBeCloseTo(100.59, 2);
  });

  it('reaction chamber, p. 433, mean response of 400 at 99 %', () => {
    const chamber = [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100];
    const temperature = [
      206.36, 225.52, 252.18, 289.33, 318.11, 349.49, 383.03, 410.7, 444.4, 469.14, 501.16,
    ];
    const [x, lower, upper] = calibrate(chamber, temperature, 400, 0.99, 'mean');
    expect(x).toBeCloseTo(66.5, 1);
    expect(lower).toBeCloseTo(65.07, 2);
    expect(upper).toBeCloseTo(68.03, 2);
  });
});

describe('reading a line backwards', () => {
  it('says so, and gives no range, when the slope is not clearly different from zero', () => {
    const fit = fitStraightLine([1, 2, 3, 4], [2.0, 2.3, 1.9, 2.2]);
    const answer = inversePrediction(centredLine(fit), 2.1, 0.01, coverageFactor(2));
    expect(answer.kind).toBe('unbounded');
    expect(answer.g).toBeGreaterThanOrEqual(1);
    if (answer.kind === 'unbounded') expect(answer.sentence).toContain('not clearly different from zero');
  });

  it('has no estimate on a level line', () => {
    const level = { centreX: 0, levelY: 1, slope: 0, varianceOfLevel: 0.1, varianceOfSlope: 0.1 };
    expect(inversePrediction(level, 2, 0, 2)).toMatchObject({ kind: 'unbounded', x: null });
  });

  it('ends exactly where the prediction band of the line meets the wanted value', () => {
    fc.assert(
      fc.property(
        fc.record({
          centreX: fc.double({ min: -50, max: 50, noNaN: true }),
          levelY: fc.double({ min: -5, max: 5, noNaN: true }),
          slope: fc.oneof(
            fc.double({ min: 0.2, max: 2, noNaN: true }),
            fc.double({ min: -2, max: -0.2, noNaN: true }),
          ),
          varianceOfLevel: fc.double({ min: 1e-6, max: 0.1, noNaN: true }),
          varianceOfSlope: fc.double({ min: 0, max: 0.002, noNaN: true }),
        }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 0.1, noNaN: true }),
        (line, y, varianceOfY) => {
          const t = 2.1;
          const answer = inversePrediction(line, y, varianceOfY, t);
          if (answer.kind !== 'bounded') throw new Error('g is below 1 for every line drawn here');
          expect(answer.lower).toBeLessThanOrEqual(answer.x);
          expect(answer.upper).toBeGreaterThanOrEqual(answer.x);
          for (const end of [answer.lower, answer.upper]) {
            const predicted = line.levelY + line.slope * (end - line.centreX);
            const variance =
              varianceOfY + line.varianceOfLevel + line.varianceOfSlope * (end - line.centreX) ** 2;
            expect(Math.abs(y - predicted)).toBeCloseTo(t * Math.sqrt(variance), 6);
          }
        },
      ),
    );
  });
});
