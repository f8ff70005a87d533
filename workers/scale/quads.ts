import { axesOf, type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import { squareToQuad } from '../../src/domain/planeFit';
import type { RidgeMap } from './ridges';
import type { Segment } from './segments';

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

/** Share of the way from `a` to `b` (between the shares `from` and `to` of it) that has an edge of that direction under it. */
export const edgeShare = (
  map: RidgeMap,
  a: Corner,
  b: Corner,
  from: number,
  to: number,
  nearPx: number,
): number => {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const dx = (b.x - a.x) / length;
  const dy = (b.y - a.y) / length;
  const angle = Math.atan2(dy, dx);
  let looked = 0;
  let met = 0;
  for (let t = from * length; t < to * length; t += 3) {
    const x = a.x + t * dx;
    const y = a.y + t * dy;
    looked++;
    for (let k = -nearPx; k <= nearPx; k++) {
      const px = Math.floor(x - k * dy);
      const py = Math.floor(y + k * dx);
      if (px < 0 || py < 0 || px >= map.widthPx || py >= map.heightPx) continue;
      const i = py * map.widthPx + px;
      if (map.strength[i] === 0) continue;
      const turn = Math.abs((map.angle[i] as number) - angle) % Math.PI;
      if (Math.min(turn, Math.PI - turn) < 0.2) {
        met++;
        break;
      }
    }
  }
  return looked === 0 ? 0 : met / looked;
};

/** Share of the shorter segment that lies beside the other, along the first one's direction. */
const overlap = (a: Line, b: Line): number => {
  const along = (x: number, y: number): number => a.ny * x - a.nx * y;
  const [p0, p1] = [along(a.segment.x0, a.segment.y0), along(a.segment.x1, a.segment.y1)];
  const [q0, q1] = [along(b.segment.x0, b.segment.y0), along(b.segment.x1, b.segment.y1)];
  const shared = Math.min(Math.max(p0, p1), Math.max(q0, q1)) - Math.max(Math.min(p0, p1), Math.min(q0, q1));
  return shared / Math.min(a.segment.lengthPx, b.segment.lengthPx);
};

/** Whether segment `s` lies between two lines, as the side of an outline does; a little beyond is let pass. */
const liesBetween = (s: Segment, a: Line, b: Line, slack: number): boolean => {
  const toB = Math.sign(offOf(a, (b.segment.x0 + b.segment.x1) / 2, (b.segment.y0 + b.segment.y1) / 2));
  const toA = Math.sign(offOf(b, (a.segment.x0 + a.segment.x1) / 2, (a.segment.y0 + a.segment.y1) / 2));
  return (
    offOf(a, s.x0, s.y0) * toB > -slack &&
    offOf(a, s.x1, s.y1) * toB > -slack &&
    offOf(b, s.x0, s.y0) * toA > -slack &&
    offOf(b, s.x1, s.y1) * toA > -slack
  );
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

const candidateLines = (segments: readonly Segment[], most: number): Line[] =>
  [...segments]
    .sort((a, b) => b.lengthPx * Math.sqrt(b.strength) - a.lengthPx * Math.sqrt(a.strength))
    .slice(0, most)
    .map(asLine);

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
  const { ratio, cosine } = axesOf(h, camera, priorFocalPx(camera).value);
  const ratioOff = Math.abs(Math.log(ratio)) - Math.log(wish.aspect);
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
const mostLookedAt = 4000;

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
  const lines = candidateLines(segments, 120);
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
          c.segment.lengthPx > leastPiece * apart &&
          c.segment.lengthPx < 1.2 * apart &&
          liesBetween(c.segment, a, b, 0.05 * apart + 2),
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

const supported = (
  map: RidgeMap,
  fit: { corners: readonly [Corner, Corner, Corner, Corner]; ratioOff: number },
  wish: QuadWish,
): Quad | null => {
  const next = (n: number): Corner => fit.corners[(n + 1) % 4] ?? fit.corners[0];
  const support: number[] = [];
  for (const [n, corner] of fit.corners.entries()) {
    const share = edgeShare(map, corner, next(n), 0.07, 0.93, 2);
    if (share < wish.leastSupport) return null;
    support.push(share);
  }
  const runsOn = fit.corners.filter(
    (corner, n) =>
      edgeShare(map, corner, next(n), 1.04, 1.2, 1) > 0.6 ||
      edgeShare(map, next(n), corner, 1.04, 1.2, 1) > 0.6,
  );
  return runsOn.length >= 2 ? null : { corners: fit.corners, support, ratioOff: fit.ratioOff };
};
