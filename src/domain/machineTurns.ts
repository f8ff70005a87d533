import { evaluateReading, type Repeatability } from './caliper';
import type { LandmarkGrowth } from './landmarkRelationGrowth';
import type { MachineProfile, TurnRecord } from './machineRecords';
import type { Jaw } from './records';
import { type NominalTravel, nominalTravel, type TurnSession } from './turns';

/**
 * A record of counted turns as a session to calibrate from. Its one uncertainty is the quadratic mean of its readings',
 * without the caliper's own error, which is the same in all of them.
 * @param known scatter learnt from earlier readings of the landmark, if any.
 */
export const turnSessionOf = (
  record: Pick<TurnRecord, 'start' | 'lastMoveBefore' | 'moves'>,
  jaw: Jaw,
  known: Repeatability | null = null,
): TurnSession => {
  const start = evaluateReading(record.start, jaw, known);
  const moves = record.moves.map(({ direction, turns, after }) => ({
    direction,
    turns,
    reading: evaluateReading(after, jaw, known),
  }));
  const all = [start, ...moves.map(({ reading }) => reading)];
  const meanSquare = all.reduce((sum, r) => sum + r.sameCaliperUncertaintyMm ** 2, 0) / all.length;
  return {
    startReadingMm: start.meanMm,
    uReadingMm: Math.sqrt(meanSquare),
    lastMoveBefore: record.lastMoveBefore,
    moves: moves.map(({ direction, turns, reading }) => ({ direction, turns, readingMm: reading.meanMm })),
  };
};

/**
 * The travel that a thread's nominal pitch promises at a landmark, with the sign that the machine and the landmark state;
 * null while the pitch or the landmark's growth is not known.
 */
export const nominalTravelAt = (
  machine: Pick<MachineProfile, 'nominalPitchMm' | 'looserDirection'>,
  growth: LandmarkGrowth | null,
): NominalTravel | null =>
  machine.nominalPitchMm === null || growth === null
    ? null
    : nominalTravel(
        machine.nominalPitchMm,
        (machine.looserDirection === 'clockwise') === (growth === 'grows') ? 1 : -1,
      );
