import type { RgbaImage } from '../image';
import { courseOf } from './jawCourse';
import { edgesAcross, type JawEdge, type JawView, lookAcross } from './jawProfile';
import type { JawLine } from './jawSkew';
import type { Corner } from './quads';

/** The face's edge of one jaw, as it seems. */
export interface SeenJaw {
  readonly view: JawView;
  readonly edge: JawEdge;
  /** Standard uncertainty of the direction it is looked at along, rad. */
  readonly turnRad: number;
  /** Length over which it was followed, px; nought where it was not. */
  readonly lengthPx: number;
  /** Whether an edge further in is so much stronger, or the tap so far inward, that another edge may be the jaw's upper one. */
  readonly isUnclear: boolean;
}

/** A tap lies within this share of the distance between the taps of the edge it means, and never needs more than so many px. */
const tapShare = 0.08;
const tapPx = { least: 8, most: 24 };
/** A tap is mostly this near to its edge, px. */
const usualTapPx = 10;
/** Directions that are tried for the jaws' edges, rad from square to the line between the taps, and how finely at last. */
const turns = { most: 0.45, roughly: 0.035, apart: 0.08, step: 0.01 } as const;
/** Half lengths of a jaw's edge that are tried about a tap, work px. */
const halfLengthsPx = [150, 90, 60, 40, 26, 16];
const halfToTurnPx = 36;
/** A stronger edge says no more for a direction than one of so many grey levels. */
const clearStep = 40;
/** The edge of a jaw's face is the outermost one: beyond it there is nothing but metal. An edge fainter than this share of the strongest is grain. */
const outerShare = 0.15;
/** An edge fainter than this share of one further in may be a scratch or a reflection. */
const faintShare = 0.3;
/** Beyond an edge that is found so far out, as a share of the search, another one may follow that was not looked for: the foot of a wall was found, and not its face. */
const farShare = 0.75;

const searchPxOf = (a: Corner, b: Corner): number =>
  Math.min(tapPx.most, Math.max(tapPx.least, tapShare * Math.hypot(b.x - a.x, b.y - a.y)));

const worthOf = ({ at, strength, lasting }: JawEdge): number =>
  Math.min(clearStep, strength, lasting) * Math.exp(-0.5 * (at / usualTapPx) ** 2);

const rangeOf = (count: number, step: number): number[] =>
  Array.from({ length: 2 * count + 1 }, (_, i) => (i - count) * step);

const bestBy = <T>(values: readonly T[], worth: (value: T) => number): T | null =>
  values.reduce<{ value: T; worth: number } | null>((best, value) => {
    const own = worth(value);
    return best === null || own > best.worth ? { value, worth: own } : best;
  }, null)?.value ?? null;

/** The direction in which edges near the two taps run most clearly: jaws are parallel. */
const commonTurn = (image: RgbaImage, a: Corner, b: Corner, searchPx: number): number | null => {
  const clearness = (tap: Corner, other: Corner, turn: number): number => {
    const view = lookAcross(image, tap, other, turn, halfToTurnPx, [-searchPx - 9, searchPx + 9]);
    return view === null ? 0 : Math.max(0, ...edgesAcross(view).map(worthOf));
  };
  const tried = rangeOf(Math.round(turns.most / turns.roughly), turns.roughly).map((turn) => ({
    turn,
    // Perspective turns the two jaws a little against each other.
    worth: clearness(a, b, turn) + clearness(b, a, turn),
  }));
  const best = bestBy(tried, ({ worth }) => worth);
  return best === null || best.worth === 0 ? null : best.turn;
};

/** The outermost edge near a tap, followed as far as it goes. */
const outermost = (view: JawView, searchPx: number): { edge: JawEdge; isUnclear: boolean } | null => {
  const edges = edgesAcross(view).filter(({ at }) => Math.abs(at) <= searchPx);
  const strongest = Math.max(0, ...edges.map(({ strength }) => strength));
  const edge = edges.find(({ strength }) => strength >= outerShare * strongest);
  if (edge === undefined) return null;
  return { edge, isUnclear: edge.strength < faintShare * strongest || edge.at < -farShare * searchPx };
};

/** Picture beyond the farthest edge that is looked at, for its wall and the ground, px. */
const inwardPx = 24;

/** What is seen of a jaw when it is looked at along one direction. */
interface Looked {
  readonly turn: number;
  readonly halfPx: number;
  readonly jaw: SeenJaw;
  readonly sharpness: number;
}

/** Where the edge of one jaw is looked for, and over how long a stretch. */
interface JawSearch {
  readonly image: RgbaImage;
  readonly tap: Corner;
  readonly other: Corner;
  readonly searchPx: number;
  readonly halvesPx: readonly number[];
}

