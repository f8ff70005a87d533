import type { LandmarkGrowth } from './landmarkRelationGrowth';
import type { CaliperReading } from './records';
import { oppositeOf, type TurnCount, turnCount, turnWords } from './setCamTurns';
import type { NutDirection, TurnCalibration } from './turns';
import { formatLength, formatUncertainLength } from './units';

/** Everything the way to a setting depends on. Readings are of one landmark. */
export interface SetCamRequest {
  readonly presentMm: number;
  /** Standard uncertainty of the present reading against others by the same caliper. */
  readonly uPresentMm: number;
  readonly targetMm: number;
  /** How near is near enough, mm. */
  readonly toleranceMm: number;
  /** Which way of turning, seen from above, lengthens the stitch on this machine. */
  readonly looserDirection: NutDirection;
  /** Whether this landmark's reading grows or shrinks as the stitch gets longer. */
  readonly growth: LandmarkGrowth;
  /** Null while the turns were never measured. */
  readonly calibration: Pick<TurnCalibration, 'travelPerTurnMm' | 'playTurns'> | null;
  /** The step she turns in, as a share of a turn; a quarter by default. */
  readonly stepTurns?: number;
  /** Which way the nut was last turned; null when not known. */
  readonly lastMove: NutDirection | null;
  /** The way the last movement always goes, so that play is always taken up on the same side; tighter by default. */
  readonly finishDirection?: NutDirection;
  /** The unit that sentences speak in. */
  readonly unit: CaliperReading['unit'];
  /** Cylinder the target belongs to, and the one that is mounted, by needle count. */
  readonly cylinder?: { readonly wanted: number; readonly mounted: number };
  /** What the target's own origin has to warn of, for example that it lies beyond the settings tried. */
  readonly targetCautions?: readonly string[];
}

/** What to do with the nut now. */
export interface SetCamGuidance {
  readonly insideTolerance: boolean;
  /** Null when nothing is to be turned. */
  readonly direction: NutDirection | null;
  readonly looserOrTighter: 'looser' | 'tighter' | null;
  readonly turns: TurnCount;
  /** How far to go past and come back, so that the approach ends from the usual side; null when it does anyway. */
  readonly past: TurnCount | null;
  readonly expectedMm: number | null;
  /** ± at 95 % of the expected reading. */
  readonly plusMinus95Mm: number | null;
  readonly sentence: string;
  /** One sentence each; dangers first. */
  readonly cautions: readonly string[];
}

/** One step of setting the cam, for the log. */
export interface CamLogEntry {
  readonly id: string;
  readonly machineId: string;
  readonly landmarkId: string;
  /** ISO 8601 in UTC. */
  readonly at: string;
  readonly presentMm: number;
  readonly targetMm: number;
  /** What was advised; null when inside tolerance. */
  readonly direction: NutDirection | null;
  readonly turns: number;
  readonly pastTurns: number;
  readonly insideTolerance: boolean;
  readonly sentence: string;
}

/** What most machines do: clockwise seen from above lowers the cam and lengthens the stitch (common practice). */
export const USUAL_LOOSER_DIRECTION: NutDirection = 'clockwise';
/** The usual step of the nut, a quarter turn (common practice). */
export const USUAL_STEP_TURNS = 0.25;
const FINEST_STEP_TURNS = 1 / 16;

const checkRequest = (r: SetCamRequest): void => {
  const numbers = [r.presentMm, r.targetMm, r.uPresentMm, r.toleranceMm];
  if (numbers.some((v) => !Number.isFinite(v)) || r.uPresentMm < 0) {
    throw new RangeError('Setting the cam needs the present reading and a target, both as numbers.');
  }
  if (!(r.toleranceMm > 0)) throw new RangeError('The tolerance must be more than zero.');
  if (!((r.stepTurns ?? USUAL_STEP_TURNS) > 0))
    throw new RangeError('A step of the nut must be more than zero.');
};

