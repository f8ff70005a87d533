import type { CameraFacts } from '../../src/domain/camera';
import { squareToQuad } from '../../src/domain/planeFitPoints';
import { shapeSeen } from './rectangleShape';
import type { RidgeMap } from './ridges';
import { angleBetween, type Segment } from './segments';

export interface Corner {
  readonly x: number;
  readonly y: number;
}

/** A four-sided outline with straight sides: corners in order around it, the first side being the first axis of the shape. */
export interface Quad {
  readonly corners: readonly [Corner, Corner, Corner, Corner];
  /** Share of each side that lies on an edge, in the order of the sides. */
  readonly support: readonly number[];
  /** How far its sides' ratio, seen by a usual camera, is from the wanted one: ln(ratio). */
  readonly ratioOff: number;
}

interface Line {
  readonly segment: Segment;
  /** Unit normal and distance: nx·x + ny·y = d. */
  readonly nx: number;
  readonly ny: number;
  readonly d: number;
}

const asLine = (segment: Segment): Line => {
  const dx = (segment.x1 - segment.x0) / segment.lengthPx;
  const dy = (segment.y1 - segment.y0) / segment.lengthPx;
  return { segment, nx: -dy, ny: dx, d: -dy * segment.x0 + dx * segment.y0 };
};

const crossing = (a: Line, b: Line): Corner | null => {
  const det = a.nx * b.ny - a.ny * b.nx;
  return Math.abs(det) < 0.3
    ? null
    : { x: (a.d * b.ny - b.d * a.ny) / det, y: (a.nx * b.d - b.nx * a.d) / det };
};

const offOf = (line: Line, x: number, y: number): number => line.nx * x + line.ny * y - line.d;

/** What lies along a straight way: the share of it that has an edge of its direction under it, and how strong that edge is in the middle of the range. */
interface EdgeAlong {
  readonly share: number;
  readonly strength: number;
}

/** However short a way is, it is looked at in so many places. */
const leastPlaces = 6;

/**
 * Looks for an edge along the way from `a` to `b`, between the shares `from` and `to` of it, up to `nearPx` beside it; edges weaker than
 * `least` do not count.
 */
const edgeAlong = (
  map: RidgeMap,
  a: Corner,
  b: Corner,
  [from, to]: readonly [number, number],
  nearPx: number,
  least = 0,
): EdgeAlong => {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const dx = (b.x - a.x) / length;
  const dy = (b.y - a.y) / length;
  const angle = Math.atan2(dy, dx);
  let looked = 0;
  const met: number[] = [];
  const step = Math.min(3, ((to - from) * length) / leastPlaces);
  for (let t = from * length; t < to * length; t += step) {
    looked++;
    let strongest = 0;
    for (let k = -nearPx; k <= nearPx; k++) {
      const px = Math.floor(a.x + t * dx - k * dy);
      const py = Math.floor(a.y + t * dy + k * dx);
      if (px < 0 || py < 0 || px >= map.widthPx || py >= map.heightPx) continue;
      const i = py * map.widthPx + px;
      const strength = map.strength[i] as number;
      if (strength <= Math.max(least, strongest)) continue;
      if (angleBetween(map.angle[i] as number, angle) < 0.2) strongest = strength;
    }
    if (strongest > 0) met.push(strongest);
  }
  met.sort((x, y) => x - y);
  return { share: looked === 0 ? 0 : met.length / looked, strength: met[met.length >> 1] ?? 0 };
};

/** Share of the shorter segment that lies beside the other, along the first one's direction. */
const overlap = (a: Line, b: Line): number => {
  const along = (x: number, y: number): number => a.ny * x - a.nx * y;
  const [p0, p1] = [along(a.segment.x0, a.segment.y0), along(a.segment.x1, a.segment.y1)];
  const [q0, q1] = [along(b.segment.x0, b.segment.y0), along(b.segment.x1, b.segment.y1)];
  const shared = Math.min(Math.max(p0, p1), Math.max(q0, q1)) - Math.max(Math.min(p0, p1), Math.min(q0, q1));
  return shared / Math.min(a.segment.lengthPx, b.segment.lengthPx);
};

