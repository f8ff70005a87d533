import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { RidgeMap } from './ridges';
import { angleBetween, type Segment } from './segments';

/**
 * A straight line through the picture that may carry a side of something, with what lies along it: steps of one px, step 0 being the point of the line
 * nearest to the picture's origin moved by `from`. Sums run up to and without the step of their index, so that any stretch is judged by two look-ups.
 */
export interface SideLine {
  /** Unit direction. */
  readonly dx: number;
  readonly dy: number;
  /** Distance from the origin along the normal (−dy, dx). */
  readonly d: number;
  /** Length along the direction of the first step, px. */
  readonly from: number;
  /** Steps with an edge of the line's direction under them. */
  readonly met: Uint16Array;
  /** Steps that a traced piece of edge covers. */
  readonly traced: Uint16Array;
  /** Sums of ln of the strengths of the edges met. */
  readonly strength: Float32Array;
}

/** A line as it is gathered from pieces of edge that lie on one another's way. */
interface Gathered {
  readonly dx: number;
  readonly dy: number;
  readonly d: number;
  readonly pieces: Segment[];
  worth: number;
}

/** Contrast beyond this makes an edge no likelier to be a side, grey levels. */
const enoughContrast = 60;
/** The half circle of directions is cut into this many parts, each with its own candidates, so that streaks one way do not crowd out sides the other way. */
const directionParts = 6;
/** Pieces of edge lie on one line where both ends are this near to it, px. */
const onLinePx = 1.5;
/** Edges count that lie this near to a line, px, and turn by no more than so much from it, rad. */
const besidePx = 2;
const besideRad = 0.2;

const worthOf = (s: Segment): number => s.lengthPx * Math.min(enoughContrast, s.strength) ** 2;

const isOn = ({ dx, dy, d }: Gathered, s: Segment): boolean =>
  Math.abs(dx * s.y0 - dy * s.x0 - d) < onLinePx && Math.abs(dx * s.y1 - dy * s.x1 - d) < onLinePx;

/** The most promising lines of every direction: long and clear ones; pieces on the way of a better one belong to it. */
const gathered = (segments: readonly Segment[], most: number): Gathered[] => {
  const parts = Array.from({ length: directionParts }, (): Gathered[] => []);
  for (const s of [...segments].sort((a, b) => worthOf(b) - worthOf(a))) {
    const [dx, dy] = [(s.x1 - s.x0) / s.lengthPx, (s.y1 - s.y0) / s.lengthPx];
    const part = Math.floor((directionParts * (Math.atan2(dy, dx) + Math.PI)) / Math.PI) % directionParts;
    const near = [0, 1, directionParts - 1].flatMap((k) => parts[(part + k) % directionParts] ?? []);
    const same = near.find((line) => isOn(line, s));
    if (same === undefined) {
      parts[part]?.push({ dx, dy, d: dx * s.y0 - dy * s.x0, pieces: [s], worth: worthOf(s) });
    } else {
      same.pieces.push(s);
      same.worth += worthOf(s);
    }
  }
  const better = (a: Gathered, b: Gathered): number => b.worth - a.worth;
  return parts
    .flatMap((part) => part.sort(better).slice(0, Math.ceil(most / 3)))
    .sort(better)
    .slice(0, most);
};

/** The first and last whole px of a line inside the picture, along it. */
const insidePicture = ({ dx, dy, d }: Gathered, { widthPx, heightPx }: RidgeMap): [number, number] => {
  let [from, to] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (const [start, step, end] of [
    [-dy * d, dx, widthPx],
    [dx * d, dy, heightPx],
  ] as const) {
    if (Math.abs(step) < 1e-9) continue;
    const [p, q] = [-start / step, (end - start) / step];
    from = Math.max(from, Math.min(p, q));
    to = Math.min(to, Math.max(p, q));
  }
  return [Math.floor(from), Math.max(Math.floor(from), Math.ceil(to))];
};

/** The strongest edge of a line's direction beside one of its points; 0 where there is none. */
const edgeBeside = (map: RidgeMap, x: number, y: number, dx: number, dy: number, angle: number): number => {
  let strongest = 0;
  for (let k = -besidePx; k <= besidePx; k++) {
    const px = Math.floor(x - k * dy);
    const py = Math.floor(y + k * dx);
    if (px < 0 || py < 0 || px >= map.widthPx || py >= map.heightPx) continue;
    const i = py * map.widthPx + px;
    const strength = map.strength[i] as number;
    if (strength > strongest && angleBetween(map.angle[i] as number, angle) < besideRad) strongest = strength;
  }
  return strongest;
};

