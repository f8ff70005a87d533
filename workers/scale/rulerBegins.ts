import { fitStraightLine } from '../../src/domain/regression';

/** Where marks begin in from a line: so far in at its beginning, px, and by so much more a px along it. */
export interface BeginLine {
  readonly off: number;
  readonly slope: number;
}

/** Beginnings this near to a line lie on it, px: marks are followed in steps of two. */
const nearPx = 2.2;
/** So large a share of the marks begins on one line, or their edge is not known: what lies over a ruler hides where marks begin. */
const leastShare = 0.4;
/** The ends of so many lines are tried, evenly among the beginnings. */
const triedEnds = 24;
/** A ruler's edge turns away from the line that its marks were met on by no more than this. */
const mostSlope = 0.15;

/** The straight line that most marks begin on, fitted to those by least squares; null where no line has enough of them. */
export const lineThrough = (
  begins: readonly { readonly t: number; readonly off: number }[],
): BeginLine | null => {
  const stride = Math.max(1, Math.floor(begins.length / triedEnds));
  const ends = begins.filter((_, i) => i % stride === 0);
  let best: typeof begins = [];
  for (const [i, a] of ends.entries()) {
    for (const b of ends.slice(i + 1)) {
      const slope = (b.off - a.off) / (b.t - a.t);
      if (!(Math.abs(slope) < mostSlope)) continue;
      const on = begins.filter(({ t, off }) => Math.abs(off - a.off - slope * (t - a.t)) < nearPx);
      if (on.length > best.length) best = on;
    }
  }
  if (best.length < Math.max(5, leastShare * begins.length)) return null;
  const [off = 0, slope = 0] = fitStraightLine(
    best.map(({ t }) => t),
    best.map((begin) => begin.off),
  ).coefficients;
  return { off, slope };
};
