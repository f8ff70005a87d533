import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  calibrateTurns,
  type NutDirection,
  nominalTravel,
  pitchFromThreadsPerInch,
  type TurnCalibration,
  type TurnCalibrationAnswer,
  type TurnSession,
} from '../../src/domain/turns';
import { type Random, seeded } from '../builders/random';

/** A nut with play that carries the cam along: the cam stays put until the nut has taken up its play. */
const simulatedSession = (
  truth: { travel: number; play: number },
  moves: [NutDirection, number][],
  lastMoveBefore: NutDirection,
  noise: () => number,
): TurnSession => {
  let last = lastMoveBefore;
  let cam = 0;
  const reading = () => 28 + truth.travel * cam + noise();
  const startReadingMm = reading();
  return {
    startReadingMm,
    uReadingMm: 0.02,
    lastMoveBefore,
    moves: moves.map(([direction, turns]) => {
      const moved = turns - (direction === last ? 0 : truth.play);
      cam += direction === 'clockwise' ? moved : -moved;
      last = direction;
      return { direction, turns, readingMm: reading() };
    }),
  };
};

const isCalibration = (answer: TurnCalibrationAnswer): TurnCalibration => {
  if (answer.kind !== 'calibration') throw new Error(answer.sentence);
  return answer;
};
const quiet = () => 0;
const noisy = (random: Random) => () => 0.02 * random.normal();

