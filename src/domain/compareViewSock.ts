import type { Gauge, Uncertain } from './gauge';
import { uncertainTubeGirth } from './sock';

/** Rounds that a length is stated for. */
export const SOCK_ROUNDS = 100;

/** What a gauge comes to as a sock on one cylinder. */
export interface SockOnCylinder {
  /** Around the relaxed tube, mm. */
  readonly girthMm: Uncertain;
  /** Length of `SOCK_ROUNDS` rounds, mm. */
  readonly lengthMm: Uncertain;
}

/** The sock that a cylinder of so many needles knits at this gauge. */
export const sockOnCylinder = (needles: number, gauge: Gauge): SockOnCylinder => {
  const lengthMm = SOCK_ROUNDS / gauge.coursesPerMm.value;
  return {
    girthMm: uncertainTubeGirth(needles, gauge.walesPerMm),
    lengthMm: {
      value: lengthMm,
      plusMinus95: (lengthMm * gauge.coursesPerMm.plusMinus95) / gauge.coursesPerMm.value,
    },
  };
};

/**
 * How much larger a length of the second swatch is than that of the first, mm. `relative`: the difference of the densities, second
 * over first less one, with its own ±; a length goes with the inverse of a density.
 */
export const lengthDifference = (firstMm: number, relative: Uncertain): Uncertain => {
  const ratio = 1 + relative.value;
  return { value: firstMm * (1 / ratio - 1), plusMinus95: (firstMm * relative.plusMinus95) / ratio ** 2 };
};
