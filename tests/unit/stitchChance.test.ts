import { describe, expect, it } from 'vitest';
import { chanceOf } from '../../workers/stitches/chance';
import { confidenceOf, type Evidence } from '../../workers/stitches/confidence';
import type { Repeats } from '../../workers/stitches/repeats';
import { fitLogistic, isFirstHalf } from '../bench/logistic';

const repeats: Repeats = {
  partOfWale: { parts: 2, alike: -0.3 },
  partOfCourse: { parts: 2, alike: 0 },
  halfOfBoth: 0.3,
  oddWales: { every: 2, alike: 0.99 },
  oddCourses: { every: 2, alike: 0.99 },
  chequer: 0.99,
};

/** What a clear photo of plain fabric shows. */
const clear: Evidence = {
  likeness: 0.7,
  seenShare: 1,
  scatter: { wale: 0.015, course: 0.02 },
  wales: 29,
  courses: 44,
  coursePx: 22,
  ratio: 1.42,
  clashShare: 0,
  face: 'knit',
  lean: 0.5,
  leanDown: 0.05,
  alongCourse: -0.6,
  repeats,
  gaps: false,
  furrow: null,
  shared: 0.3,
  columnsClear: 1,
  gapsInRhythm: true,
};

describe('the stated chance of a reading to be right', () => {
  it('is above 99 in 100 on a clear photo, which is then called measured with nothing left to settle', () => {
    expect(chanceOf(clear)).toBeGreaterThan(0.99);
    expect(confidenceOf(clear)).toMatchObject({ status: 'measured', reasons: [] });
  });

  const worse: readonly [string, Evidence][] = [
    [
      'a part of a stitch looks like a whole one',
      { ...clear, repeats: { ...repeats, partOfCourse: { parts: 3, alike: 0.97 } } },
    ],
    [
      'every second column looks different',
      { ...clear, repeats: { ...repeats, oddWales: { every: 2, alike: 0.4 } } },
    ],
    ['the stitch is higher than wide', { ...clear, ratio: 0.8 }],
    ['a third of the window was not seen', { ...clear, seenShare: 0.6 }],
    ['there are but a handful of stitches', { ...clear, wales: 4, courses: 5, repeats: null }],
    ['the gaps come in no rhythm', { ...clear, gaps: true, gapsInRhythm: false }],
  ];
  for (const [what, evidence] of worse) {
    it(`is lower where ${what}, and a sentence says what to check`, () => {
      const confidence = confidenceOf(evidence);
      expect(confidence.chance).toBeLessThan(chanceOf(clear));
      expect(confidence.status).toBe('proposal');
      expect(confidence.reasons[0]).toMatch(/:/);
    });
  }

  it('is a proposal for garter too small to be told from a woven ground', () => {
    const garter: Evidence = { ...clear, face: 'purl', ratio: 0.95, lean: 0.02, alongCourse: 0.85 };
    expect(confidenceOf({ ...garter, coursePx: 12 }).status).toBe('measured');
    const small = confidenceOf({ ...garter, coursePx: 6.2 });
    expect(small.status).toBe('proposal');
    expect(small.reasons.join()).toContain('very small');
  });

  it('is high for the ridges of garter, and next to nothing for the like of a weave, whose threads look the same half a cell on either way', () => {
    const garter: Evidence = { ...clear, face: 'purl', ratio: 0.95, lean: 0.02, alongCourse: 0.73 };
    const woven: Evidence = { ...garter, repeats: { ...repeats, halfOfBoth: 0.97 } };
    expect(chanceOf(garter)).toBeGreaterThan(0.99);
    expect(chanceOf(woven)).toBeLessThan(0.05);
  });

  it('is that of a toss where the yarn leans as much down the columns as across them', () => {
    const onSide: Evidence = { ...clear, lean: 0.28, leanDown: 0.27 };
    expect(chanceOf({ ...onSide, leanDown: 0.1 })).toBeGreaterThan(0.9);
    expect(chanceOf(onSide)).toBeCloseTo(0.5, 6);
  });

  it('is not that of a measurement where the yarn leans a little and runs both ways, as that of a woven ground does', () => {
    const ground: Evidence = { ...clear, lean: 0.29, alongCourse: -0.15 };
    expect(chanceOf(ground)).toBeLessThan(0.8);
    expect(chanceOf({ ...ground, alongCourse: -0.6 })).toBeGreaterThan(0.9);
    expect(chanceOf({ ...ground, lean: 0.8 })).toBeGreaterThan(0.99);
  });

  it('is low for stripes whose yarn runs along them alone, as the grain of wood does', () => {
    const stripes: Evidence = { ...clear, face: 'purl', ratio: 1.19, lean: 0.03, alongCourse: 0.99 };
    expect(chanceOf(stripes)).toBeLessThan(0.2);
    expect(chanceOf({ ...stripes, alongCourse: 0.89 })).toBeGreaterThan(0.99);
  });

  it('is at most that of a toss where every hundredth stitch claims the spot of another', () => {
    expect(chanceOf({ ...clear, clashShare: 0.01 })).toBeLessThanOrEqual(0.5);
    expect(chanceOf({ ...clear, clashShare: 0.003 })).toBeGreaterThan(0.97);
  });

  it('is that of a toss where the stitches share next to nothing of what changes down the wales', () => {
    expect(chanceOf({ ...clear, shared: 0.02 })).toBeCloseTo(0.5, 6);
    expect(chanceOf({ ...clear, shared: 0.06 })).toBe(chanceOf(clear));
    expect(chanceOf({ ...clear, shared: null })).toBe(chanceOf(clear));
  });

  it('says by how much to come closer when a row is too few pixels high', () => {
    const { reasons } = confidenceOf({ ...clear, coursePx: 4.1, likeness: 0.4, seenShare: 0.8 });
    expect(reasons.join(' ')).toContain('move closer, a row is 4 px high and 8 are needed');
  });
});

describe('the fit behind it', () => {
  it('finds the known coefficients of hours studied and exam passed: −4.0777 and 1.5046 (a common textbook example, from memory)', () => {
    const hours = [
      0.5, 0.75, 1, 1.25, 1.5, 1.75, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 4, 4.25, 4.5, 4.75, 5, 5.5,
    ];
    const passed = [0, 0, 0, 0, 0, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 1, 1, 1, 1, 1].map((x) => x === 1);
    const [constant, perHour] = fitLogistic(
      hours.map((h) => [1, h]),
      passed,
      0,
    );
    expect(constant).toBeCloseTo(-4.0777, 3);
    expect(perHour).toBeCloseTo(1.5046, 3);
  });

  it('puts all pictures made of one photo in the same half', () => {
    expect(isFirstHalf('a1-d03-2')).toBe(isFirstHalf('d03-charcoal-inch-mat'));
    const halves = Array.from({ length: 200 }, (_, i) => isFirstHalf(`drawn 7-${i}`));
    const share = halves.filter(Boolean).length / halves.length;
    expect(share).toBeGreaterThan(0.35);
    expect(share).toBeLessThan(0.65);
  });
});
