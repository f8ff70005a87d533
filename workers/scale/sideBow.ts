import { type LensBow, straightened } from '../../src/domain/planeFitLens';
import type { MeasuredSide } from './sides';

/** Lenses of phones, after their own correction, bow by about so much (common practice), standard deviation. */
const usualBow = 0.015;
/** A place on a side is known to so many px, and places within so many steps of one another share their error. */
const placePx = 0.25;
const sharedSteps = 8;

/** What one side says of the bow: the sums of a straight-line fit with the bow as a third unknown, once the line itself is taken out. */
const evidenceOf = ({ places }: MeasuredSide, lens: LensBow): { bend: number; weight: number } => {
  const n = places.length;
  const mean = (of: (i: number) => number): number => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += of(i);
    return sum / n;
  };
  const [first, last] = [places[0], places[n - 1]];
  if (first === undefined || last === undefined || n < 8) return { bend: 0, weight: 0 };
  const length = Math.hypot(last.x - first.x, last.y - first.y) || 1;
  const [dx, dy] = [(last.x - first.x) / length, (last.y - first.y) / length];
  const rows = places.map(({ x, y }) => {
    const [sx, sy] = straightened({ ...lens, bow: 1 }, x, y);
    return {
      t: (x - first.x) * dx + (y - first.y) * dy,
      off: (y - first.y) * dx - (x - first.x) * dy,
      // How far a bow of 1 moves the place square to the side.
      move: (sy - y) * dx - (sx - x) * dy,
    };
  });
  const at = (i: number) => rows[i] ?? { t: 0, off: 0, move: 0 };
  const mt = mean((i) => at(i).t);
  const tt = mean((i) => (at(i).t - mt) ** 2) || 1;
  const without = (of: (r: { t: number; off: number; move: number }) => number) => {
    const m = mean((i) => of(at(i)));
    const slope = mean((i) => (at(i).t - mt) * of(at(i))) / tt;
    return (i: number): number => of(at(i)) - m - slope * (at(i).t - mt);
  };
  const [off, move] = [without((r) => r.off), without((r) => r.move)];
  return { bend: -n * mean((i) => off(i) * move(i)), weight: n * mean((i) => move(i) ** 2) };
};

/**
 * The lens's bow as the bent sides of a rectangle tell it, drawn towards none as far as they leave it open: least squares of their distances from
 * straight lines, with a prior of {@link usualBow}.
 */
export const bowOfSides = (sides: readonly MeasuredSide[], lens: LensBow): LensBow => {
  let bend = 0;
  let weight = 0;
  for (const side of sides) {
    const evidence = evidenceOf(side, lens);
    bend += evidence.bend;
    weight += evidence.weight;
  }
  const prior = (sharedSteps * placePx ** 2) / usualBow ** 2;
  return { ...lens, bow: bend / (weight + prior) };
};

/** The sides as a lens without bow would have shown them. */
export const straightenedSides = (sides: readonly MeasuredSide[], lens: LensBow): MeasuredSide[] =>
  sides.map((side) => ({
    ...side,
    places: side.places.map((p) => {
      const [x, y] = straightened(lens, p.x, p.y);
      return { x, y };
    }),
  }));
