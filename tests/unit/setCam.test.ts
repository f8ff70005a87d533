import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateReading } from '../../src/domain/caliper';
import { type CamFit, fitCam } from '../../src/domain/camFit';
import type { Jaw } from '../../src/domain/records';
import { guideToSetting, type SetCamRequest } from '../../src/domain/setCam';
import { readingForGauge } from '../../src/domain/setCamTarget';
import { oppositeOf, turnCount, turnWords } from '../../src/domain/setCamTurns';
import { pitchFromLoopLength } from '../../src/domain/startingPoint';
import type { NutDirection } from '../../src/domain/turns';
import { seeded } from '../builders/random';

const estimate = (value: number, standardUncertainty = 0.01) => ({
  value,
  standardUncertainty,
  plusMinus95: 1.96 * standardUncertainty,
});

const usual: SetCamRequest = {
  presentMm: 28,
  uPresentMm: 0.02,
  targetMm: 29.4,
  toleranceMm: 0.1,
  looserDirection: 'clockwise',
  growth: 'grows',
  calibration: { travelPerTurnMm: estimate(0.8), playTurns: estimate(0.1) },
  lastMove: 'anticlockwise',
  unit: 'mm',
};

describe('turns in words', () => {
  it('are whole turns and quarters, finer ones where needed', () => {
    expect(turnCount(1.75)).toEqual({ turns: 1.75, whole: 1, quarters: 3, text: '1¾' });
    expect(turnCount(0.25).text).toBe('¼');
    expect(turnCount(2).text).toBe('2');
    expect(turnCount(1.1875)).toMatchObject({ text: '1 3/16', quarters: 0.75 });
    expect(turnCount(0).text).toBe('0');
    expect(turnWords(turnCount(1))).toBe('1 turn');
    expect(turnWords(turnCount(1.25))).toBe('1¼ turns');
  });
});

describe('the way to a setting', () => {
  it('reads "1¾ turns clockwise, looser; go ¼ past and come back"', () => {
    const guidance = guideToSetting(usual);
    expect(guidance.sentence).toMatch(/^1¾ turns clockwise, looser; go ¼ past and come back\./);
    expect(guidance).toMatchObject({
      direction: 'clockwise',
      looserOrTighter: 'looser',
      insideTolerance: false,
    });
    expect(guidance.expectedMm).toBeCloseTo(29.4, 10);
    expect(guidance.plusMinus95Mm).toBeGreaterThan(0.05);
    expect(guidance.plusMinus95Mm).toBeLessThan(0.3);
  });

  it('needs no going past when it tightens, because it ends from the usual side', () => {
    const guidance = guideToSetting({ ...usual, targetMm: 26.6 });
    expect(guidance).toMatchObject({ direction: 'anticlockwise', looserOrTighter: 'tighter', past: null });
    expect(guidance.turns.text).toBe('1¾');
    expect(guidance.cautions.join()).toContain('too tight bends latches');
  });

  it('adds the play when the nut was last turned the other way', () => {
    const request = {
      ...usual,
      targetMm: 27.2,
      toleranceMm: 0.02,
      calibration: { travelPerTurnMm: estimate(0.8), playTurns: estimate(0.25) },
    };
    expect(guideToSetting(request).turns.turns).toBe(1);
    expect(guideToSetting({ ...request, lastMove: 'clockwise' }).turns.turns).toBe(1.25);
  });

  it('goes past by more than the play', () => {
    const calibration = { travelPerTurnMm: estimate(0.8), playTurns: estimate(0.4) };
    expect(guideToSetting({ ...usual, calibration }).past?.turns).toBe(0.5);
  });

  it('takes finer steps only where quarters do not reach', () => {
    const request = { ...usual, targetMm: 28.3 };
    // 0.375 turn: a quarter would be 0.1 mm off.
    expect(guideToSetting({ ...request, toleranceMm: 0.11 }).turns.text).toBe('½');
    expect(guideToSetting({ ...request, toleranceMm: 0.05 }).turns.text).toBe('⅜');
  });

  it('leaves the nut alone inside tolerance', () => {
    const guidance = guideToSetting({ ...usual, targetMm: 28.06 });
    expect(guidance).toMatchObject({ insideTolerance: true, direction: null, past: null });
    expect(guidance.turns.turns).toBe(0);
    expect(guidance.sentence).toContain('Inside tolerance, 0.06 mm from the target');
  });

  it('does not chase a tolerance that the nut cannot meet', () => {
    expect(guideToSetting({ ...usual, targetMm: 28.02, toleranceMm: 0.001 }).insideTolerance).toBe(true);
  });

  it('gives the direction and one step while the turns were never measured', () => {
    const guidance = guideToSetting({ ...usual, calibration: null });
    expect(guidance).toMatchObject({ direction: 'clockwise', expectedMm: null });
    expect(guidance.turns.text).toBe('¼');
    expect(guidance.sentence).toContain('not known yet');
  });

  it('speaks in the unit she reads', () => {
    expect(guideToSetting({ ...usual, unit: 'in' }).sentence).toMatch(/measure again: 1\.1575 ± 0\.00\d+ in/);
    expect(guideToSetting(usual).sentence).toMatch(/measure again: 29\.4\d* ± 0\.\d+ mm/);
  });

  it('warns of needles and cam first, of another cylinder, of a long way, and passes on the target’s warnings', () => {
    const { cautions } = guideToSetting({
      ...usual,
      targetMm: 31,
      cylinder: { wanted: 72, mounted: 54 },
      targetCautions: ['Beyond the settings you have tried, by 0.30 mm.'],
    });
    expect(cautions[0]).toContain('hands clear of needles and cam');
    expect(cautions.join()).toContain('72-needle cylinder, but the one with 54 needles is mounted');
    expect(cautions.join()).toContain('after each whole turn');
    expect(cautions.at(-1)).toContain('Beyond the settings');
  });

  it('trusts the measured turns over what was said of them, and warns', () => {
    const calibration = { travelPerTurnMm: estimate(-0.8), playTurns: null };
    const guidance = guideToSetting({ ...usual, calibration });
    expect(guidance.direction).toBe('anticlockwise');
    expect(guidance.cautions.join()).toContain('the other way than the machine and the landmark say');
  });

  it('refuses what is no number and no tolerance', () => {
    expect(() => guideToSetting({ ...usual, presentMm: Number.NaN })).toThrow('both as numbers');
    expect(() => guideToSetting({ ...usual, toleranceMm: 0 })).toThrow('tolerance must be more than zero');
    expect(() => guideToSetting({ ...usual, stepTurns: 0 })).toThrow('step of the nut');
  });
});

