import { describe, expect, it } from 'vitest';
import { camRecordOf, repeatabilityOf } from '../../src/domain/camFitSwatch';
import { openQuestions, usualLandmarkProfile, usualProfile } from '../../src/domain/machineRecords';

const swatch = {
  id: 's1',
  gauge: {
    walesPerMm: { value: 0.32, plusMinus95: 0.0032 },
    coursesPerMm: { value: 0.4, plusMinus95: 0.008 },
    walesInWindow: 20,
    coursesInWindow: 30,
    status: 'measured' as const,
  },
  yarnId: 'oat',
  machineId: 'bench',
  cylinderNeedles: 72,
  reading: {
    landmarkId: 'rim',
    unit: 'mm' as const,
    repeats: [
      { typed: '28.90', mm: 28.9 },
      { typed: '28.94', mm: 28.94 },
      { typed: '28.92', mm: 28.92 },
    ],
  },
  restState: 'rested' as const,
};
const landmarks = [{ id: 'rim', jaw: 'depth' as const }];

describe('a swatch as part of a fit', () => {
  it('gives its sizes with their uncertainties, and its reading without the caliper’s own error', () => {
    const answer = camRecordOf(swatch, landmarks);
    if (answer.kind !== 'record') throw new Error(answer.sentence);
    expect(answer.record.walePitchMm).toBeCloseTo(3.125, 10);
    // 1 % at 95 % is 0.51 % of standard uncertainty.
    expect(answer.record.uWalePitchMm / 3.125).toBeCloseTo(0.01 / 1.96, 5);
    expect(answer.record.uCoursePitchMm / 2.5).toBeCloseTo(0.02 / 1.96, 5);
    expect(answer.record.readingMm).toBeCloseTo(28.92, 10);
    expect(answer.record.uReadingMm).toBeCloseTo(Math.sqrt(0.0004 / 3 + 0.005 ** 2 / 3), 10);
  });

  it('says what it lacks', () => {
    const lacks = (over: Parameters<typeof camRecordOf>[0]) => camRecordOf(over, landmarks);
    expect(lacks({ ...swatch, gauge: null })).toMatchObject({ sentence: expect.stringContaining('gauge') });
    expect(lacks({ ...swatch, yarnId: null })).toMatchObject({ sentence: expect.stringContaining('yarn') });
    expect(lacks({ ...swatch, cylinderNeedles: null })).toMatchObject({
      sentence: expect.stringContaining('cylinder'),
    });
    expect(lacks({ ...swatch, reading: null })).toMatchObject({
      sentence: expect.stringContaining('no caliper reading'),
    });
    expect(lacks({ ...swatch, reading: { ...swatch.reading, landmarkId: null } })).toMatchObject({
      sentence: expect.stringContaining('between which points'),
    });
  });

  it('teaches how well its landmark repeats', () => {
    const known = repeatabilityOf([swatch, { reading: null }, swatch], 'rim');
    expect(known?.degreesOfFreedom).toBe(4);
    expect(known?.sdMm).toBeCloseTo(0.02, 10);
    expect(repeatabilityOf([swatch], 'nut')).toBeNull();
  });
});

describe('a machine and its landmarks', () => {
  it('begin with the usual direction and step', () => {
    expect(usualProfile({ cylinderNeedles: [54, 72] })).toMatchObject({
      looserDirection: 'clockwise',
      stepTurns: 0.25,
      mountedNeedles: null,
      cylinders: [
        { needles: 54, diameterMm: null },
        { needles: 72, diameterMm: null },
      ],
    });
    expect(usualProfile({ cylinderNeedles: [60] }).mountedNeedles).toBe(60);
  });

  it('ask for a mark on a sloping surface, and for the growth while it is open', () => {
    const fresh = usualLandmarkProfile();
    expect(openQuestions(fresh)).toHaveLength(1);
    expect(openQuestions({ ...fresh, sloping: true, growth: 'grows' })[0]).toContain('make a mark');
    expect(openQuestions({ ...fresh, sloping: true, growth: 'grows', mark: 'scratch at the rim' })).toEqual(
      [],
    );
  });
});
