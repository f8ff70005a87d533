import { describe, expect, it } from 'vitest';
import type { CamRecord } from '../../src/domain/camFitRecords';
import { selectCamRecords } from '../../src/domain/camFitRecords';
import { changeAdvice, rowsSentence, type SettingModel } from '../../src/domain/compareViewAdvice';
import { flagsOf, type SwatchCircumstances, stitchWords } from '../../src/domain/compareViewFlags';
import { lengthDifference, sockOnCylinder } from '../../src/domain/compareViewSock';

const plain = (name: string, change: Partial<SwatchCircumstances> = {}): SwatchCircumstances => ({
  name,
  restState: 'washedAndDried',
  face: 'knit',
  cylinderNeedles: 72,
  machineId: 'm',
  stitchShare: 1,
  layers: 1,
  proposal: false,
  ...change,
});

describe('what is said before any number is read', () => {
  it('is nothing when two swatches differ in their gauge alone', () => {
    expect(flagsOf([plain('A'), plain('B')])).toEqual([]);
  });

  it('names rest states, stitches, cylinders, faces, layers and unchecked lines that differ', () => {
    const flags = flagsOf([
      plain('A'),
      plain('B', {
        restState: 'rested',
        face: 'purl',
        cylinderNeedles: 60,
        machineId: 'n',
        stitchShare: 0.75,
        layers: 2,
        proposal: true,
      }),
    ]);
    expect(flags.map(({ kind }) => kind)).toEqual([
      'restState',
      'stitches',
      'cylinder',
      'machine',
      'face',
      'layers',
      'proposal',
    ]);
    expect(flags[0]?.sentence).toContain('A: washed and dried; B: rested');
    expect(flags[2]?.sentence).toContain('A: 72 needles; B: 60 needles');
  });

  it('asks for the rest state when it was never written down', () => {
    const unknown = { restState: null };
    expect(flagsOf([plain('A', unknown), plain('B', unknown)]).map(({ kind }) => kind)).toEqual([
      'restState',
    ]);
  });

  it('calls a fabric with every fourth needle out by its needles', () => {
    expect(stitchWords(1)).toBe('plain');
    expect(stitchWords(0.75)).toBe('mock rib, about 3 needles in and 1 out');
  });
});

describe('the sock that a cylinder knits', () => {
  const perInch = (value: number) => ({ value: value / 25.4, plusMinus95: 0.01 * (value / 25.4) });

  it('is as wide as its needles over the stitches, and as long as its rounds over the rows', () => {
    // Common practice: 72 needles at 8 stitches to the inch make a tube of 9 inches; 100 rounds at 10 to the inch are 10 inches.
    const sock = sockOnCylinder(72, { walesPerMm: perInch(8), coursesPerMm: perInch(10) });
    expect(sock.girthMm.value / 25.4).toBeCloseTo(9, 10);
    expect(sock.girthMm.plusMinus95 / sock.girthMm.value).toBeCloseTo(0.01, 10);
    expect(sock.lengthMm.value / 25.4).toBeCloseTo(10, 10);
  });

  it('gets narrower by as much as there are more stitches', () => {
    const change = lengthDifference(228.6, { value: 0.125, plusMinus95: 0.009 });
    expect(change.value).toBeCloseTo(228.6 * (8 / 9 - 1), 10);
    expect(change.plusMinus95).toBeCloseTo((228.6 * 0.009) / 1.125 ** 2, 10);
  });
});

const record = (id: string, yarnId: string, readingMm: number, walePitchMm: number): CamRecord => ({
  id,
  yarnId,
  machineId: 'm',
  cylinderNeedles: 72,
  landmarkId: 'nut',
  restState: 'rested',
  readingMm,
  uReadingMm: 0.02,
  walePitchMm,
  uWalePitchMm: 0.01,
  coursePitchMm: walePitchMm / 1.4,
  uCoursePitchMm: 0.008,
});