describe('travel a turn and play', () => {
  it('come apart exactly from one session with a change of direction, either thread and either landmark', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.4, max: 2, noNaN: true }),
        fc.boolean(),
        fc.double({ min: 0, max: 0.6, noNaN: true }),
        fc.constantFrom<NutDirection>('clockwise', 'anticlockwise'),
        (size, negative, play, first) => {
          const truth = { travel: negative ? -size : size, play };
          const back = first === 'clockwise' ? 'anticlockwise' : 'clockwise';
          const session = simulatedSession(
            truth,
            [
              [first, 1],
              [first, 1],
              [back, 2],
            ],
            first,
            quiet,
          );
          const found = isCalibration(calibrateTurns([session]));
          expect(found.travelPerTurnMm.value).toBeCloseTo(truth.travel, 9);
          expect(found.playTurns?.value).toBeCloseTo(play, 9);
        },
      ),
    );
  });

  it('is the plain quotient of two readings for one record in one direction', () => {
    const found = isCalibration(
      calibrateTurns([
        {
          startReadingMm: 30,
          uReadingMm: 0.02,
          lastMoveBefore: 'clockwise',
          moves: [{ direction: 'clockwise', turns: 2, readingMm: 28.4 }],
        },
      ]),
    );
    expect(found.travelPerTurnMm.value).toBeCloseTo(-0.8, 12);
    // Two readings of 0.02 mm over two turns: 0.02·√2 / 2.
    expect(found.travelPerTurnMm.standardUncertainty).toBeCloseTo((0.02 * Math.SQRT2) / 2, 12);
    expect(found.travelPerTurnMm.plusMinus95 / found.travelPerTurnMm.standardUncertainty).toBeCloseTo(
      1.96,
      2,
    );
    expect(found.playTurns).toBeNull();
    expect(found.sentence).toContain('0.800 ± 0.028 mm smaller');
    expect(found.sentence).toContain('Play is not known yet');
  });

  it('does not let play spoil the travel when it cannot be told', () => {
    // The only move changes direction, so nothing separates play from travel.
    const session = simulatedSession({ travel: 0.8, play: 0.3 }, [['clockwise', 1]], 'anticlockwise', quiet);
    expect(calibrateTurns([session]).kind).toBe('tooLittle');
    const longer = simulatedSession(
      { travel: 0.8, play: 0.3 },
      [
        ['clockwise', 1],
        ['clockwise', 2],
      ],
      'anticlockwise',
      quiet,
    );
    const found = isCalibration(calibrateTurns([longer]));
    expect(found.travelPerTurnMm.value).toBeCloseTo(0.8, 10);
    expect(found.playTurns?.value).toBeCloseTo(0.3, 10);
  });

  it('leaves out a first move after an unknown one, and says so', () => {
    const session = simulatedSession(
      { travel: 0.8, play: 0.3 },
      [
        ['clockwise', 1],
        ['clockwise', 2],
      ],
      'anticlockwise',
      quiet,
    );
    const found = isCalibration(calibrateTurns([{ ...session, lastMoveBefore: null }]));
    expect(found.travelPerTurnMm.value).toBeCloseTo(0.8, 10);
    expect(found.readings).toBe(2);
    expect(found.remarks[0]).toContain('first move is left out');
  });

  it('get surer with every record', () => {
    const random = seeded(4);
    const sessions = Array.from({ length: 6 }, () =>
      simulatedSession(
        { travel: -0.794, play: 0.15 },
        [
          ['clockwise', 1],
          ['anticlockwise', 1.5],
          ['anticlockwise', 1],
        ],
        'clockwise',
        noisy(random),
      ),
    );
    const u = (n: number) =>
      isCalibration(calibrateTurns(sessions.slice(0, n))).travelPerTurnMm.standardUncertainty;
    expect(u(3)).toBeLessThan(u(1));
    expect(u(6)).toBeLessThan(u(3));
  });

  it('lie inside their ± in about 95 of 100 simulated benches', () => {
    const random = seeded(11);
    const truth = { travel: 0.794, play: 0.2 };
    let travelHeld = 0;
    let playHeld = 0;
    const trials = 1000;
    for (let i = 0; i < trials; i += 1) {
      const sessions = [0, 1].map(() =>
        simulatedSession(
          truth,
          [
            ['clockwise', 2],
            ['anticlockwise', 1],
            ['anticlockwise', 1],
          ],
          'clockwise',
          noisy(random),
        ),
      );
      const { travelPerTurnMm, playTurns } = isCalibration(calibrateTurns(sessions));
      travelHeld += Math.abs(travelPerTurnMm.value - truth.travel) <= travelPerTurnMm.plusMinus95 ? 1 : 0;
      playHeld += Math.abs((playTurns?.value ?? 9) - truth.play) <= (playTurns?.plusMinus95 ?? 0) ? 1 : 0;
    }
    // Widening by the ratio found can only widen: at least the stated rate.
    expect(travelHeld / trials).toBeGreaterThan(0.94);
    expect(travelHeld / trials).toBeLessThan(0.99);
    expect(playHeld / trials).toBeGreaterThan(0.94);
    expect(playHeld / trials).toBeLessThan(0.99);
  });

  it('start from a nominal pitch and leave it behind as records come in', () => {
    const nominal = nominalTravel(pitchFromThreadsPerInch(32), -1);
    expect(nominal.travelPerTurnMm).toBeCloseTo(-0.79375, 10);
    const start = isCalibration(calibrateTurns([], nominal));
    expect(start).toMatchObject({ nominalOnly: true, readings: 0, playTurns: null });
    expect(start.travelPerTurnMm.value).toBeCloseTo(-0.79375, 10);
    expect(start.sentence).toContain('nominal thread pitch only');
    const session = simulatedSession({ travel: -0.7, play: 0.1 }, [['clockwise', 4]], 'clockwise', quiet);
    const found = isCalibration(calibrateTurns([session], nominal));
    expect(Math.abs(found.travelPerTurnMm.value + 0.7)).toBeLessThan(0.001);
    expect(found.nominalOnly).toBe(false);
  });

  it('leave out a nominal pitch that points the other way, or is far from what was measured', () => {
    const session = simulatedSession(
      { travel: -0.8, play: 0.1 },
      [
        ['clockwise', 1],
        ['clockwise', 1],
      ],
      'clockwise',
      quiet,
    );
    const alone = isCalibration(calibrateTurns([session]));
    for (const nominal of [nominalTravel(0.79375, 1), nominalTravel(0.4, -1)]) {
      const found = isCalibration(calibrateTurns([session], nominal));
      expect(found.travelPerTurnMm).toEqual(alone.travelPerTurnMm);
      expect(found.remarks.join()).toContain('does not fit the measured turns');
    }
    const fitting = isCalibration(calibrateTurns([session], nominalTravel(0.79375, -1)));
    expect(fitting.remarks).toEqual([]);
  });

  it('ask for what is missing, and refuse a negative count', () => {
    expect(calibrateTurns([])).toMatchObject({ kind: 'tooLittle' });
    const bad: TurnSession = {
      startReadingMm: 28,
      uReadingMm: 0.02,
      lastMoveBefore: null,
      moves: [{ direction: 'clockwise', turns: -1, readingMm: 29 }],
    };
    expect(() => calibrateTurns([bad])).toThrow('must be more than zero');
    expect(() => nominalTravel(0, 1)).toThrow('more than zero');
  });
});
