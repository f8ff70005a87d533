import type { NutDirection } from '../../src/domain/turns';
import { seeded } from './random';

/** A nut, the cam that hangs on it with play, and a caliper held by hand. */
export interface Nut {
  readonly turn: (direction: NutDirection, turns: number) => void;
  /** What the caliper shows, mm to a hundredth. */
  readonly reading: () => number;
  readonly trueMm: () => number;
}

interface NutWorld {
  readonly startMm: number;
  /** Change of the reading a clockwise turn, mm. */
  readonly travelMm: number;
  readonly playTurns: number;
  readonly seed: number;
}

/** Scatter of one reading, mm. */
const SCATTER_MM = 0.012;

/** The cam follows the nut only once the play is taken up. */
export const createNut = ({ startMm, travelMm, playTurns, seed }: NutWorld): Nut => {
  const random = seeded(seed);
  let nut = 0;
  let cam = 0;
  const trueMm = (): number => startMm + travelMm * cam;
  return {
    turn: (direction, turns) => {
      nut += direction === 'clockwise' ? turns : -turns;
      cam = Math.min(nut, Math.max(nut - playTurns, cam));
    },
    reading: () => Number((trueMm() + SCATTER_MM * random.normal()).toFixed(2)),
    trueMm,
  };
};
