import type { RgbaImage } from '../image';
import {
  changeAt,
  edgesAcross,
  type JawEdge,
  type JawView,
  leastSeen,
  lookAcross,
  meanStrip,
  perPx,
} from './jawProfile';
import type { Corner } from './quads';

/** The face's edge of one jaw, as it seems. */
export interface SeenJaw {
  readonly view: JawView;
  readonly edge: JawEdge;
  /** Whether an edge further in is so much stronger that this one may be none of the jaw's. */
  readonly isFaint: boolean;
}

/** A tap lies within this share of the distance between the taps of the edge it means, and never needs more than so many px. */
const tapShare = 0.08;
const tapPx = { least: 8, most: 24 };
/** A tap is mostly this near to its edge, px. */
const usualTapPx = 10;
/** Directions that are tried for the jaws' edges, rad from square to the line between the taps, and how finely at last. */
const turns = { most: 0.45, step: 0.035, fine: 0.008, apart: 0.06 };
/** Half lengths of a jaw's edge that are tried about a tap, work px, longest first; the first is that for the direction. */
const halfLengthsPx = [90, 60, 40, 26, 16];
const halfToTurnPx = 36;
/** A stronger edge says no more for a direction than one of so many grey levels. */
const clearStep = 40;
/** The edge of a jaw's face is the outermost one: beyond it there is nothing but metal. An edge fainter than this share of the strongest is grain. */
const outerShare = 0.15;
/** An edge fainter than this share of one further in may be a scratch or a reflection. */
const faintShare = 0.3;

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
  const tried = rangeOf(Math.round(turns.most / turns.step), turns.step).map((turn) => ({
    turn,
    // Perspective turns the two jaws a little against each other.
    worth: clearness(a, b, turn) + clearness(b, a, turn),
  }));
  const best = bestBy(tried, ({ worth }) => worth);
  return best === null || best.worth === 0 ? null : best.turn;
};

/** The outermost edge near a tap, followed as far as it goes. */
const outermost = (view: JawView, searchPx: number): { edge: JawEdge; isFaint: boolean } | null => {
  const edges = edgesAcross(view).filter(({ at }) => Math.abs(at) <= searchPx);
  const strongest = Math.max(0, ...edges.map(({ strength }) => strength));
  const edge = edges.find(({ strength }) => strength >= outerShare * strongest);
  return edge === undefined ? null : { edge, isFaint: edge.strength < faintShare * strongest };
};

/** Picture beyond the farthest edge that is looked at, for its wall and the ground, px. */
const inwardPx = 24;

const jawNear = (
  image: RgbaImage,
  tap: Corner,
  other: Corner,
  turn: number,
  searchPx: number,
): SeenJaw | null => {
  for (const half of halfLengthsPx) {
    if (half > Math.hypot(other.x - tap.x, other.y - tap.y)) continue;
    const looked = rangeOf(Math.round(turns.apart / turns.fine), turns.fine).flatMap((off): SeenJaw[] => {
      const view = lookAcross(image, tap, other, turn + off, half, [-searchPx - 10, searchPx + inwardPx]);
      const found = view && outermost(view, searchPx);
      return found ? [{ view, ...found }] : [];
    });
    const best = bestBy(looked, ({ edge }) => worthOf(edge));
    if (best !== null) return best;
  }
  return null;
};

/** The jaws' edges near two taps; null for one that is not there. */
export const jawsNear = (image: RgbaImage, a: Corner, b: Corner): [SeenJaw | null, SeenJaw | null] => {
  const searchPx = searchPxOf(a, b);
  const turn = commonTurn(image, a, b, searchPx);
  if (turn === null) return [jawNear(image, a, b, 0, searchPx), jawNear(image, b, a, 0, searchPx)];
  return [jawNear(image, a, b, turn, searchPx), jawNear(image, b, a, turn, searchPx)];
};

/** A strip's own edge lies this near to that of the mean, px. */
const ownPx = 2;

/** Places along a jaw's edge, put so that their middle lies `at` px across from the tap. */
export const placesOn = ({ view, edge }: SeenJaw, at: number): Corner[] => {
  const middle = (edge.at - view.fromPx) * perPx;
  const change = changeAt(meanStrip(view), Math.round(middle));
  const found = view.strips.flatMap((strip, k) => {
    const along = (i: number): number => {
      const c = changeAt(strip, i);
      return c[0] * change[0] + c[1] * change[1] + c[2] * change[2];
    };
    const from = Math.round(middle - ownPx * perPx);
    const peak = bestBy(
      Array.from({ length: 2 * ownPx * perPx + 1 }, (_, i) => from + i),
      along,
    );
    if (peak === null) return [];
    const [p, q, r] = [along(peak - 1), along(peak), along(peak + 1)];
    if (!(q > 0 && q >= p && q >= r)) return [];
    return [{ t: view.stripsAt[k] ?? 0, at: view.fromPx + (peak + (p - r) / (2 * (p - 2 * q + r))) / perPx }];
  });
  // A view whose strips say too little on their own runs along the edge as a whole.
  const own = found.length < leastSeen * view.strips.length ? view.stripsAt.map((t) => ({ t, at })) : found;
  const shift = at - own.reduce((sum, p) => sum + p.at / own.length, 0);
  return own.map((p) => ({
    x: view.tap.x + p.t * view.along.x + (p.at + shift) * view.across.x,
    y: view.tap.y + p.t * view.along.y + (p.at + shift) * view.across.y,
  }));
};
