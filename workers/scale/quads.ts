import type { CameraFacts } from '../../src/domain/camera';
import { squareToQuad } from '../../src/domain/planeFitPoints';
import type { GreyImage } from '../image';
import type { EdgeSegments } from './kind';
import { shapeSeen } from './rectangleShape';
import { edgeShare, parted, runsBeyond, type SideLine, sideLines, tracedShare } from './sideLines';

export interface Corner {
  readonly x: number;
  readonly y: number;
}

type FourCorners = readonly [Corner, Corner, Corner, Corner];

/** A four-sided outline with straight sides, whatever its shape. */
export interface Outline {
  /** In order around it. */
  readonly corners: FourCorners;
  /** Share of each side that lies on an edge, in the order of the sides. */
  readonly support: readonly number[];
}

/** An outline of the wanted shape; its first side is the first axis of the shape. */
export interface Quad extends Outline {
  /** How far its sides' ratio, seen by a usual camera, is from the wanted one: ln(ratio). */
  readonly ratioOff: number;
}

/** What a rectangle must look like to be the one looked for. */
export interface QuadWish {
  /** Long side over short side. */
  readonly aspect: number;
  /** Largest |ln| by which the seen aspect may differ. */
  readonly aspectSlack: number;
  /** Least share of every side that must lie on an edge. */
  readonly leastSupport: number;
}

/** So many lines may be sides. */
const mostLines = 120;
/** The shortest side that is looked for, as a share of the picture's long side. */
const leastSide = 0.06;
/** No side is longer than so many times its neighbours. */
const mostRatio = 2.4;
/** Share of every side that must lie on an edge, and of either half of it. */
const leastSupport = { side: 0.5, half: 0.35 };
/** The parts of a side that are looked at: its ends may be rounded. */
const halves = [
  [0.07, 0.5],
  [0.5, 0.93],
] as const;
/** Share of a side that traced pieces of edge must cover, so that grain does not make outlines. */
const leastTraced = 0.2;
/** Where a side is looked at near its end, beyond any rounding of the corner, and the share of it that must lie on an edge before the corner counts as seen. */
const sideEnd = { from: 0.06, to: 0.2, support: 0.5, both: 0.8 };
/** Just beyond the rounding of a corner, and what the two neighbours of a side show there together at least. */
const cornerEnd = { from: 0.05, to: 0.1, both: 0.6 };
/** A side that shows well does so on this share of its length. */
const plainSide = 0.75;
/** Where a side is looked at beyond its end, and the share of it that must go on with an edge like its own. */
const beyondEnd = { from: 1.04, to: 1.2, support: 0.6 };
/** Outlines beyond so many are all clutter. */
const mostOutlines = 4000;

/** How much of a line between two places on it is an edge; 0 where it is no side. */
const sideSupport = (line: SideLine, from: number, to: number): number => {
  const length = to - from;
  let sum = 0;
  for (const [p, q] of halves) {
    const share = edgeShare(line, from + p * length, from + q * length);
    if (share < leastSupport.half) return 0;
    sum += share / 2;
  }
  return sum < leastSupport.side || tracedShare(line, from, to) < leastTraced ? 0 : sum;
};

/** Where line `a` meets line `b`, px along `a`. */
const meeting = (a: SideLine, b: SideLine): number =>
  (b.d - a.d * (a.dx * b.dx + a.dy * b.dy)) / (a.dy * b.dx - a.dx * b.dy);

const sineBetween = (a: SideLine, b: SideLine): number => Math.abs(a.dy * b.dx - a.dx * b.dy);

const placeOn = ({ dx, dy, d }: SideLine, t: number): Corner => ({ x: t * dx - d * dy, y: t * dy + d * dx });

/** One side of an outline on its line. */
interface Side {
  readonly line: SideLine;
  readonly from: number;
  readonly to: number;
  readonly support: number;
}

/** A line that crosses two others and has an edge between them. */
interface Crossing extends Side {
  /** Where it meets the two, px along each of them. */
  readonly onFirst: number;
  readonly onSecond: number;
}

const crossingOf = (line: SideLine, first: SideLine, second: SideLine, leastPx: number): Crossing | null => {
  if (sineBetween(line, first) < 0.6 || sineBetween(line, second) < 0.6) return null;
  const [from, to] = [meeting(line, first), meeting(line, second)];
  if (Math.abs(to - from) < leastPx) return null;
  const support = sideSupport(line, from, to);
  if (support === 0) return null;
  return { line, from, to, support, onFirst: meeting(first, line), onSecond: meeting(second, line) };
};

