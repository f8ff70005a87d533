import type { Uncertain } from './gauge';
import { betweenGroupVariance } from './pooling';
import type { GaugeSummary, Id, RestState } from './records';
import { coverageFactor } from './statistics';

/** One measurement of a piece of fabric. */
export interface PieceMeasurement {
  readonly pieceId: Id;
  readonly restState: RestState;
  readonly gauge: Pick<GaugeSummary, 'walesPerMm' | 'coursesPerMm'>;
  /** When it was measured, ISO 8601. */
  readonly at: string;
}

/**
 * How a yarn's fabric changes from one rest state to a later one, as shares of its size in the earlier one: −0.05 is 5 % shorter.
 * The sign is that of dimensional change in ISO 5077 (shrinkage is negative).
 */
export interface FabricChange {
  readonly from: RestState;
  readonly to: RestState;
  /** Across the columns. */
  readonly width: Uncertain;
  /** Along the columns. */
  readonly length: Uncertain;
  /** How many pieces were measured in both states. */
  readonly pieces: number;
}

/** Rest states in the order that a piece goes through them. */
export const restStatesInOrder: readonly RestState[] = ['offMachine', 'rested', 'washedAndDried', 'worn'];

interface Share {
  readonly value: number;
  readonly variance: number;
}

/** ± at 95 % → variance: half of it is the standard uncertainty (k = 2, JCGM 100:2008, 6.2). */
const relativeVariance = ({ value, plusMinus95 }: Uncertain): number => (plusMinus95 / 2 / value) ** 2;

/**
 * Change of a length whose stitches stay the same in number: it goes with one over the density, so the change is
 * before / after − 1, with the relative variances of both added (JCGM 100:2008, 5.1.6).
 */
const shareOf = (before: Uncertain, after: Uncertain): Share => {
  const ratio = before.value / after.value;
  return { value: ratio - 1, variance: ratio ** 2 * (relativeVariance(before) + relativeVariance(after)) };
};

/**
 * Mean of several pieces' changes, each weighted by its own uncertainty and by how far true changes differ from piece to piece (Paule and
 * Mandel, as in `betweenGroupVariance`). One piece keeps its own ±; among few pieces Student's t widens it.
 */
const meanOf = (shares: readonly Share[]): Uncertain => {
  const between = betweenGroupVariance(
    shares.map(({ value, variance }) => ({ label: '', slope: value, variance })),
  );
  const weights = shares.map(({ variance }) => 1 / (variance + between));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const value = shares.reduce((sum, share, i) => sum + share.value * (weights[i] ?? 0), 0) / total;
  const k = between > 0 ? coverageFactor(shares.length - 1) : 2;
  return { value, plusMinus95: k / Math.sqrt(total) };
};

const isMeasured = ({ gauge }: PieceMeasurement): boolean =>
  [gauge.walesPerMm, gauge.coursesPerMm].every(({ value, plusMinus95 }) => value > 0 && plusMinus95 > 0);

/** The last measurement of each state of each piece. */
const latestOf = (
  measurements: readonly PieceMeasurement[],
): ReadonlyMap<Id, ReadonlyMap<RestState, PieceMeasurement>> => {
  const pieces = new Map<Id, Map<RestState, PieceMeasurement>>();
  for (const one of measurements.filter(isMeasured)) {
    const states = pieces.get(one.pieceId) ?? new Map<RestState, PieceMeasurement>();
    const known = states.get(one.restState);
    if (!known || known.at <= one.at) states.set(one.restState, one);
    pieces.set(one.pieceId, states);
  }
  return pieces;
};

/**
 * All changes between two rest states that at least one piece was measured in, for the measurements of one yarn; a piece
 * measured twice in one state counts with its last measurement there. In the order of the states.
 */
export const fabricChanges = (measurements: readonly PieceMeasurement[]): FabricChange[] => {
  const pieces = [...latestOf(measurements).values()];
  return restStatesInOrder.flatMap((from, i) =>
    restStatesInOrder.slice(i + 1).flatMap((to) => {
      const pairs = pieces.flatMap((states) => {
        const [before, after] = [states.get(from)?.gauge, states.get(to)?.gauge];
        return before && after ? [{ before, after }] : [];
      });
      if (pairs.length === 0) return [];
      return [
        {
          from,
          to,
          width: meanOf(pairs.map(({ before, after }) => shareOf(before.walesPerMm, after.walesPerMm))),
          length: meanOf(pairs.map(({ before, after }) => shareOf(before.coursesPerMm, after.coursesPerMm))),
          pieces: pairs.length,
        },
      ];
    }),
  );
};

/**
 * The density to expect in the later state from one measured in the earlier one, by the yarn's change of width (for wales) or of length
 * (for courses); both uncertainties count.
 */
export const expectedDensity = (perMm: Uncertain, change: Uncertain): Uncertain => {
  const value = perMm.value / (1 + change.value);
  const relative = Math.hypot(perMm.plusMinus95 / perMm.value, change.plusMinus95 / (1 + change.value));
  return { value, plusMinus95: value * relative };
};