/** How much of segment `s` lies between two lines, px: a side may be traced on into the grain of the ground beyond the corner. */
const lengthBetween = (s: Segment, a: Line, b: Line): number => {
  let from = 0;
  let to = 1;
  for (const [line, other] of [
    [a, b],
    [b, a],
  ] as const) {
    const inside = Math.sign(
      offOf(line, (other.segment.x0 + other.segment.x1) / 2, (other.segment.y0 + other.segment.y1) / 2),
    );
    const p = offOf(line, s.x0, s.y0) * inside;
    const q = offOf(line, s.x1, s.y1) * inside;
    if (p < 0 && q < 0) return 0;
    if (p < 0) from = Math.max(from, p / (p - q));
    else if (q < 0) to = Math.min(to, p / (p - q));
  }
  return Math.max(0, to - from) * s.lengthPx;
};

/** What a rectangle must look like to be the one looked for. */
export interface QuadWish {
  /** Long side over short side. */
  readonly aspect: number;
  /** Largest |ln| by which the seen aspect may differ. */
  readonly aspectSlack: number;
  /** Least share of every side that must lie on an edge. */
  readonly leastSupport: number;
}

/** Contrast beyond this makes an edge no likelier to be a side, grey levels. */
const enoughContrast = 60;
/** The half circle of directions is cut into this many parts, each with its own candidates, so that streaks one way do not crowd out sides the other way. */
const directionParts = 6;

/** The most promising edges of every direction: long and clear ones. */
const candidateLines = (segments: readonly Segment[], most: number): Line[] => {
  const worth = (s: Segment): number => s.lengthPx * Math.min(enoughContrast, s.strength) ** 2;
  const parts = Array.from({ length: directionParts }, (): Segment[] => []);
  for (const s of [...segments].sort((a, b) => worth(b) - worth(a))) {
    const angle = Math.atan2(s.y1 - s.y0, s.x1 - s.x0) + Math.PI;
    const part = parts[Math.floor((directionParts * angle) / Math.PI) % directionParts];
    if (part !== undefined && part.length < most / 3) part.push(s);
  }
  return parts
    .flat()
    .sort((a, b) => worth(b) - worth(a))
    .slice(0, most)
    .map(asLine);
};

const area = (c: readonly Corner[]): number => {
  let sum = 0;
  c.forEach((p, i) => {
    const q = c[(i + 1) % c.length] ?? p;
    sum += p.x * q.y - q.x * p.y;
  });
  return sum / 2;
};

/** The corners turned so that the long sides of the rectangle are the first and third, and how well its sides' ratio fits. */
export const oriented = (
  corners: readonly [Corner, Corner, Corner, Corner],
  wish: Pick<QuadWish, 'aspect' | 'aspectSlack'>,
  camera: CameraFacts,
): { corners: readonly [Corner, Corner, Corner, Corner]; ratioOff: number } | null => {
  const h = squareToQuad(corners);
  if (h === null) return null;
  const { ratio, cosine, ratioOff } = shapeSeen(h, camera, wish.aspect);
  if (Math.abs(ratioOff) > wish.aspectSlack || Math.abs(cosine) > 0.06) return null;
  const [a, b, c, d] = corners;
  return { corners: ratio > 1 ? corners : [b, c, d, a], ratioOff };
};

/** Share of a side that a segment on it must cover, so that scraps do not make outlines. */
const leastPiece = 0.2;

/** The four corners where lines a, c, b, d meet in turn; null when they lie outside the picture or make no sensible outline. */
const ringOf = (
  a: Line,
  c: Line,
  b: Line,
  d: Line,
  map: RidgeMap,
): [Corner, Corner, Corner, Corner] | null => {
  const [p, q, r, s] = [crossing(a, c), crossing(c, b), crossing(b, d), crossing(d, a)];
  if (!p || !q || !r || !s) return null;
  const margin = 0.01 * map.widthPx;
  const ring: [Corner, Corner, Corner, Corner] = [p, q, r, s];
  if (
    ring.some(
      (k) => k.x < -margin || k.y < -margin || k.x > map.widthPx + margin || k.y > map.heightPx + margin,
    )
  ) {
    return null;
  }
  const sides = [c, b, d, a];
  for (let n = 0; n < 4; n++) {
    const from = ring[n] ?? p;
    const to = ring[(n + 1) % 4] ?? p;
    if ((sides[n]?.segment.lengthPx ?? 0) < leastPiece * Math.hypot(to.x - from.x, to.y - from.y))
      return null;
  }
  return area(ring) < 0 ? [p, s, r, q] : ring;
};