const sideOn = (line: SideLine, from: number, to: number): Side => ({
  line,
  from,
  to,
  support: sideSupport(line, from, to),
});

/** Share of an edge between two shares of a side from where it begins (or, from its other end, ends). */
const endShown = (
  { line, from, to }: Side,
  atEnd: boolean,
  window: { readonly from: number; readonly to: number },
): number => {
  const [start, length] = atEnd ? [to, from - to] : [from, to - from];
  return edgeShare(line, start + window.from * length, start + window.to * length);
};

/** For every side, what the one before shows at its end and the one after at its beginning. */
const neighboursAt = (
  ring: readonly Side[],
  window: { readonly from: number; readonly to: number },
): number[] =>
  ring.map((_, n) => {
    const [before, after] = [ring[(n + 3) % 4], ring[(n + 1) % 4]];
    return !before || !after ? 0 : endShown(before, true, window) + endShown(after, false, window);
  });

/**
 * Whether enough of the corners show. One may be covered or curl up; two may hide in the light where all sides show well: but beside a side that is not there
 * both of its neighbours end in nothing.
 */
const cornersShow = (ring: readonly Side[]): boolean => {
  if (neighboursAt(ring, cornerEnd).some((both) => both < cornerEnd.both)) return false;
  const shown = ring.filter((side, n) => {
    const before = ring[(n + 3) % 4];
    return (
      before !== undefined &&
      endShown(side, false, sideEnd) >= sideEnd.support &&
      endShown(before, true, sideEnd) >= sideEnd.support
    );
  });
  if (shown.length >= 3) return true;
  const neighbours = neighboursAt(ring, sideEnd);
  return ring.every(({ support }, n) => support > plainSide && (neighbours[n] ?? 0) > sideEnd.both);
};

/** A stretch of a side's line just beyond one of its corners, with the side from that corner on. */
interface Beyond {
  readonly line: SideLine;
  readonly side: readonly [number, number];
  readonly stretch: readonly [number, number];
}

const beyond = ({ line, from, to }: Side): Beyond[] =>
  [
    [from, to],
    [to, from],
  ].map(([p = 0, q = 0]) => ({
    line,
    side: [p, q],
    stretch: [p - (beyondEnd.from - 1) * (q - p), p - (beyondEnd.to - 1) * (q - p)],
  }));

/** An edge parts the same grounds as another where it does so by at least this share. */
const partedShare = 0.5;
/** What lies on the ground parts its face from it on every side, by at least this share of what it does where it shows most, and by so many grey levels. */
const leastParted = { share: 0.3, levels: 3 };

/** The stretches beyond the corners that may be the sides going on: where all sides part a thing from the ground, one that does not is a streak of the ground. */
const goingOn = (ring: readonly Side[], pictures: readonly GreyImage[]): Beyond[] => {
  const sides = ring.map((side) => {
    const step = parted(pictures, side.line, [side.from, side.to]);
    return { side, step, size: Math.hypot(...step) };
  });
  const most = Math.max(...sides.map(({ size }) => size));
  const isThing = sides.every(({ size }) => size > Math.max(leastParted.levels, leastParted.share * most));
  return sides.flatMap(({ side, step, size }) =>
    beyond(side).filter(({ stretch }) => {
      if (!isThing) return true;
      const along = parted(pictures, side.line, stretch).reduce((sum, v, i) => sum + v * (step[i] ?? 0), 0);
      return along > partedShare * size * size;
    }),
  );
};

/**
 * Whether the sides go on beyond the corners, as those of a grid's cells and of scraps of stripes do: two ends with an edge like the side's own, or one line
 * that was traced through both its corners.
 */
const runsOn = (ring: readonly Side[], pictures: readonly GreyImage[]): boolean => {
  const stretches = goingOn(ring, pictures);
  const isTraced = ({ line, stretch }: Beyond): boolean => tracedShare(line, ...stretch) > beyondEnd.support;
  const traced = stretches.filter(isTraced).map(({ line }) => line);
  if (new Set(traced).size < traced.length) return true;
  const ends = stretches.filter(
    ({ line, side, stretch }) => runsBeyond(line, side, stretch) > beyondEnd.support,
  );
  return ends.length >= 2;
};

