import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CamFit, type CamFitAnswer, fitCam } from '../../src/domain/camFit';
import { densityRange, predictPitch, readingForPitch } from '../../src/domain/camFitPredict';
import { type CamRecord, selectCamRecords } from '../../src/domain/camFitRecords';
import { fitStraightLine } from '../../src/domain/regression';
import { pitchFromLoopLength } from '../../src/domain/startingPoint';
import { camCoverage } from '../builders/cam-history';

const record = (over: Partial<CamRecord>): CamRecord => ({
  id: `${over.yarnId ?? 'oat'}-${over.readingMm}`,
  readingMm: 28,
  uReadingMm: 0.02,
  walePitchMm: 3.1,
  uWalePitchMm: 0.01,
  coursePitchMm: 2.4,
  uCoursePitchMm: 0.01,
  restState: 'washedAndDried',
  yarnId: 'oat',
  machineId: 'bench',
  cylinderNeedles: 72,
  landmarkId: 'cam top',
  ...over,
});

/** A swatch whose loop is twice the draw plus a constant, as Munden's constants turn it into stitches. */
const knitted = (readingMm: number, over: Partial<CamRecord> = {}, constantMm = 5): CamRecord =>
  record({ readingMm, ...pitchFromLoopLength(2 * (readingMm - 24) + constantMm, 'washedAndDried'), ...over });

const selection = { yarnId: 'oat', machineId: 'bench', cylinderNeedles: 72, landmarkId: 'cam top' };

const isFit = (answer: CamFitAnswer): CamFit => {
  if (answer.kind !== 'fit') throw new Error(answer.sentence);
  return answer;
};

describe('the records that may be fitted together', () => {
  it('refuse to mix rest states silently', () => {
    const answer = selectCamRecords(
      [
        record({ readingMm: 27, restState: 'offMachine' }),
        record({ readingMm: 28 }),
        record({ readingMm: 29 }),
      ],
      selection,
    );
    expect(answer.kind).toBe('mixedRestStates');
    if (answer.kind !== 'mixedRestStates') return;
    expect(answer.sentence).toContain('1 off the machine, 2 washed and dried');
    expect(answer.states).toHaveLength(2);
  });

  it('are one rest state when it is named, and what was left out is said', () => {
    const answer = selectCamRecords(
      [record({ readingMm: 27, restState: 'offMachine' }), record({ readingMm: 28 })],
      { ...selection, restState: 'washedAndDried' },
    );
    if (answer.kind !== 'ready') throw new Error(answer.sentence);
    expect(answer.own.map((r) => r.readingMm)).toEqual([28]);
    expect(answer.leftOut).toHaveLength(1);
    expect(answer.remarks).toEqual(['Left out: 1 swatch of another rest state (off the machine).']);
  });

  it('lend slopes only from the same machine, landmark and rest state', () => {
    const answer = selectCamRecords(
      [
        record({}),
        record({ yarnId: 'rye' }),
        record({ yarnId: 'rye', cylinderNeedles: 54 }),
        record({ yarnId: 'rye', machineId: 'attic' }),
        record({ yarnId: 'rye', landmarkId: 'nut' }),
        record({ yarnId: 'rye', restState: 'worn' }),
      ],
      selection,
    );
    if (answer.kind !== 'ready') throw new Error(answer.sentence);
    expect(answer.others.map((g) => [g.yarnId, g.cylinderNeedles, g.records.length])).toEqual([
      ['rye', 72, 1],
      ['rye', 54, 1],
    ]);
  });

  it('tell of the yarn’s swatches that were read at another landmark', () => {
    const answer = selectCamRecords([record({}), record({ landmarkId: 'nut' })], selection);
    expect(answer).toMatchObject({
      kind: 'ready',
      remarks: ['Left out: 1 swatch read at another landmark; relate the two landmarks to use it.'],
    });
  });
});