/** Most outlines that are looked at closely; beyond it the picture is all clutter. */
const mostLookedAt = 20_000;

/**
 * Finds outlines of flat rectangles of a known aspect ratio among straight edges, best supported first. Sides that run on beyond the
 * corners (cells of a grid) do not count.
 * @param camera of the picture that edges and segments are in.
 */
export const findQuads = (
  map: RidgeMap,
  segments: readonly Segment[],
  wish: QuadWish,
  camera: CameraFacts,
): Quad[] => {
  const lines = candidateLines(segments, 90);
  const least = 0.06 * Math.max(map.widthPx, map.heightPx);
  const found: Quad[] = [];
  let looked = 0;
  lines.forEach((a, i) => {
    for (const b of lines.slice(i + 1)) {
      if (Math.abs(a.nx * b.ny - a.ny * b.nx) > 0.35 || overlap(a, b) < 0.3) continue;
      const apart = Math.abs(offOf(a, (b.segment.x0 + b.segment.x1) / 2, (b.segment.y0 + b.segment.y1) / 2));
      if (apart < least) continue;
      const across = lines.filter(
        (c) =>
          Math.abs(a.nx * c.ny - a.ny * c.nx) > 0.6 &&
          lengthBetween(c.segment, a, b) > leastPiece * apart &&
          c.segment.lengthPx < 2.5 * apart,
      );
      across.forEach((c, k) => {
        for (const d of across.slice(k + 1)) {
          if (looked > mostLookedAt) return;
          const ring = ringOf(a, c, b, d, map);
          const fit = ring === null ? null : oriented(ring, wish, camera);
          if (fit === null) continue;
          looked++;
          const quad = supported(map, fit, wish);
          if (quad !== null) found.push(quad);
        }
      });
    }
  });
  return found.sort((p, q) => quadWorth(q) - quadWorth(p));
};

/** How good an outline is: its least seen sides and how well its aspect fits. */
export const quadWorth = (q: Quad): number =>
  q.support.reduce((s, v) => s * v, 1) * Math.exp(-0.5 * (q.ratioOff / 0.03) ** 2);

/** Where a side is looked at near its end, beyond any rounding of the corner. */
const sideEnd = [0.06, 0.16] as const;
/** Share of a side's end that must lie on an edge before the corner counts as seen. */
const endSupport = 0.6;

/** How many corners show where both of their sides begin: one may be covered or curl up, but a side that is not there has two ends that show nothing. */
const cornersSeen = (map: RidgeMap, corners: readonly Corner[]): number =>
  corners.filter((corner, n) =>
    [1, 3].every((step) => {
      const other = corners[(n + step) % 4] ?? corner;
      return edgeAlong(map, corner, other, sideEnd, 2).share >= endSupport;
    }),
  ).length;

const supported = (
  map: RidgeMap,
  fit: { corners: readonly [Corner, Corner, Corner, Corner]; ratioOff: number },
  wish: QuadWish,
): Quad | null => {
  const next = (n: number): Corner => fit.corners[(n + 1) % 4] ?? fit.corners[0];
  const support: number[] = [];
  let runsOn = 0;
  for (const [n, corner] of fit.corners.entries()) {
    const end = next(n);
    const halves = [edgeAlong(map, corner, end, [0.07, 0.5], 2), edgeAlong(map, corner, end, [0.5, 0.93], 2)];
    const share = halves.reduce((sum, h) => sum + h.share, 0) / 2;
    if (share < wish.leastSupport || halves.some((h) => h.share < 0.7 * wish.leastSupport)) return null;
    support.push(share);
    // A grain of the ground that runs the same way is weaker than the side; a side that goes on is not.
    const least = 0.5 * Math.min(...halves.map((h) => h.strength));
    for (const [p, q] of [
      [corner, end],
      [end, corner],
    ] as const) {
      if (edgeAlong(map, p, q, [1.04, 1.2], 1, least).share > 0.6) runsOn++;
    }
  }
  if (runsOn >= 2 || cornersSeen(map, fit.corners) < 3) return null;
  return { corners: fit.corners, support, ratioOff: fit.ratioOff };
};