/** The outline of four sides that follow one another, each from where it meets the one before. */
const outlineOf = (
  ring: readonly [Side, Side, Side, Side],
  { map: { widthPx, heightPx }, pictures }: EdgeSegments,
): Outline | null => {
  const [p, q, r, s] = ring.map(({ line, from }) => placeOn(line, from));
  if (!p || !q || !r || !s) return null;
  const margin = 0.01 * widthPx;
  const isOutside = ({ x, y }: Corner): boolean =>
    x < -margin || y < -margin || x > widthPx + margin || y > heightPx + margin;
  const support = ring.map((side) => side.support);
  if (!cornersShow(ring) || [p, q, r, s].some(isOutside) || runsOn(ring, pictures)) return null;
  const turns = (q.x - p.x) * (s.y - p.y) - (q.y - p.y) * (s.x - p.x);
  return turns > 0
    ? { corners: [p, q, r, s], support }
    : { corners: [p, s, r, q], support: [...support].reverse() };
};

/**
 * Outlines with four straight sides among pieces of edge, whatever their shape, the best supported first. Sides that run on beyond the corners (cells of a
 * grid) do not count.
 */
export const findOutlines = (edges: EdgeSegments): Outline[] => {
  const { map, segments } = edges;
  const lines = sideLines(map, segments, mostLines);
  const leastPx = leastSide * Math.max(map.widthPx, map.heightPx);
  const found: Outline[] = [];
  lines.forEach((a, i) => {
    // Each outline is met once: its best line comes first.
    const others = lines.slice(i + 1);
    for (const b of others) {
      if (sineBetween(a, b) > 0.35) continue;
      const across = others.flatMap((line) => {
        const crossing = line === b ? null : crossingOf(line, a, b, leastPx);
        return crossing === null ? [] : [crossing];
      });
      across.forEach((c, k) => {
        for (const d of across.slice(k + 1)) {
          const [onA, onB] = [d.onFirst - c.onFirst, d.onSecond - c.onSecond];
          if (Math.min(Math.abs(onA), Math.abs(onB)) < leastPx) continue;
          // Lines that cross inside make no outline.
          if (onA * onB * (a.dx * b.dx + a.dy * b.dy) < 0) continue;
          const ratio = (Math.abs(onA) + Math.abs(onB)) / (Math.abs(c.to - c.from) + Math.abs(d.to - d.from));
          if (ratio > mostRatio || ratio < 1 / mostRatio) continue;
          const first = sideOn(a, d.onFirst, c.onFirst);
          if (first.support === 0) continue;
          const second = sideOn(b, c.onSecond, d.onSecond);
          if (second.support === 0) continue;
          const back: Side = { ...d, from: d.to, to: d.from };
          const outline = outlineOf([first, c, second, back], edges);
          if (outline !== null) found.push(outline);
        }
      });
    }
  });
  return found.sort((p, q) => supportOf(q) - supportOf(p)).slice(0, mostOutlines);
};

const supportOf = ({ support }: Outline): number => support.reduce((product, v) => product * v, 1);

/** The corners turned so that the long sides of the rectangle are the first and third, and how well its sides' ratio fits. */
export const oriented = (
  corners: FourCorners,
  wish: Pick<QuadWish, 'aspect' | 'aspectSlack'>,
  camera: CameraFacts,
): { corners: FourCorners; ratioOff: number } | null => {
  const h = squareToQuad(corners);
  if (h === null) return null;
  const { ratio, cosine, ratioOff } = shapeSeen(h, camera, wish.aspect);
  if (Math.abs(ratioOff) > wish.aspectSlack || Math.abs(cosine) > 0.06) return null;
  const [a, b, c, d] = corners;
  return { corners: ratio > 1 ? corners : [b, c, d, a], ratioOff };
};

/**
 * Those outlines that are rectangles of a known aspect ratio seen in perspective, the best first.
 * @param camera of the picture that the outlines are in.
 */
export const quadsAmong = (outlines: readonly Outline[], wish: QuadWish, camera: CameraFacts): Quad[] =>
  outlines
    .flatMap(({ corners, support }) => {
      const fit = support.every((v) => v >= wish.leastSupport) ? oriented(corners, wish, camera) : null;
      return fit === null ? [] : [{ ...fit, support }];
    })
    .sort((p, q) => quadWorth(q) - quadWorth(p));

/** How good an outline is: its least seen sides and how well its aspect fits. */
export const quadWorth = (q: Quad): number => supportOf(q) * Math.exp(-0.5 * (q.ratioOff / 0.03) ** 2);