/** A yarn whose stitches widen by 0.35 mm a millimetre of reading, as evenly as knitting is. */
const grey = [27.4, 28.2, 29.0, 29.8].map((mm, i) =>
  record(`g${i}`, 'grey', mm, 2.8 + 0.35 * (mm - 28) + [0.01, -0.012, 0.002, 0][i]!),
);

const model = (records: readonly CamRecord[]): SettingModel => ({
  machine: { looserDirection: 'clockwise', stepTurns: 0.25, finishDirection: null, mountedNeedles: 72 },
  landmarkName: 'nut to frame',
  growth: 'grows',
  calibration: {
    kind: 'calibration',
    travelPerTurnMm: { value: 0.8, standardUncertainty: 0.01, plusMinus95: 0.02 },
    playTurns: { value: 0.05, standardUncertainty: 0.01, plusMinus95: 0.02 },
    readings: 6,
    nominalOnly: false,
    sentence: '',
    remarks: [],
  },
  select: (selection) => selectCamRecords(records, selection),
  unit: 'mm',
});

describe('what to change', () => {
  const from = grey[3]!;
  const target = { walesPerMm: 1 / 2.94, coursesPerMm: 1.4 / 2.94 };
  const names = { from: 'B', target: 'A' };

  it('gives the reading of the yarn’s own line, the way to turn and what to expect', () => {
    const advice = changeAdvice(from, target, model(grey), names);
    if (advice.kind !== 'advice') throw new Error(advice.sentence);
    expect(advice.readingMm).toBeCloseTo(28.4, 1);
    expect(advice.walesPerMm.value).toBeCloseTo(target.walesPerMm, 6);
    expect(advice.sentence).toMatch(
      /^To make B like A: set “nut to frame” to 28\.4.? ± 0\.\d+ mm; expected 8\.6\d? ± 0\.\d+ stitches/,
    );
    expect(advice.turning).toMatch(/^1¾ turns anticlockwise, tighter/);
    expect(Math.abs(advice.rowsOff!.value)).toBeLessThan(advice.rowsOff!.plusMinus95);
  });

  it('says by how much the rows will be off when columns and rows cannot both be met', () => {
    const advice = changeAdvice(from, { ...target, coursesPerMm: 1.7 / 2.94 }, model(grey), names);
    if (advice.kind !== 'advice') throw new Error(advice.sentence);
    expect(advice.rowsOff!.value).toBeCloseTo(1.4 / 1.7 - 1, 2);
    expect(Math.abs(advice.rowsOff!.value)).toBeGreaterThan(advice.rowsOff!.plusMinus95);
  });

  it('warns of rows only when they are off by more than the ± and more than can be seen', () => {
    const said = (value: number, plusMinus95: number) => rowsSentence({ value, plusMinus95 }, names);
    expect(said(0.03, 0.01)).toEqual({
      warns: true,
      sentence:
        'Columns and rows cannot both be met: with the stitches right, B will have 3.0 % ± 1.0 % more rows than A.',
    });
    expect(said(0.0014, 0.0013)).toEqual({
      warns: false,
      sentence: 'The rows should then come out like those of A: 0.14 % ± 0.13 % more, too little to be seen.',
    });
    expect(said(-0.01, 0.02)).toEqual({
      warns: false,
      sentence: 'The rows should then come out like those of A, give or take 3.0 %.',
    });
  });

  it('says what is missing when one swatch is all there is', () => {
    const advice = changeAdvice(from, target, model([from]), names);
    expect(advice).toMatchObject({ kind: 'none' });
    expect(advice.sentence).toContain('knit a swatch at another setting');
  });

  it('warns when the target lies beyond the settings tried', () => {
    const advice = changeAdvice(from, { walesPerMm: 1 / 2.3, coursesPerMm: 1.4 / 2.3 }, model(grey), names);
    if (advice.kind !== 'advice') throw new Error(advice.sentence);
    expect(advice.cautions.join(' ')).toContain('Beyond the settings');
    expect(advice.cautions.join(' ')).toContain('hands clear of needles');
  });
});
