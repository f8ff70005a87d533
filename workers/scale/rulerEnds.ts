import { fitStraightLine } from '../../src/domain/regression';
import type { Peak } from './rulerNumbering';

/** So many marks next to one of the last tell where it must be. */
const besides = 8;
/** The last marks of a row lie off by less than this, steps and px, and by less than so many times what those beside it are uneven by. */
const stray = { steps: 0.02, px: 0.3, times: 4 };
/** So many marks at either end may be none. */
const mostStrays = 4;

/**
 * The marks of a row without those at its ends that lie beside where their neighbours put them: the end of the ruler itself, the edge of what covers it and lines
 * beyond it come about where a mark would, and one such place at the end of a row bends the whole plane. A lens that bows moves neighbours alike and is followed.
 * @param placeOf where even spacing in perspective puts a mark, px along the row; `stepPx` the distance of neighbouring marks.
 */
export const withoutStrayEnds = (
  marks: ReadonlyMap<number, Peak>,
  placeOf: (index: number) => number,
  stepPx: number,
): ReadonlyMap<number, Peak> => {
  const off = (k: number): number => (marks.get(k)?.t ?? 0) - placeOf(k);
  const isStray = (k: number, near: readonly number[]): boolean => {
    const { coefficients, residualSumOfSquares } = fitStraightLine(near, near.map(off));
    const [start = 0, slope = 0] = coefficients;
    const rms = Math.sqrt(residualSumOfSquares / near.length);
    return Math.abs(off(k) - start - slope * k) > Math.max(stray.steps * stepPx, stray.px, stray.times * rms);
  };
  let numbers = [...marks.keys()].sort((a, b) => a - b);
  for (let end = 0; end < 2; end++) {
    // Outwards, so that one stray does not vouch for the next.
    for (let i = Math.max(besides, numbers.length - mostStrays); i < numbers.length; i++) {
      if (isStray(numbers[i] ?? 0, numbers.slice(i - besides, i))) numbers = numbers.slice(0, i);
    }
    numbers.reverse();
  }
  return new Map(numbers.map((k) => [k, marks.get(k) as Peak]));
};
