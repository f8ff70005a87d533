import { fitColumns } from './regression';
import { coverageFactor } from './statistics';
import { MM_PER_INCH } from './units';

/** Which way the nut is turned, seen from above. */
export type NutDirection = 'clockwise' | 'anticlockwise';

/** A counted move of the nut and the reading after it. */
export interface NutMove {
  readonly direction: NutDirection;
  readonly turns: number;
  readonly readingMm: number;
}

/** Readings at one landmark before and after counted moves of the nut, one after the other. */
export interface TurnSession {
  readonly startReadingMm: number;
  /** Standard uncertainty of each reading against the others by the same caliper, mm. */
  readonly uReadingMm: number;
  /** Which way the nut was last turned before the first reading; null when not known. */
  readonly lastMoveBefore: NutDirection | null;
  readonly moves: readonly NutMove[];
}

/** A value with its standard uncertainty and ± at 95 %. */
export interface Estimate {
  readonly value: number;
  readonly standardUncertainty: number;
  readonly plusMinus95: number;
}

/** How a landmark's reading follows the nut. */
export interface TurnCalibration {
  readonly kind: 'calibration';
  /** Change of the reading a clockwise turn, mm: its sign is the landmark's and the thread's. */
  readonly travelPerTurnMm: Estimate;
  /** Turns that move nothing after the direction changed; null while it cannot be told from the records. */
  readonly playTurns: Estimate | null;
  /** Readings that took part. */
  readonly readings: number;
  /** True while nothing but the nominal pitch stands behind it. */
  readonly nominalOnly: boolean;
  readonly sentence: string;
  /** One sentence each: what was left out and why, what would help. */
  readonly remarks: readonly string[];
}

/** A calibration, or what is missing for one. */
export type TurnCalibrationAnswer =
  | TurnCalibration
  | { readonly kind: 'tooLittle'; readonly sentence: string; readonly remarks: readonly string[] };

/** The thread's nominal pitch as a start: change of the reading a clockwise turn, mm, and its standard uncertainty. */
export interface NominalTravel {
  readonly travelPerTurnMm: number;
  readonly uMm: number;
}

/**
 * Nominal travel from a thread's pitch. The landmark may not run along the thread, so one tenth is allowed as its
 * standard uncertainty (an assumption).
 * @param sign +1 when a clockwise turn makes the reading larger, −1 when smaller.
 * @throws RangeError when the pitch is not positive.
 */
export const nominalTravel = (pitchMm: number, sign: 1 | -1): NominalTravel => {
  if (!(pitchMm > 0)) throw new RangeError('A thread pitch must be more than zero.');
  return { travelPerTurnMm: sign * pitchMm, uMm: 0.1 * pitchMm };
};

/** Pitch in mm of a thread of so many turns to the inch (1 in = 25.4 mm exactly). */
export const pitchFromThreadsPerInch = (threadsPerInch: number): number => MM_PER_INCH / threadsPerInch;

const signOf = (direction: NutDirection): 1 | -1 => (direction === 'clockwise' ? 1 : -1);

/** A reading of a run: net clockwise turns, and net turns' worth of play lost, since the run began. */
interface Stop {
  readonly readingMm: number;
  readonly uMm: number;
  readonly net: number;
  /** Number of reversals, signed: one lost play each. */
  readonly lost: number;
}

/**
 * Cuts sessions into runs of stops. A move after an unknown one starts a new run, because it may or may not have lost the
 * play; with `splitAtReversals` so does every reversal.
 */
const runsOf = (sessions: readonly TurnSession[], splitAtReversals: boolean): Stop[][] =>
  sessions.flatMap((session) => {
    const runs: Stop[][] = [];
    let last = session.lastMoveBefore;
    let current: Stop = {
      readingMm: session.startReadingMm,
      uMm: session.uReadingMm,
      net: 0,
      lost: 0,
    };
    let run = [current];
    for (const move of session.moves) {
      const sign = signOf(move.direction);
      const reversed = last !== null && last !== move.direction;
      const stop = { readingMm: move.readingMm, uMm: session.uReadingMm };
      if (last === null || (reversed && splitAtReversals)) {
        runs.push(run);
        current = { ...stop, net: 0, lost: 0 };
        run = [current];
      } else {
        current = {
          ...stop,
          net: current.net + sign * move.turns,
          lost: current.lost - (reversed ? sign : 0),
        };
        run.push(current);
      }
      last = move.direction;
    }
    return [...runs, run].filter((stops) => stops.length > 1);
  });

interface System {
  readonly offsets: number[][];
  readonly net: number[];
  readonly lost: number[];
  readonly readings: number[];
  readonly weights: number[];
}

/** reading = offset of the run + travel·net + (travel·play)·lost, each row weighed by 1 / u²; the nominal is one more row. */
const systemOf = (runs: readonly (readonly Stop[])[], nominal: NominalTravel | null): System => {
  const stops = runs.flatMap((run, index) => run.map((stop) => ({ ...stop, index })));
  const priorRow = nominal ? [0] : [];
  return {
    offsets: runs.map((_, index) => [...stops.map((s) => (s.index === index ? 1 : 0)), ...priorRow]),
    net: [...stops.map((s) => s.net), ...(nominal ? [1] : [])],
    lost: [...stops.map((s) => s.lost), ...priorRow],
    readings: [...stops.map((s) => s.readingMm), ...(nominal ? [nominal.travelPerTurnMm] : [])],
    weights: [...stops.map((s) => 1 / s.uMm ** 2), ...(nominal ? [1 / nominal.uMm ** 2] : [])],
  };
};