/** Two edges that do not go together are still tried where there is no better pair. */
const leastTogether = 1e-4;

/** Looked at along its own direction a jaw's edges, that of the face and that of the wall's foot, are as sharp as they can be; lines on the ground do not count. */
const sharpnessOf = ({ view, edge }: SeenJaw, searchPx: number): number =>
  Math.max(
    ...edgesAcross(view).flatMap(({ at, strength, lasting }) =>
      Math.abs(at) <= searchPx ? [Math.min(strength, lasting)] : [],
    ),
  ) * Math.exp(-0.5 * (edge.at / usualTapPx) ** 2);

/** One jaw seen along every direction that is tried, over every stretch that shows an edge there: the longer it is, the more it says. */
const looksAt = (search: JawSearch, towards: number, reach: number, step: number): Looked[] => {
  const { image, tap, other, searchPx, halvesPx } = search;
  return halvesPx.flatMap((halfPx) => {
    if (halfPx > Math.hypot(other.x - tap.x, other.y - tap.y)) return [];
    return rangeOf(Math.round(reach / step), step).flatMap((off): Looked[] => {
      const turn = towards + off;
      const view = lookAcross(image, tap, other, turn, halfPx, [-searchPx - 10, searchPx + inwardPx]);
      const found = view && outermost(view, searchPx);
      if (!found) return [];
      const jaw = { view, ...found, turnRad: step, lengthPx: 0 };
      return [{ turn, halfPx, jaw, sharpness: sharpnessOf(jaw, searchPx) * Math.sqrt(halfPx) }];
    });
  });
};

const sharpest = (looked: readonly Looked[]): Looked | null => bestBy(looked, ({ sharpness }) => sharpness);

/** A direction is known so well where a jaw is seen near the tap alone, px aside at the ends of what is seen. */
const looselyPx = 0.5;

const loosely = ({ jaw, halfPx }: Looked): SeenJaw => ({ ...jaw, turnRad: looselyPx / halfPx });

/** A jaw looked at along the direction that it runs in over its whole length. */
const finely = ({ image, tap, other, searchPx }: JawSearch, rough: Looked): SeenJaw => {
  const course = courseOf(image, rough.jaw.view, rough.jaw.edge.at, rough.halfPx);
  if (course === null) return loosely(rough);
  const turn = rough.turn - Math.atan(course.slope);
  const shown = Math.max(rough.halfPx, Math.min(course.to, -course.from));
  for (const halfPx of halfLengthsPx) {
    if (halfPx > shown) continue;
    const view = lookAcross(image, tap, other, turn, halfPx, [-searchPx - 10, searchPx + inwardPx]);
    const found = view && outermost(view, searchPx);
    if (found) return { view, ...found, turnRad: course.turnRad, lengthPx: course.to - course.from };
  }
  return loosely(rough);
};

/**
 * The jaws' edges near two taps; null for one that is not there.
 * @param together how well two edges go together as those of one caliper, 0 to 1.
 */
export const jawsNear = (
  image: RgbaImage,
  a: Corner,
  b: Corner,
  together: (a: JawLine, b: JawLine) => number,
): [SeenJaw | null, SeenJaw | null] => {
  const searchPx = searchPxOf(a, b);
  const turn = commonTurn(image, a, b, searchPx) ?? 0;
  const both = { image, searchPx, halvesPx: halfLengthsPx };
  const [first, second]: [JawSearch, JawSearch] = [
    { ...both, tap: a, other: b },
    { ...both, tap: b, other: a },
  ];
  const [p, q] = goingTogether(
    looksAt(first, turn, turns.apart, turns.step),
    looksAt(second, turn, turns.apart, turns.step),
    together,
  );
  return [p && finely(first, p), q && finely(second, q)];
};

/** Of all directions in which the two jaws were looked at those that are sharp and go together. */
const goingTogether = (
  first: readonly Looked[],
  second: readonly Looked[],
  together: (a: JawLine, b: JawLine) => number,
): [Looked | null, Looked | null] => {
  const [p, q] = [sharpest(first), sharpest(second)];
  if (p === null || q === null) return [p, q];
  const lineOf = ({ jaw: { view } }: Looked): JawLine => ({ middle: view.tap, along: view.along });
  const pair = bestBy(
    first.flatMap((one) => second.map((other) => ({ one, other }))),
    ({ one, other }) =>
      (one.sharpness / p.sharpness + other.sharpness / q.sharpness) *
      Math.max(leastTogether, together(lineOf(one), lineOf(other))),
  );
  return pair === null ? [p, q] : [pair.one, pair.other];
};