/** +1 when the statements say that a clockwise turn makes the reading larger, else −1. */
const statedSign = (r: SetCamRequest): 1 | -1 =>
  (r.looserDirection === 'clockwise') === (r.growth === 'grows') ? 1 : -1;

/** The calibration, unless its sign cannot be told from zero. */
const usableTravel = (r: SetCamRequest): TurnCalibration['travelPerTurnMm'] | null => {
  const travel = r.calibration?.travelPerTurnMm;
  return travel && Math.abs(travel.value) > 3 * travel.standardUncertainty ? travel : null;
};

interface Plan {
  readonly direction: NutDirection;
  readonly turns: number;
  readonly past: number;
  /** Cam movement that is left over by rounding, in turns, positive when too far. */
  readonly excess: number;
}

/**
 * Steps for a move of `needed` turns' worth of cam travel. Going past by at least the play and coming back leaves the cam
 * where the sum of the two moves says, if the nut was last turned the finishing way; otherwise the play is added or saved.
 */
const planMove = (r: SetCamRequest, direction: NutDirection, needed: number, tolerance: number): Plan => {
  const finish = r.finishDirection ?? oppositeOf(r.looserDirection);
  const play = r.calibration?.playTurns?.value ?? 0;
  const preferred = r.stepTurns ?? USUAL_STEP_TURNS;
  const takenUpElsewhere = r.lastMove !== null && r.lastMove !== finish;
  const straight = direction === finish;
  const exact = needed + (takenUpElsewhere ? (straight ? play : -play) : 0);
  let step = preferred;
  let turns = Math.max(0, Math.round(exact / step) * step);
  while (step / 2 >= FINEST_STEP_TURNS && (turns === 0 || Math.abs(turns - exact) > tolerance)) {
    step /= 2;
    turns = Math.max(0, Math.round(exact / step) * step);
  }
  const past = straight ? 0 : Math.max(1, Math.ceil((1.2 * play) / preferred)) * preferred;
  return { direction, turns: turns === 0 && straight ? step : turns, past, excess: turns - exact };
};

const plusMinus95 = (
  r: SetCamRequest,
  travel: { standardUncertainty: number; value: number },
  turns: number,
) => {
  const play = r.calibration?.playTurns;
  // Play that is unknown, or that may or may not have to be taken up: anything up to it is equally likely.
  const openPlay = r.lastMove === null ? (play?.value ?? USUAL_STEP_TURNS) : (play?.standardUncertainty ?? 0);
  const spread = r.lastMove === null ? Math.sqrt(3) : 1;
  return (
    1.96 *
    Math.hypot(
      Math.SQRT2 * r.uPresentMm,
      turns * travel.standardUncertainty,
      (openPlay / spread) * Math.abs(travel.value),
    )
  );
};

const SAFETY = 'Crank still, hands clear of needles and cam while you turn the nut.';

const cautionsFor = (r: SetCamRequest, tighter: boolean, turns: number): string[] => {
  const travel = usableTravel(r);
  const contradiction = travel !== null && Math.sign(travel.value) !== statedSign(r);
  return [
    SAFETY,
    ...(r.cylinder && r.cylinder.wanted !== r.cylinder.mounted
      ? [
          `This setting belongs to the ${r.cylinder.wanted}-needle cylinder, but the one with ${r.cylinder.mounted} needles is mounted.`,
        ]
      : []),
    ...(contradiction
      ? [
          'The measured turns move this reading the other way than the machine and the landmark say: check which way is looser, and whether the reading grows with the stitch.',
        ]
      : []),
    ...(tighter
      ? [
          'Tighter: crank one slow round by hand afterwards and stop if it gets heavy; too tight bends latches.',
        ]
      : []),
    ...(turns > 2 ? ['A long way: stop after each whole turn, and measure again half way.'] : []),
    ...(r.targetCautions ?? []),
  ];
};

