import { type LensBow, straightened } from '../../src/domain/planeFitLens';
import { MAD_TO_SIGMA, mean, median } from '../../src/domain/statistics';
import type { MeasuredSide } from './sides';

/**
 * Phones straighten their pictures themselves: most leave no bow, about three in ten leave one of so much (assumed), standard deviation. Without the first half
 * of this every uneven side would make a bow, and a bow carries the scale off on its way from the rectangle to the swatch.
 */
const leftBow = { share: 0.3, size: 0.012 };
/** A side is cut into so many parts; grain and threads make places within a part share their error. */
const parts = 10;
/** A bow is seen in no fewer parts than this. */
const leastParts = 6;
/** The middle of a part is known to no better than this, px: bevel, light and the steps of pixels. */
const leastPartPx = 0.05;
/** Parts further off than so many times what is usual count little (Cauchy's weight, P. J. Huber, Robust Statistics, 1981, chapter 7). */
const usualOff = 2;
const rounds = 6;

/** A bow as the sides tell it, with its standard uncertainty. */
export interface BowSeen {
  readonly lens: LensBow;
  readonly uncertainty: number;
}

/** A part of a side: how far along, how far off the side's line, and how far a bow of 1 moves it off, px. */
interface Part {
  readonly t: number;
  readonly off: number;
  readonly move: number;
}

const partsOf = ({ places }: MeasuredSide, lens: LensBow): Part[] => {
  const [first, last] = [places[0], places[places.length - 1]];
  if (first === undefined || last === undefined) return [];
  const length = Math.hypot(last.x - first.x, last.y - first.y) || 1;
  const [dx, dy] = [(last.x - first.x) / length, (last.y - first.y) / length];
  const inParts = Array.from({ length: parts }, (): Part[] => []);
  for (const { x, y } of places) {
    const [sx, sy] = straightened({ ...lens, bow: 1 }, x, y);
    const t = (x - first.x) * dx + (y - first.y) * dy;
    const part = Math.max(0, Math.min(parts - 1, Math.floor((parts * t) / length)));
    inParts[part]?.push({
      t,
      off: (y - first.y) * dx - (x - first.x) * dy,
      move: (sy - y) * dx - (sx - x) * dy,
    });
  }
  const least = Math.max(2, places.length / (4 * parts));
  return inParts
    .filter((part) => part.length >= least)
    .map((part) => ({
      t: mean(part.map((p) => p.t)),
      off: median(part.map((p) => p.off)),
      move: mean(part.map((p) => p.move)),
    }));
};

/** The bow that one side tells by itself: a robust straight-line fit with the bow as a third unknown; its uncertainty comes from what the fit leaves. */
const bowOfSide = (side: MeasuredSide, lens: LensBow): { bow: number; uncertainty: number } | null => {
  const seen = partsOf(side, lens);
  if (seen.length < leastParts) return null;
  let weights = seen.map(() => 1);
  let told = { bow: 0, uncertainty: Number.POSITIVE_INFINITY };
  for (let round = 0; round < rounds; round++) {
    const total = weights.reduce((s, w) => s + w, 0);
    const weighted = (of: (i: number) => number): number =>
      weights.reduce((s, w, i) => s + w * of(i), 0) / total;
    const at = (i: number): Part => seen[i] as Part;
    const mt = weighted((i) => at(i).t);
    const tt = weighted((i) => (at(i).t - mt) ** 2) || 1;
    const without = (of: (p: Part) => number): number[] => {
      const m = weighted((i) => of(at(i)));
      const slope = weighted((i) => (at(i).t - mt) * of(at(i))) / tt;
      return seen.map((p) => of(p) - m - slope * (p.t - mt));
    };
    const [off, move] = [without((p) => p.off), without((p) => p.move)];
    const weight = weights.reduce((s, w, i) => s + w * (move[i] ?? 0) ** 2, 0);
    if (weight === 0) return null;
    const bow = -weights.reduce((s, w, i) => s + w * (move[i] ?? 0) * (off[i] ?? 0), 0) / weight;
    const left = off.map((v, i) => v + bow * (move[i] ?? 0));
    const squares = weights.reduce((s, w, i) => s + w * (left[i] ?? 0) ** 2, 0);
    const partPx = Math.max(leastPartPx, Math.sqrt(squares / Math.max(1, total - 3)));
    told = { bow, uncertainty: partPx / Math.sqrt(weight) };
    // 1.4826 times the median makes a standard deviation (P. J. Huber, as above).
    const usual = usualOff * Math.max(leastPartPx, MAD_TO_SIGMA * median(left.map(Math.abs)));
    weights = left.map((v) => 1 / (1 + (v / usual) ** 2));
  }
  return told;
};

const normalDensity = (x: number, variance: number): number =>
  Math.exp((-0.5 * x * x) / variance) / Math.sqrt(variance);

/** What is to be expected of the bow after it was seen to be so much: either there is none, or one of the usual size. */
const expected = (seen: number, variance: number): { bow: number; uncertainty: number } => {
  const usual = leftBow.size ** 2;
  const some = leftBow.share * normalDensity(seen, usual + variance);
  const none = (1 - leftBow.share) * normalDensity(seen, variance);
  // Where even the usual bow makes it unlikely both densities vanish; then it is there.
  const chance = some + none > 0 ? some / (some + none) : 1;
  const pulled = (seen * usual) / (usual + variance);
  const bow = chance * pulled;
  const spread = chance * ((usual * variance) / (usual + variance) + (pulled - bow) ** 2);
  return { bow, uncertainty: Math.sqrt(spread + (1 - chance) * bow ** 2) };
};

/**
 * The lens's bow as the bent sides of a rectangle tell it: each side by itself, joined by their uncertainties, which are widened where the sides disagree
 * (R. T. Birge, "The calculation of errors by the method of least squares", 1932), and drawn towards none as far as they leave it open.
 */
export const bowOfSides = (sides: readonly MeasuredSide[], lens: LensBow): BowSeen => {
  const told = sides.flatMap((side) => bowOfSide(side, lens) ?? []);
  const weight = told.reduce((s, { uncertainty }) => s + uncertainty ** -2, 0);
  if (weight === 0) return { lens, uncertainty: Math.sqrt(leftBow.share) * leftBow.size };
  const seen = told.reduce((s, { bow, uncertainty }) => s + bow * uncertainty ** -2, 0) / weight;
  const squares = told.reduce((s, { bow, uncertainty }) => s + ((bow - seen) / uncertainty) ** 2, 0);
  const disagree = Math.max(1, squares / Math.max(1, told.length - 1));
  const { bow, uncertainty } = expected(seen, disagree / weight);
  return { lens: { ...lens, bow }, uncertainty };
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