/** A cam on a nut with play: `draw` is how deep it pulls a needle, mm; a deeper draw is a longer stitch. */
interface Bench {
  readonly looserDirection: NutDirection;
  readonly grows: boolean;
  readonly mmPerTurn: number;
  readonly play: number;
  /** Reading at no draw and mm of reading a mm of draw: a sloping landmark reads less or more than the draw. */
  readonly offset: number;
  readonly ratio: number;
  draw: number;
  last: NutDirection;
}

const turn = (bench: Bench, direction: NutDirection, turns: number): void => {
  const moved = turns - (direction === bench.last ? 0 : bench.play);
  if (turns > 0 && moved >= 0) {
    bench.draw += (direction === bench.looserDirection ? 1 : -1) * moved * bench.mmPerTurn;
    bench.last = direction;
  }
};
const trueReading = (bench: Bench): number =>
  bench.offset + (bench.grows ? 1 : -1) * bench.ratio * bench.draw;
const stitchesPerMm = (bench: Bench): number =>
  1 / pitchFromLoopLength(2 * bench.draw + 5, 'rested').walePitchMm;
const travelPerClockwiseTurn = (bench: Bench): number =>
  (bench.looserDirection === 'clockwise' ? 1 : -1) * (bench.grows ? 1 : -1) * bench.ratio * bench.mmPerTurn;

/** What the display shows, typed in and evaluated like any reading. */
const typedReading = (mm: number, unit: 'mm' | 'in', jaw: Jaw) => {
  const typed = unit === 'in' ? (Math.round(mm / 0.0127) * 0.0005).toFixed(4) : mm.toFixed(2);
  const value = Number(typed) * (unit === 'in' ? 25.4 : 1);
  const evaluated = evaluateReading({ landmarkId: null, unit, repeats: [{ typed, mm: value }] }, jaw);
  return { presentMm: evaluated.meanMm, uPresentMm: evaluated.sameCaliperUncertaintyMm };
};

const benches = fc.record({
  looserDirection: fc.constantFrom<NutDirection>('clockwise', 'anticlockwise'),
  grows: fc.boolean(),
  mmPerTurn: fc.double({ min: 0.5, max: 1.5, noNaN: true }),
  play: fc.double({ min: 0, max: 0.4, noNaN: true }),
  offset: fc.double({ min: 20, max: 40, noNaN: true }),
  ratio: fc.double({ min: 0.6, max: 1.2, noNaN: true }),
  draw: fc.double({ min: 2, max: 6, noNaN: true }),
  last: fc.constantFrom<NutDirection>('clockwise', 'anticlockwise'),
});
const targets = fc.double({ min: 2, max: 6, noNaN: true });
const units = fc.constantFrom<'mm' | 'in'>('mm', 'in');
const jaws = fc.constantFrom<Jaw>('outside', 'inside', 'depth');