const nothingToTurn = (r: SetCamRequest): SetCamGuidance => {
  const finish = r.finishDirection ?? oppositeOf(r.looserDirection);
  const off = Math.abs(r.targetMm - r.presentMm);
  return {
    insideTolerance: true,
    direction: null,
    looserOrTighter: null,
    turns: turnCount(0),
    past: null,
    expectedMm: r.presentMm,
    plusMinus95Mm: 1.96 * r.uPresentMm,
    sentence: `Inside tolerance, ${formatLength(off, r.unit)} from the target: leave the nut as it is and lock it.`,
    cautions: [
      ...(r.lastMove !== null && r.lastMove !== finish
        ? [
            `The nut was last turned ${r.lastMove}; play may let the cam settle. Go ¼ past and come back ${finish}, then measure again.`,
          ]
        : []),
      ...cautionsFor(r, false, 0).slice(1),
    ],
  };
};

const firstStep = (r: SetCamRequest, direction: NutDirection, way: 'looser' | 'tighter'): SetCamGuidance => {
  const turns = turnCount(r.stepTurns ?? USUAL_STEP_TURNS);
  return {
    insideTolerance: false,
    direction,
    looserOrTighter: way,
    turns,
    past: null,
    expectedMm: null,
    plusMinus95Mm: null,
    sentence: `${turnWords(turns)} ${direction}, ${way}, then measure again: how far a turn goes is not known yet.`,
    cautions: cautionsFor(r, way === 'tighter', 0),
  };
};

const moveWords = ({ direction, turns, past }: Plan, way: 'looser' | 'tighter'): string => {
  if (past === 0) return `${turnWords(turnCount(turns))} ${direction}, ${way}.`;
  const beyond = turnCount(past).text;
  return turns === 0
    ? `Go ${beyond} ${direction}, ${way}, and come back by the same: taking up the play is enough.`
    : `${turnWords(turnCount(turns))} ${direction}, ${way}; go ${beyond} past and come back.`;
};

/**
 * How to turn the nut from the present reading to the target: direction, turns, and whether to go past and come back, so
 * that the approach always ends from the same side and play is taken up alike. Measure again afterwards and ask again,
 * until inside tolerance. The measured sign of the turns counts before the stated ones, with a caution.
 * @throws RangeError when a reading is no number, or tolerance or step is not positive.
 */
export const guideToSetting = (r: SetCamRequest): SetCamGuidance => {
  checkRequest(r);
  const change = r.targetMm - r.presentMm;
  const travel = usableTravel(r);
  // Nearer than half the finest step cannot be set by the nut, whatever the tolerance says.
  const toleranceMm = Math.max(r.toleranceMm, (Math.abs(travel?.value ?? 0) * FINEST_STEP_TURNS) / 2);
  if (Math.abs(change) <= toleranceMm) return nothingToTurn(r);
  const way = change > 0 === (r.growth === 'grows') ? 'looser' : 'tighter';
  const sign = travel ? Math.sign(travel.value) : statedSign(r);
  const direction: NutDirection = Math.sign(change) === sign ? 'clockwise' : 'anticlockwise';
  if (!travel) return firstStep(r, direction, way);
  const perTurn = Math.abs(travel.value);
  const plan = planMove(r, direction, Math.abs(change) / perTurn, toleranceMm / perTurn);
  const turns = turnCount(plan.turns);
  const past = plan.past > 0 ? turnCount(plan.past) : null;
  const expectedMm = r.targetMm + Math.sign(change) * plan.excess * perTurn;
  const range = plusMinus95(r, travel, plan.turns);
  return {
    insideTolerance: false,
    direction,
    looserOrTighter: way,
    turns,
    past,
    expectedMm,
    plusMinus95Mm: range,
    sentence: `${moveWords(plan, way)} Then measure again: ${formatUncertainLength(expectedMm, range, r.unit)} is expected.`,
    cautions: cautionsFor(r, way === 'tighter', plan.turns),
  };
};