const withEdges = (map: RidgeMap, line: Gathered): SideLine => {
  const { dx, dy, d, pieces } = line;
  const [from, to] = insidePicture(line, map);
  const count = to - from + 1;
  const covered = new Uint8Array(count);
  for (const s of pieces) {
    const [p, q] = [dx * s.x0 + dy * s.y0 - from, dx * s.x1 + dy * s.y1 - from];
    covered.fill(1, Math.max(0, Math.round(Math.min(p, q))), Math.max(0, Math.round(Math.max(p, q))));
  }
  const met = new Uint16Array(count + 1);
  const traced = new Uint16Array(count + 1);
  const strength = new Float32Array(count + 1);
  const angle = Math.atan2(dy, dx);
  for (let i = 0; i < count; i++) {
    const t = from + i;
    const edge = edgeBeside(map, t * dx - d * dy, t * dy + d * dx, dx, dy, angle);
    met[i + 1] = (met[i] as number) + (edge > 0 ? 1 : 0);
    traced[i + 1] = (traced[i] as number) + (covered[i] as number);
    strength[i + 1] = (strength[i] as number) + (edge > 0 ? Math.log(edge) : 0);
  }
  return { dx, dy, d, from, met, traced, strength };
};

/**
 * Lines that may carry the sides of an outline, from pieces of edge.
 * @param most lines that are handed back.
 */
export const sideLines = (map: RidgeMap, segments: readonly Segment[], most: number): SideLine[] =>
  gathered(segments, most).map((line) => withEdges(map, line));

const indexAt = (line: SideLine, t: number): number =>
  Math.max(0, Math.min(line.met.length - 1, Math.round(t - line.from)));

/** Share of the stretch between two places on a line (px along it) that carries an edge; what lies outside the picture carries none. */
export const edgeShare = (line: SideLine, s: number, t: number): number => {
  const [i, j] = [indexAt(line, Math.min(s, t)), indexAt(line, Math.max(s, t))];
  return ((line.met[j] as number) - (line.met[i] as number)) / Math.max(1, Math.round(Math.abs(t - s)));
};

/** Share of a stretch that traced pieces cover. */
export const tracedShare = (line: SideLine, s: number, t: number): number => {
  const [i, j] = [indexAt(line, Math.min(s, t)), indexAt(line, Math.max(s, t))];
  return ((line.traced[j] as number) - (line.traced[i] as number)) / Math.max(1, Math.abs(t - s));
};

/**
 * Share of a stretch that carries an edge about as strong as that of a side of the same line. A grain of the ground that runs the same way is weaker than the
 * side; a side that goes on is not.
 */
export const runsBeyond = (
  line: SideLine,
  side: readonly [number, number],
  stretch: readonly [number, number],
): number => {
  const indices = ([s, t]: readonly [number, number]): [number, number] => [
    indexAt(line, Math.min(s, t)),
    indexAt(line, Math.max(s, t)),
  ];
  const { met, strength } = line;
  const [i, j] = indices(side);
  const usual =
    ((strength[j] as number) - (strength[i] as number)) /
    Math.max(1, (met[j] as number) - (met[i] as number));
  const [p, q] = indices(stretch);
  let count = 0;
  for (let k = p; k < q; k++) {
    if (met[k + 1] === met[k]) continue;
    if ((strength[k + 1] as number) - (strength[k] as number) > usual - Math.LN2) count++;
  }
  return count / Math.max(1, Math.round(Math.abs(stretch[1] - stretch[0])));
};

/** The ground is looked at so far to both sides of a line, px, in so many places of a stretch. */
const groundPx = [3, 5];
const groundPlaces = 12;

/** By how much the ground on one side of a stretch differs from that on the other, grey levels in each picture, always read the same way across the line. */
export const parted = (
  pictures: readonly GreyImage[],
  { dx, dy, d }: SideLine,
  [s, t]: readonly [number, number],
): number[] =>
  pictures.map((picture) => {
    let sum = 0;
    let count = 0;
    for (let k = 0; k < groundPlaces; k++) {
      const along = s + ((t - s) * (k + 0.5)) / groundPlaces;
      const [x, y] = [along * dx - d * dy, along * dy + d * dx];
      for (const off of groundPx) {
        const step =
          sampleAt(picture, x - off * dy, y + off * dx) - sampleAt(picture, x + off * dy, y - off * dx);
        if (Number.isNaN(step)) continue;
        sum += step;
        count++;
      }
    }
    return count === 0 ? 0 : sum / count;
  });
