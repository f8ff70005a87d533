import { describe, expect, it } from 'vitest';
import type { CamRecord } from '../../src/domain/camFitRecords';
import {
  convertReading,
  type LandmarkPair,
  type LandmarkRelation,
  relateLandmarks,
} from '../../src/domain/landmarkRelation';
import { findGrowth } from '../../src/domain/landmarkRelationGrowth';
import { seeded } from '../builders/random';

const pair = (fromMm: number, toMm: number): LandmarkPair => ({ fromMm, uFromMm: 0.02, toMm, uToMm: 0.03 });
const isRelation = (answer: ReturnType<typeof relateLandmarks>): LandmarkRelation => {
  if (answer.kind !== 'relation') throw new Error(answer.sentence);
  return answer;
};

describe('two landmarks read at the same settings', () => {
  it('convert into each other exactly when they lie on a line', () => {
    const relation = isRelation(relateLandmarks([26, 27, 28.5].map((mm) => pair(mm, 50 - 1.1 * mm))));
    expect(convertReading(relation, 27.3, 0.02).mm).toBeCloseTo(50 - 1.1 * 27.3, 9);
  });

  it('convert back to where they came from', () => {
    const pairs = [pair(26, 21.4), pair(27, 20.28), pair(28.5, 18.65), pair(29, 18.12)];
    const there = isRelation(relateLandmarks(pairs));
    const back = isRelation(
      relateLandmarks(
        pairs.map((p) => ({ fromMm: p.toMm, uFromMm: p.uToMm, toMm: p.fromMm, uToMm: p.uFromMm })),
      ),
    );
    const once = convertReading(there, 27.7, 0.02);
    expect(convertReading(back, once.mm, 0.02).mm).toBeCloseTo(27.7, 6);
  });

  it('carry the reading’s own uncertainty over with the slope, and the relation’s on top', () => {
    const relation = isRelation(relateLandmarks([26, 27, 28, 29].map((mm) => pair(mm, 2 * mm))));
    const exact = convertReading(relation, 27.5, 0);
    const read = convertReading(relation, 27.5, 0.05);
    expect(read.standardUncertaintyMm ** 2 - exact.standardUncertaintyMm ** 2).toBeCloseTo(0.01, 10);
    // At the middle of four equal settings only the level counts: √(0.03² + (2·0.02)²) / √4.
    expect(exact.standardUncertaintyMm).toBeCloseTo(0.025, 6);
    expect(convertReading(relation, 31, 0).standardUncertaintyMm).toBeGreaterThan(0.05);
    expect(convertReading(relation, 31, 0).beyondMm).toBeCloseTo(2, 10);
  });

  it('hold the truth in at least 94 of 100 simulated benches', () => {
    const random = seeded(5);
    let held = 0;
    for (let i = 0; i < 800; i += 1) {
      const pairs = [26, 27, 28, 29].map((mm) =>
        pair(mm + 0.02 * random.normal(), 50 - mm + 0.03 * random.normal()),
      );
      const truth = random.between(26, 29);
      const converted = convertReading(
        isRelation(relateLandmarks(pairs)),
        truth + 0.02 * random.normal(),
        0.02,
      );
      held += Math.abs(converted.mm - (50 - truth)) <= converted.plusMinus95Mm ? 1 : 0;
    }
    expect(held / 800).toBeGreaterThan(0.94);
  });

  it('are not related from one setting', () => {
    expect(relateLandmarks([pair(27, 20)]).kind).toBe('tooLittle');
    expect(relateLandmarks([]).kind).toBe('tooLittle');
    expect(relateLandmarks([pair(27, 20), pair(27.02, 20.01)])).toMatchObject({
      sentence: expect.stringContaining('two or more settings'),
    });
  });

  it('say when two settings are all there is', () => {
    expect(isRelation(relateLandmarks([pair(26, 24), pair(28, 22)])).sentence).toContain('a third');
  });
});

describe('whether a reading grows or shrinks with the stitch', () => {
  const swatch = (readingMm: number, walePitchMm: number, over: Partial<CamRecord> = {}): CamRecord => ({
    id: `${readingMm}`,
    readingMm,
    uReadingMm: 0.02,
    walePitchMm,
    uWalePitchMm: 0.02,
    coursePitchMm: 2.4,
    uCoursePitchMm: 0.02,
    restState: 'rested',
    yarnId: 'oat',
    machineId: 'bench',
    cylinderNeedles: 72,
    landmarkId: 'rim',
    ...over,
  });

  it('is found from swatches at different settings', () => {
    expect(findGrowth([swatch(26, 2.6), swatch(28, 3.5)], null)).toMatchObject({
      growth: 'grows',
      agrees: true,
    });
    expect(findGrowth([swatch(28, 2.6), swatch(26, 3.5)], 'shrinks')).toMatchObject({
      growth: 'shrinks',
      agrees: true,
    });
  });

  it('contradicts a wrong statement in a sentence', () => {
    const finding = findGrowth([swatch(26, 2.6), swatch(27, 3.05), swatch(28, 3.5)], 'shrinks');
    expect(finding).toMatchObject({ growth: 'grows', agrees: false });
    expect(finding.sentence).toContain('the opposite of what the landmark says');
  });

  it('stays open while the data do not tell', () => {
    expect(findGrowth([], 'grows').growth).toBeNull();
    expect(findGrowth([swatch(26, 3.0), swatch(26.3, 3.02)], 'shrinks')).toMatchObject({
      growth: null,
      agrees: true,
    });
  });

  it('is not fooled by a looser yarn at a tighter setting, nor by fabric in another rest state', () => {
    const records = [
      swatch(26, 2.6),
      swatch(28, 3.5),
      swatch(25, 4.4, { yarnId: 'thick' }),
      swatch(24, 4.6, { restState: 'worn' }),
    ];
    expect(findGrowth(records, null).growth).toBe('grows');
  });
});
