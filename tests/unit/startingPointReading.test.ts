import { describe, expect, it } from 'vitest';
import type { CamGroup } from '../../src/domain/camFitRecords';
import { pitchFromLoopLength } from '../../src/domain/startingPoint';
import { startingReading } from '../../src/domain/startingPointReading';

/** Three swatches of a yarn on a machine where a loop is twice the draw plus this constant. */
const yarn = (yarnId: string, constantMm: number, readings = [26, 27, 28]): CamGroup => ({
  yarnId,
  cylinderNeedles: 72,
  records: readings.map((readingMm) => ({
    id: `${yarnId}-${readingMm}`,
    readingMm,
    uReadingMm: 0.02,
    ...pitchFromLoopLength(2 * (readingMm - 24) + constantMm, 'rested'),
    uWalePitchMm: 0.01,
    uCoursePitchMm: 0.01,
    restState: 'rested',
    yarnId,
    machineId: 'bench',
    cylinderNeedles: 72,
    landmarkId: 'rim',
  })),
});

describe('a reading to begin with for a yarn without a swatch', () => {
  const wanted = pitchFromLoopLength(11.4, 'rested').walePitchMm;

  it('lies in the middle of where the other yarns have such stitches', () => {
    const start = startingReading([yarn('oat', 5), yarn('rye', 5.4), yarn('fen', 5.2)], wanted);
    if (start.kind !== 'reading') throw new Error(start.sentence);
    expect(start.readingMm).toBeCloseTo(24 + (11.4 - 5.2) / 2, 6);
    expect(start.fromMm).toBeCloseTo(24 + (11.4 - 5.4) / 2, 6);
    expect(start.toMm).toBeCloseTo(24 + (11.4 - 5) / 2, 6);
    expect(start.sentence).toContain('Begin at 27.10 mm, where 3 other yarns');
    expect(start.cautions).toEqual([]);
  });

  it('uses a yarn with one swatch too, with a slope borrowed from the rest', () => {
    const start = startingReading([yarn('oat', 5), yarn('rye', 5, [27])], wanted);
    expect(start).toMatchObject({ kind: 'reading', yarns: 2 });
  });

  it('speaks in inches where she reads inches, and warns where no yarn was tried', () => {
    const far = pitchFromLoopLength(17, 'rested').walePitchMm;
    const start = startingReading([yarn('oat', 5)], far, 'in');
    expect(start.sentence).toContain('Begin at 1.181 in, where one other yarn');
    expect(start.kind === 'reading' && start.cautions[0]).toContain('No yarn was tried as far');
  });

  it('says where to begin when the machine has no swatches at all', () => {
    expect(startingReading([], wanted)).toMatchObject({
      kind: 'none',
      sentence: expect.stringContaining('middle of the cam'),
    });
  });
});
