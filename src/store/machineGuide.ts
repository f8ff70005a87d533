import { evaluateReading } from '../domain/caliper';
import type { CamLog, CamStep } from '../domain/machineRecords';
import type { CaliperReading } from '../domain/records';
import { guideToSetting, type SetCamGuidance } from '../domain/setCam';
import { oppositeOf } from '../domain/setCamTurns';
import type { NutDirection } from '../domain/turns';
import type { MachineContents } from '../storage/machineShelf';
import type { MachineKnowledge } from './machineKnowledge';

/** ± at 95 % over a standard uncertainty that is well known. */
const NORMAL_95 = 1.96;

/** A reading on the way to a setting, and what to do from there. */
export interface GuideStep {
  readonly presentMm: number;
  readonly plusMinus95Mm: number;
  /** How near is near enough: what the target allows, or what the reading itself is good for. */
  readonly toleranceMm: number;
  readonly guidance: SetCamGuidance;
}

/**
 * What to do from a reading on. Null while it is not known whether the landmark's reading grows or shrinks with the stitch.
 * @param lastMove which way the nut was last turned before the reading; null when not known.
 */
export const guideFrom = (
  { machine, landmarks }: Pick<MachineContents, 'machine' | 'landmarks'>,
  knowledge: MachineKnowledge,
  log: Pick<CamLog, 'landmarkId' | 'targetMm' | 'toleranceMm' | 'wantedNeedles' | 'cautions'>,
  reading: CaliperReading,
  lastMove: NutDirection | null,
): GuideStep | null => {
  const growth = knowledge.growth(log.landmarkId);
  if (growth === null) return null;
  const jaw = landmarks.find(({ id }) => id === log.landmarkId)?.jaw ?? 'outside';
  const present = evaluateReading(reading, jaw, knowledge.repeatability(log.landmarkId));
  const toleranceMm = Math.max(log.toleranceMm, NORMAL_95 * present.sameCaliperUncertaintyMm);
  const calibration = knowledge.calibration(log.landmarkId);
  const guidance = guideToSetting({
    presentMm: present.meanMm,
    uPresentMm: present.sameCaliperUncertaintyMm,
    targetMm: log.targetMm,
    toleranceMm,
    looserDirection: machine.looserDirection,
    growth,
    calibration: calibration.kind === 'calibration' ? calibration : null,
    stepTurns: machine.stepTurns,
    lastMove,
    ...(machine.finishDirection && { finishDirection: machine.finishDirection }),
    unit: reading.unit,
    ...(log.wantedNeedles !== null &&
      machine.mountedNeedles !== null && {
        cylinder: { wanted: log.wantedNeedles, mounted: machine.mountedNeedles },
      }),
    targetCautions: log.cautions,
  });
  return { presentMm: present.meanMm, plusMinus95Mm: present.plusMinus95Mm, toleranceMm, guidance };
};

/** Which way the nut was last turned once an advice has been followed; as before when there was nothing to turn. */
export const lastMoveAfter = (
  { direction, past }: SetCamGuidance,
  before: NutDirection | null,
): NutDirection | null => {
  if (direction === null) return before;
  return past ? oppositeOf(direction) : direction;
};

/** A step for the log. */
export const camStepOf = (
  log: Pick<CamLog, 'machineId' | 'landmarkId' | 'targetMm'>,
  { presentMm, guidance }: GuideStep,
  reading: CaliperReading,
  lastMove: NutDirection | null,
  stamp: { readonly id: string; readonly at: string },
): CamStep => ({
  ...stamp,
  machineId: log.machineId,
  landmarkId: log.landmarkId,
  presentMm,
  targetMm: log.targetMm,
  direction: guidance.direction,
  turns: guidance.turns.turns,
  pastTurns: guidance.past?.turns ?? 0,
  insideTolerance: guidance.insideTolerance,
  sentence: guidance.sentence,
  reading,
  lastMove,
});