describe('whatever the unit, the jaw, the thread and the landmark', () => {
  it('the advised turn moves the gauge towards the target', () => {
    fc.assert(
      fc.property(benches, targets, units, jaws, fc.boolean(), (start, targetDraw, unit, jaw, measured) => {
        const bench: Bench = { ...start, play: 0 };
        const wanted = { ...bench, draw: targetDraw };
        const travel = travelPerClockwiseTurn(bench);
        const guidance = guideToSetting({
          ...typedReading(trueReading(bench), unit, jaw),
          targetMm: trueReading(wanted),
          toleranceMm: 0.4,
          looserDirection: bench.looserDirection,
          growth: bench.grows ? 'grows' : 'shrinks',
          calibration: measured ? { travelPerTurnMm: estimate(travel), playTurns: null } : null,
          stepTurns: 0.25,
          lastMove: bench.last,
          unit,
        });
        const before = stitchesPerMm(bench);
        if (guidance.direction === null) {
          expect(Math.abs(trueReading(bench) - trueReading(wanted))).toBeLessThan(0.42);
          return;
        }
        turn(bench, guidance.direction, guidance.turns.turns);
        const after = stitchesPerMm(bench);
        const goal = stitchesPerMm(wanted);
        expect(Math.abs(after - goal)).toBeLessThan(Math.abs(before - goal));
        expect(guidance.looserOrTighter).toBe(after < before ? 'looser' : 'tighter');
      }),
      { numRuns: 400, seed: 7 },
    );
  });

  it('following the guide with play in the thread and a slightly wrong calibration ends inside tolerance', () => {
    fc.assert(
      fc.property(benches, targets, units, jaws, fc.integer(), (start, targetDraw, unit, jaw, seed) => {
        const bench: Bench = { ...start };
        const random = seeded(seed);
        const targetMm = trueReading({ ...bench, draw: targetDraw });
        const toleranceMm = 0.08;
        const calibration = {
          travelPerTurnMm: estimate(travelPerClockwiseTurn(bench) * (1 + random.between(-0.05, 0.05)), 0.02),
          playTurns: estimate(Math.max(0, bench.play + random.between(-0.08, 0.08)), 0.05),
        };
        const finish = oppositeOf(bench.looserDirection);
        for (let step = 0; step < 12; step += 1) {
          const guidance = guideToSetting({
            ...typedReading(trueReading(bench) + 0.01 * random.normal(), unit, jaw),
            targetMm,
            toleranceMm,
            looserDirection: bench.looserDirection,
            growth: bench.grows ? 'grows' : 'shrinks',
            calibration,
            lastMove: bench.last,
            unit,
          });
          if (guidance.direction === null) {
            expect(Math.abs(trueReading(bench) - targetMm)).toBeLessThan(toleranceMm + 0.06);
            return;
          }
          const past = guidance.past?.turns ?? 0;
          turn(bench, guidance.direction, guidance.turns.turns + past);
          turn(bench, oppositeOf(guidance.direction), past);
          if (past > 0 || guidance.direction === finish) expect(bench.last).toBe(finish);
        }
        throw new Error('Twelve rounds were not enough.');
      }),
      { numRuns: 400, seed: 8 },
    );
  });
});

describe('the reading for a wanted gauge', () => {
  const swatch = (readingMm: number) => ({
    id: `${readingMm}`,
    readingMm,
    uReadingMm: 0.02,
    ...pitchFromLoopLength(2 * (readingMm - 24) + 5, 'washedAndDried'),
    uWalePitchMm: 0.01,
    uCoursePitchMm: 0.01,
    restState: 'washedAndDried' as const,
    yarnId: 'oat',
    machineId: 'bench',
    cylinderNeedles: 72,
    landmarkId: 'rim',
  });
  const records = [26, 27, 28.2].map(swatch);
  const wales = fitCam(records, [], 'wale') as CamFit;
  const courses = fitCam(records, [], 'course') as CamFit;

  it('is where the yarn’s line reaches it, with the rows that follow', () => {
    const target = readingForGauge(wales, 4.2 / 12, courses);
    if (target.kind !== 'reading') throw new Error(target.sentence);
    expect(target.readingMm).toBeCloseTo(27.5, 8);
    expect(target.rows?.pitchMm).toBeCloseTo(12 / 5.5, 8);
    // One per cent of 12 / 4.2 mm at 2 / 4.2 mm a mm.
    expect(target.toleranceMm).toBeCloseTo(0.06, 8);
    expect(target.cautions).toEqual([]);
  });

  it('warns when it lies beyond the settings tried, and refuses nonsense', () => {
    const target = readingForGauge(wales, 4.2 / 15);
    expect(target.kind === 'reading' && target.cautions[0]).toContain('by 0.80 mm');
    expect(() => readingForGauge(wales, 0)).toThrow('more than zero');
  });
});