describe('stitch size against cam setting', () => {
  it('finds Munden’s slopes, 2 / 4.2 and 2 / 5.5 mm a mm of travel, in fabric knitted by his rule', () => {
    const own = [26, 27.1, 28.3, 29].map((mm) => knitted(mm));
    const wale = isFit(fitCam(own, [], 'wale'));
    const course = isFit(fitCam(own, [], 'course'));
    expect(wale.line.slope).toBeCloseTo(2 / 4.2, 10);
    expect(course.line.slope).toBeCloseTo(2 / 5.5, 10);
    expect(predictPitch(wale, 27.5).pitchMm).toBeCloseTo(12 / 4.2, 10);
    expect(wale.points.every((p) => Math.abs(p.residualMm) < 1e-9)).toBe(true);
  });

  it('is the least squares prediction interval of the textbooks when the readings are exact', () => {
    const x = [26, 26.7, 27.5, 28.4, 29];
    const y = [2.61, 2.96, 3.33, 3.79, 4.02];
    // The assumed scatter is relative; against a large measurement uncertainty it hardly bends the weights.
    const own = x.map((readingMm, i) =>
      record({ readingMm, uReadingMm: 0, walePitchMm: y[i]!, uWalePitchMm: 5 }),
    );
    const plain = fitStraightLine(x, y);
    const predicted = predictPitch(isFit(fitCam(own, [], 'wale')), 27);
    const meanX = 27.52;
    const squares = x.reduce((sum, v) => sum + (v - meanX) ** 2, 0);
    const se = plain.residualSd * Math.sqrt(1 + 1 / 5 + (27 - meanX) ** 2 / squares);
    expect(predicted.pitchMm).toBeCloseTo(plain.coefficients[0]! + 27 * plain.coefficients[1]!, 4);
    expect(predicted.standardUncertaintyMm).toBeCloseTo(se, 4);
    // t(0.975; 3) = 3.182, tabulated.
    expect((predicted.upperMm - predicted.pitchMm) / predicted.standardUncertaintyMm).toBeCloseTo(3.182, 3);
  });

  it('borrows the slope for a single swatch, widens the range, and shows who lent what', () => {
    const rye = [26, 27, 28].map((mm) => knitted(mm, { yarnId: 'rye' }, 6));
    const fen = [26.5, 27.5, 29].map((mm) => knitted(mm, { yarnId: 'fen' }, 4));
    const noisy = [rye, fen].map((records, g) => ({
      yarnId: g ? 'fen' : 'rye',
      cylinderNeedles: 72,
      records: records.map((r, i) => ({
        ...r,
        walePitchMm: r.walePitchMm * (1 + [0.01, -0.012, 0.004][i]!),
      })),
    }));
    const one = isFit(fitCam([knitted(27)], noisy, 'wale'));
    expect(one.ownShare).toBe(0);
    expect(one.borrowed.map((b) => b.yarnId)).toEqual(['rye', 'fen']);
    expect(one.borrowed.reduce((sum, b) => sum + b.share, 0)).toBeCloseTo(1, 12);
    expect(one.sentence).toContain('the slope is borrowed from 2 other yarns');
    const three = isFit(
      fitCam(
        [26, 27, 28].map((mm) => knitted(mm)),
        noisy,
        'wale',
      ),
    );
    const width = (fit: CamFit) => {
      const p = predictPitch(fit, 28);
      return p.upperMm - p.lowerMm;
    };
    expect(width(one)).toBeGreaterThan(width(three));
    expect(three.ownShare).toBeGreaterThan(0);
    expect(three.ownShare).toBeLessThan(1);
    expect(three.ownShare + three.borrowed.reduce((sum, b) => sum + b.share, 0)).toBeCloseTo(1, 12);
  });

  it('gives no slope from one setting on a machine without other yarns, and says what to knit', () => {
    expect(fitCam([knitted(27), knitted(27.01)], [], 'wale')).toMatchObject({
      kind: 'tooLittle',
      sentence: expect.stringContaining('knit a swatch at another setting'),
    });
    expect(fitCam([], [], 'wale').kind).toBe('tooLittle');
  });

  it('says that the scatter is assumed with two swatches and nothing else', () => {
    const fit = isFit(fitCam([knitted(26), knitted(28)], [], 'wale'));
    expect(fit.sentence).toContain('assumed');
    expect(fit.degreesOfFreedom).toBe(Number.POSITIVE_INFINITY);
  });

  it('flags a setting beyond those tried, by how much', () => {
    const fit = isFit(
      fitCam(
        [26, 27, 28].map((mm) => knitted(mm)),
        [],
        'wale',
      ),
    );
    expect(predictPitch(fit, 27.5).cautions.join()).not.toContain('Beyond');
    const far = predictPitch(fit, 28.75);
    expect(far.beyondMm).toBeCloseTo(0.75, 10);
    expect(far.cautions[0]).toContain('Beyond the settings you have tried, by 0.75 mm');
    expect(predictPitch(fit, 25).beyondMm).toBeCloseTo(1, 10);
  });

  it('does not let a lucky line pass for a sure one', () => {
    // Three swatches exactly on a line, each known to 0.04 mm: any range from their scatter alone is too narrow.
    const own = [26, 27, 28].map((mm) => knitted(mm, { uWalePitchMm: 0.04 }));
    const lucky = predictPitch(isFit(fitCam(own, [], 'wale')), 27);
    expect(lucky.cautions.join()).toContain('closer to one line than their photos can tell');
    const uneven = own.map((r, i) => ({ ...r, walePitchMm: r.walePitchMm + [0.02, -0.04, 0.02][i]! }));
    expect(predictPitch(isFit(fitCam(uneven, [], 'wale')), 27).cautions).toEqual([]);
  });

  it('says how far beyond in the unit she reads', () => {
    const fit = isFit(
      fitCam(
        [26, 27.1, 28].map((mm) => knitted(mm)),
        [],
        'wale',
      ),
    );
    const { cautions } = readingForPitch(fit, predictPitch(fit, 30.54).pitchMm, undefined, 'in');
    expect(cautions[0]).toContain('by 0.100 in');
  });

  it('reads back the setting for a target, and flags one that lies beyond', () => {
    const fit = isFit(
      fitCam(
        [26, 27.1, 28].map((mm) => knitted(mm)),
        [],
        'wale',
      ),
    );
    const target = pitchFromLoopLength(2 * (27.6 - 24) + 5, 'washedAndDried').walePitchMm;
    const answer = readingForPitch(fit, target);
    expect(answer.inverse.x).toBeCloseTo(27.6, 8);
    expect(answer.cautions).toEqual([]);
    const beyond = readingForPitch(fit, target + 0.5);
    expect(beyond.beyondMm).toBeCloseTo(27.6 + 0.5 * 2.1 - 28, 6);
    expect(beyond.cautions[0]).toContain('Beyond the settings');
    expect(() => readingForPitch(fit, 0)).toThrow('more than zero');
  });

  it('gives no range for a target when the slope is lost in the scatter', () => {
    const own = [26, 27, 28].map((mm, i) => record({ readingMm: mm, walePitchMm: [3.1, 3.35, 3.12][i]! }));
    const answer = readingForPitch(isFit(fitCam(own, [], 'wale')), 3.2);
    expect(answer.inverse.kind).toBe('unbounded');
  });

  it('mirrors exactly when the landmark’s reading shrinks instead of growing', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -30, max: 30 }), { minLength: 4, maxLength: 8 }),
        fc.double({ min: 26, max: 29, noNaN: true }),
        (noise, at) => {
          const own = noise.map((n, i) => knitted(26 + i / 2, { walePitchMm: 2.6 + 0.24 * i + n / 1000 }));
          const mirrored = own.map((r) => ({ ...r, readingMm: -r.readingMm }));
          const a = predictPitch(isFit(fitCam(own, [], 'wale')), at);
          const b = predictPitch(isFit(fitCam(mirrored, [], 'wale')), -at);
          expect(b.pitchMm).toBeCloseTo(a.pitchMm, 9);
          expect(b.upperMm).toBeCloseTo(a.upperMm, 9);
        },
      ),
    );
  });

  it('turns a predicted size into stitches per mm, open where the size could be nothing', () => {
    expect(densityRange({ pitchMm: 2.5, lowerMm: 2, upperMm: 4 })).toEqual({
      value: 0.4,
      lower: 0.25,
      upper: 0.5,
    });
    expect(densityRange({ pitchMm: 2.5, lowerMm: -1, upperMm: 6 }).upper).toBeNull();
  });
});