/** Whether play can be told apart from travel and the runs' offsets. */
const playIsSeparable = ({ offsets, net, lost, weights }: System): boolean => {
  const size = lost.reduce((sum, v) => sum + v * v, 0);
  if (size === 0 || lost.length <= offsets.length + 1) return false;
  const rest = fitColumns([...offsets, net], lost, { hasIntercept: false, weights });
  return rest.residuals.some((v) => Math.abs(v) > 1e-6);
};

const checkMoves = (sessions: readonly TurnSession[]): void => {
  for (const session of sessions) {
    if (!(session.uReadingMm > 0)) throw new RangeError('A reading’s uncertainty must be more than zero.');
    if (session.moves.some((move) => !(move.turns > 0))) {
      throw new RangeError('Counted turns must be more than zero; say the direction apart from the count.');
    }
  }
};

const remarksOn = (sessions: readonly TurnSession[]): string[] => {
  const unknown = sessions.filter((s) => s.lastMoveBefore === null && s.moves.length > 0).length;
  if (unknown === 0) return [];
  const records = unknown === 1 ? '1 record' : `${unknown} records`;
  return [
    `In ${records} the first move is left out, because which way the nut was turned before it is not known and play may have been lost.`,
  ];
};

const describe = (travel: Estimate, play: Estimate | null): string => {
  const change = travel.value > 0 ? 'larger' : 'smaller';
  const playWords = play
    ? ` Play: ${play.value.toFixed(2)} ± ${play.plusMinus95.toFixed(2)} turn.`
    : ' Play is not known yet: record a turn back as well.';
  return `A clockwise turn makes the reading ${Math.abs(travel.value).toFixed(3)} ± ${travel.plusMinus95.toFixed(3)} mm ${change}.${playWords}`;
};

/**
 * Travel a turn and play, estimated separately by weighted least squares over all readings of all sessions at one
 * landmark. After a change of direction the first `play` of the turns moves nothing; counted moves must be longer than it.
 * Uncertainties are the stated ones, widened by Birge's ratio (Phys. Rev. 40 (1932) 207) where readings scatter more.
 */
const calibrateFrom = (
  sessions: readonly TurnSession[],
  nominal: NominalTravel | null,
): TurnCalibrationAnswer => {
  checkMoves(sessions);
  const remarks = remarksOn(sessions);
  const together = systemOf(runsOf(sessions, false), nominal);
  const withPlay = together.readings.length > 0 && playIsSeparable(together);
  const runs = runsOf(sessions, !withPlay);
  if (runs.length === 0 && nominal === null) {
    return {
      kind: 'tooLittle',
      sentence:
        'Read, turn the nut one whole turn or more, read again, and turn on the same way once more: that shows the travel of a turn.',
      remarks,
    };
  }
  const { offsets, net, lost, readings, weights } = withPlay ? together : systemOf(runs, nominal);
  const fit = fitColumns([...offsets, net, ...(withPlay ? [lost] : [])], readings, {
    hasIntercept: false,
    weights,
  });
  const ratio = fit.degreesOfFreedom > 0 ? fit.residualSumOfSquares / fit.degreesOfFreedom : 1;
  const scale = Math.max(1, ratio);
  const k = coverageFactor(ratio > 1 ? fit.degreesOfFreedom : Number.POSITIVE_INFINITY);
  const estimate = (value: number, variance: number): Estimate => {
    const standardUncertainty = Math.sqrt(scale * variance);
    return { value, standardUncertainty, plusMinus95: k * standardUncertainty };
  };
  const at = offsets.length;
  const cov = (i: number, j: number): number => fit.statedCovariance[i]?.[j] ?? Number.NaN;
  const travel = fit.coefficients[at] ?? Number.NaN;
  const travelPerTurnMm = estimate(travel, cov(at, at));
  const ratioOfPlay = (fit.coefficients[at + 1] ?? Number.NaN) / travel;
  const varianceOfPlay =
    (cov(at + 1, at + 1) + ratioOfPlay ** 2 * cov(at, at) - 2 * ratioOfPlay * cov(at, at + 1)) / travel ** 2;
  const playTurns = withPlay ? estimate(Math.max(0, ratioOfPlay), varianceOfPlay) : null;
  return {
    kind: 'calibration',
    travelPerTurnMm,
    playTurns,
    readings: runs.flat().length,
    nominalOnly: runs.length === 0,
    sentence:
      runs.length === 0
        ? `From the nominal thread pitch only. ${describe(travelPerTurnMm, null)}`
        : describe(travelPerTurnMm, playTurns),
    remarks,
  };
};

/** A nominal pitch this many standard uncertainties off what was measured says nothing about this landmark. */
const FAR_OFF = 3;

const contradicts = ({ value, standardUncertainty }: Estimate, nominal: NominalTravel): boolean =>
  Math.abs(value - nominal.travelPerTurnMm) > FAR_OFF * Math.hypot(standardUncertainty, nominal.uMm);

/**
 * Travel a turn and play from all readings of all sessions at one landmark, and from the thread's nominal pitch as a start. A nominal
 * pitch that contradicts the measured turns, in size or in direction, is left out and a remark says so.
 * @throws RangeError when a count of turns or an uncertainty is not positive.
 */
export const calibrateTurns = (
  sessions: readonly TurnSession[],
  nominal: NominalTravel | null = null,
): TurnCalibrationAnswer => {
  const measured = calibrateFrom(sessions, null);
  if (nominal === null) return measured;
  if (measured.kind === 'tooLittle' || !contradicts(measured.travelPerTurnMm, nominal))
    return calibrateFrom(sessions, nominal);
  return {
    ...measured,
    remarks: [
      ...measured.remarks,
      'The pitch of the thread as typed does not fit the measured turns, in size or in direction: it is left out.',
    ],
  };
};
