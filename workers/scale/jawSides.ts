import type { RgbaImage } from '../image';
import {
  edgesAcross,
  type JawEdge,
  type JawView,
  lookAcross,
  meanColour,
  meanStrip,
  perPx,
} from './jawProfile';

/** What is looked at on the far side of an edge, where the jaw's metal lies, and on the near side, beyond its wall, px off the edge. */
const metalPx = { from: -10, to: -3 };
const groundPx = { from: 12, to: 19 };

type Shares = readonly [number, number];

/** Shares of red and blue in a colour, which shade does not change. */
const hueShares = ([r, g, b]: readonly [number, number, number]): Shares => {
  const sum = Math.max(1, r + g + b);
  return [r / sum, b / sum];
};

const apart = ([a, b]: Shares, [c, d]: Shares): number => Math.hypot(a - c, b - d);

/** Steel is grey. */
const grey: Shares = [1 / 3, 1 / 3];

/** Colours on the two sides of a jaw's edge: hues, in which light and shade do not count. */
export interface JawSides {
  readonly metal: Shares;
  readonly ground: Shares;
}

/** @param edgeAt where the edge lies, px across from the view's tap. */
export const sidesOf = (view: JawView, edgeAt: number): JawSides => {
  const mean = meanStrip(view);
  const at = (px: number): number =>
    Math.min(view.samples, Math.max(0, Math.round((edgeAt + px - view.fromPx) * perPx)));
  const hueIn = ({ from, to }: { readonly from: number; readonly to: number }): Shares =>
    hueShares(meanColour(mean, at(from), at(to)));
  return { metal: hueIn(metalPx), ground: hueIn(groundPx) };
};

/** Both jaws are of one metal: hues that differ by more are of two things (skylight and lamplight tint it less than this, assumed). */
const mostApart = 0.04;
/** What lies inward is greyer than what lies outward by more than this only where the outer edges of the jaws were tapped. */
const muchGreyer = 0.03;

/** Whether the two far sides look like the metal of one caliper, and not like two things or the ground beyond it. */
export const areJawsOfOne = (a: JawSides, b: JawSides): boolean => {
  if (apart(a.metal, b.metal) > mostApart) return false;
  const greyer = ({ metal, ground }: JawSides): number => apart(metal, grey) - apart(ground, grey);
  return Math.min(greyer(a), greyer(b)) < muchGreyer;
};

/** A jaw is at least so wide at its tip as a share of the opening, and over that width there is nothing but metal beyond its wall (common practice). */
const metalShare = 0.1;
/** A jaw's wall shows no wider than this, px. */
const wallPx = 12;
/** An edge of the metal's width beyond counts if it is so strong beside the jaw's own. */
const clearShare = 0.6;
/** The metal is looked at over so much of the jaw to both sides of the tap, px. */
const halfPx = 40;

const clearness = ({ strength, lasting }: JawEdge): number => Math.min(strength, lasting);

/**
 * Whether a clear edge runs along further out, where there should be metal: then the jaw's own edge is that one, and what was found is a line or a shadow on the table.
 * @param gapPx the distance between the two jaws.
 */
export const isOutlineBeyond = (
  image: RgbaImage,
  { view, edge }: { readonly view: JawView; readonly edge: JawEdge },
  gapPx: number,
): boolean => {
  const { tap, across } = view;
  const reach = Math.max(wallPx + 12, metalShare * gapPx);
  const other = { x: tap.x + across.x, y: tap.y + across.y };
  const beyond = lookAcross(image, tap, other, 0, halfPx, [edge.at - reach, edge.at]);
  if (beyond === null) return false;
  return edgesAcross(beyond).some(
    (further) => further.at < edge.at - wallPx && clearness(further) > clearShare * clearness(edge),
  );
};