describe('prediction intervals at 95 % hold a new swatch in 93 to 97 of 100 simulated cases', () => {
  // With 1000 cases the observed percentage itself has a standard deviation of 0.7.
  const ordinary = { slope: 0.476, scatter: 0.01, uReadingMm: 0.03, uPitchMm: 0.02, slopeSpread: 0.06 };
  const restless = { slope: -0.476, scatter: 0.025, uReadingMm: 0.08, uPitchMm: 0.015, slopeSpread: 0.1 };
  const worlds = { ordinary, restless };

  for (const [name, world] of Object.entries(worlds)) {
    for (const [ownSwatches, otherYarns] of [
      [1, 5],
      [2, 5],
      [3, 5],
      [3, 0],
      [5, 0],
      [10, 0],
      [10, 5],
    ] as const) {
      it(`${ownSwatches} of the yarn, ${otherYarns} other yarns, ${name}`, () => {
        const seed = 100 * ownSwatches + otherYarns;
        const { forward, backward } = camCoverage(world, { ownSwatches, otherYarns, seed, trials: 1000 });
        expect(forward).toBeGreaterThan(93);
        expect(forward).toBeLessThan(97);
        expect(backward).toBeGreaterThan(93);
        expect(backward).toBeLessThan(97);
      });
    }
  }
});
