import { describe, expect, it } from 'vitest';
import {
  densitiesFromLoop,
  gramsPerM2,
  jammedLoop,
  loopForTightness,
  loopFromWales,
  MUNDEN,
  tightnessFactor,
  yarnFor,
} from '../../src/domain/knitGeometry';
import {
  ballGirthFrom,
  ballGirthFromLength,
  easedGirth,
  easeOf,
  lengthOfRounds,
  roundsFor,
  sockFootLength,
  stitchesAround,
  tubeGirth,
  tubesOnCylinders,
  uncertainTubeGirth,
  walesPerMmFor,
} from '../../src/domain/sock';
import { inchesToMm, mmToInches, perInchToPerMm, perMmToPerInch } from '../../src/domain/units';
import { texFrom } from '../../src/domain/yarn';

describe('plain-knit geometry', () => {
  it('gives 92.4 loops per cm² for a 0.5 cm loop, fully relaxed (GATE TF 2015, question 54)', () => {
    const { walesPerMm, coursesPerMm } = densitiesFromLoop(5, 'fullyRelaxed');
    expect(walesPerMm * coursesPerMm * 100).toBeCloseTo(92.4, 9);
    expect(perMmToPerInch(coursesPerMm)).toBeCloseTo(27.94, 2);
    expect(perMmToPerInch(walesPerMm)).toBeCloseTo(21.336, 3);
  });

  it('has constants whose products are those quoted beside them: 19.0, 21.6, 23.1', () => {
    expect(MUNDEN.dryRelaxed.wale * MUNDEN.dryRelaxed.course).toBeCloseTo(19, 1);
    expect(Math.abs((MUNDEN.wetRelaxed.wale * MUNDEN.wetRelaxed.course) / 21.6 - 1)).toBeLessThan(0.01);
    expect(MUNDEN.fullyRelaxed.wale * MUNDEN.fullyRelaxed.course).toBeCloseTo(23.1, 1);
  });

  it('multiplies by the loop length for the mass: 18 × 21 per inch, 3.4 mm, Ne 20 is 58.83 g/m²', () => {
    const mass = gramsPerM2(perInchToPerMm(18), perInchToPerMm(21), 3.4, texFrom('cottonCount', 20));
    expect(mass).toBeCloseTo(58.83, 0);
    // The same by the handbook's other form, WPI × CPI × l × 0.9155 / Ne (its constant is 0.02 % high).
    expect(mass / ((18 * 21 * 3.4 * 0.9155) / 20)).toBeCloseTo(1, 3);
  });

  it('follows a yarn label from gauge to loop to tightness: 420 m per 100 g, 30 × 42 per 10 cm', () => {
    const tex = texFrom('metresPer100g', 420);
    const loop = loopFromWales(0.3, 'fullyRelaxed');
    expect(loop).toBeCloseTo(14, 9);
    expect(tightnessFactor(tex, loop)).toBeCloseTo(1.102, 3);
    expect(loopForTightness(tex, 1.102)).toBeCloseTo(loop, 1);
    const { coursesPerMm } = densitiesFromLoop(loop, 'fullyRelaxed');
    expect(coursesPerMm * 10).toBeCloseTo(3.93, 2);
    expect(0.42 / coursesPerMm - 1).toBeCloseTo(0.069, 3);
  });

  it('weighs the yarn of a circular machine: 26 in, 20 gauge, 120 feeders, 30 rpm, 30 tex, 3 mm loops make 31.8 kg/h', () => {
    const needles = Math.PI * 26 * 20;
    const hour = yarnFor(needles * 120 * 30 * 60, 3, 30);
    expect(hour.grams / 1000).toBeCloseTo(31.758, 2);
    expect(hour.metres / 60).toBeCloseTo(1.7643e4, -1);
  });

  it('knows the loop at which the fabric jams', () => {
    expect(jammedLoop(0.5)).toBeCloseTo(8.335, 9);
  });
});

describe('a sock from a cylinder', () => {
  it.each([
    [54, 6.5, 8.308],
    [54, 7, 7.714],
    [54, 7.5, 7.2],
    [60, 8, 7.5],
    [64, 7, 9.143],
    [64, 8, 8],
    [72, 7.5, 9.6],
    [72, 9, 8],
    [80, 10, 8],
  ])('of %i needles at %f stitches per inch is %f in around', (needles, perInch, inches) => {
    expect(mmToInches(tubeGirth(needles, perInchToPerMm(perInch)))).toBeCloseTo(inches, 3);
  });

  it('fits a 9 in ankle with 10 % ease at 30 stitches per 4 in with 60.75 stitches (published worked example)', () => {
    const girth = easedGirth(inchesToMm(9), 0.1);
    expect(mmToInches(girth)).toBeCloseTo(8.1, 10);
    expect(stitchesAround(girth, perInchToPerMm(7.5))).toBeCloseTo(60.75, 9);
    expect(easeOf(inchesToMm(9), girth)).toBeCloseTo(0.1, 12);
  });

  it('fits 9.75 in with 10 % ease at 7.25 per inch with 63.62 stitches (published worked example)', () => {
    expect(stitchesAround(easedGirth(inchesToMm(9.75)), perInchToPerMm(7.25))).toBeCloseTo(63.61875, 9);
  });

  it('counts rounds: 36 in at 7 rows per inch are 252, 22 in at 3 are 66 (published worked examples)', () => {
    expect(roundsFor(inchesToMm(36), perInchToPerMm(7))).toBe(252);
    expect(roundsFor(inchesToMm(22), perInchToPerMm(3))).toBe(66);
    expect(lengthOfRounds(252, perInchToPerMm(7))).toBeCloseTo(inchesToMm(36), 9);
  });

  it('needs the gauge that its needles and the wanted size dictate', () => {
    const wanted = walesPerMmFor(64, inchesToMm(8));
    expect(perMmToPerInch(wanted)).toBeCloseTo(8, 10);
    expect(tubeGirth(64, wanted)).toBeCloseTo(inchesToMm(8), 9);
  });

  it('carries the ± of the gauge over to its size', () => {
    const girth = uncertainTubeGirth(64, { value: perInchToPerMm(8), plusMinus95: perInchToPerMm(0.08) });
    expect(mmToInches(girth.value)).toBeCloseTo(8, 10);
    expect(mmToInches(girth.plusMinus95)).toBeCloseTo(0.08, 10);
  });

  it('lists the cylinders, the nearest to the wanted size first', () => {
    const gauge = { value: perInchToPerMm(8), plusMinus95: perInchToPerMm(0.05) };
    const tubes = tubesOnCylinders([54, 64, 72, 80], gauge, inchesToMm(10), 0.1);
    expect(tubes.map((t) => t.needles)).toEqual([72, 64, 80, 54]);
    expect(tubes[0]!.ease).toBeCloseTo(0.1, 12);
  });

  it('is a little shorter than the foot', () => {
    expect(sockFootLength(250)).toBe(240);
  });

  it('guesses a missing girth to within 1 % of the means of ANSUR II (Gordon et al. 2014)', () => {
    // Mean length, breadth and ball girth of men and of women, mm.
    for (const [length, breadth, girth] of [
      [271.2, 101.9, 252.0],
      [246.3, 92.7, 228.1],
    ] as const) {
      expect(Math.abs(ballGirthFrom(breadth, length) / girth - 1)).toBeLessThan(0.01);
      expect(Math.abs(ballGirthFromLength(length) / girth - 1)).toBeLessThan(0.01);
    }
  });
});
