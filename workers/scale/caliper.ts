import { priorFocalPx } from '../../src/domain/camera';
import { photoPoint } from '../../src/domain/coordinates';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { PhotoFacts, ScaleReference } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import type { ReferenceFinder, ScaleContext } from './kind';
import type { Corner } from './quads';
import { measureSide } from './sides';
import { levelPlane, unknownTiltShare } from './twoPoints';

/** Limits of a caliper's error up to 200 mm, mm (DIN 862, outside measurement, 0.02 mm reading), and of where an edge of a jaw shows. */
const caliperLimitMm = 0.03;
const edgePx = 0.5;
/** A tap lies within this share of the distance between the taps of the edge it means, and never needs more than so many px. */
const tapShare = 0.08;
const tapPx = { least: 6, most: 30 };
/** Half lengths of a jaw's edge that are tried about a tap, work px, longest first. */
const halfLengthsPx = [90, 60, 40, 26, 16];
const leastSeen = 0.75;
/** Jaws are parallel; seen from a slant by hand they may look this much out of it. */
const mostSkewRad = 0.06;

interface Edge {
  readonly middle: Corner;
  /** Unit vector along the edge. */
  readonly along: Corner;
}

const lineThrough = (places: readonly Corner[], roughly: Corner): Edge => {
  const n = places.length;
  const x = places.reduce((s, p) => s + p.x / n, 0);
  const y = places.reduce((s, p) => s + p.y / n, 0);
  const sum = { xx: 0, xy: 0, yy: 0 };
  for (const p of places) {
    sum.xx += (p.x - x) ** 2;
    sum.xy += (p.x - x) * (p.y - y);
    sum.yy += (p.y - y) ** 2;
  }
  // Direction of the longer axis of the scatter.
  const angle = 0.5 * Math.atan2(2 * sum.xy, sum.xx - sum.yy);
  const sign = Math.cos(angle) * roughly.x + Math.sin(angle) * roughly.y < 0 ? -1 : 1;
  return { middle: { x, y }, along: { x: sign * Math.cos(angle), y: sign * Math.sin(angle) } };
};

/** The strongest straight edge across the line of the taps near one of them, as long as it can be followed; null when there is none. */
const edgeNear = (context: ScaleContext, tap: Corner, other: Corner): Edge | null => {
  const apart = Math.hypot(other.x - tap.x, other.y - tap.y);
  const across = { x: -(other.y - tap.y) / apart, y: (other.x - tap.x) / apart };
  const searchPx = Math.min(tapPx.most, Math.max(tapPx.least, tapShare * apart));
  for (const half of halfLengthsPx) {
    if (half > apart) continue;
    const from = { x: tap.x - half * across.x, y: tap.y - half * across.y };
    const to = { x: tap.x + half * across.x, y: tap.y + half * across.y };
    const options = { searchPx, leaveOut: 0, footPx: 0 };
    const side = measureSide([context.lightness(), context.warmth()], from, to, other, options);
    if (side !== null && side.seenShare >= leastSeen) return lineThrough(side.places, across);
  }
  return null;
};

/** Distance between two nearly parallel edges, px, square to their common direction. */
const gapPx = (a: Edge, b: Edge): number => {
  // Either edge is followed as seen from the other, so they run in opposite directions.
  const x = a.along.x - b.along.x;
  const y = a.along.y - b.along.y;
  const size = Math.hypot(x, y);
  return Math.abs((b.middle.x - a.middle.x) * -y + (b.middle.y - a.middle.y) * x) / size;
};

const jaw = (edge: Edge | null, which: string): Edge => {
  if (edge === null)
    throw new RangeError(
      `No straight edge was found near the ${which} point; put it on the straight edge of a jaw.`,
    );
  return edge;
};

const skewRad = (a: Edge, b: Edge): number =>
  Math.abs(Math.asin(Math.max(-1, Math.min(1, a.along.x * b.along.y - a.along.y * b.along.x))));

/** The plane in mm: the edges' own uncertainty joined by the caliper's and by how high the jaws lie. */
const planeWith = (photo: PhotoFacts, lengthMm: number, lengthPx: number, ofEdges: number): PlaneMap => {
  const mmPerPx = lengthMm / lengthPx;
  const jaws = usualFaceHeight('caliper') ?? { heightMm: 0, uncertaintyMm: 0 };
  const cameraMm = priorFocalPx(photo).value * mmPerPx;
  const relative = Math.hypot(
    ofEdges,
    caliperLimitMm / Math.sqrt(3) / lengthMm,
    jaws.uncertaintyMm / cameraMm,
  );
  return levelPlane(mmPerPx, photo, relative, jaws.heightMm);
};

export const caliperKind: ReferenceFinder = {
  kind: 'caliper',
  find: () => [],
  correct: (context, { handles, lengthMm }): ScaleReference => {
    const { photo, work } = context;
    const scale = work.photoPxPerWorkPx;
    const [a, b] = handles.map((p): Corner => ({ x: p.x / scale, y: p.y / scale }));
    if (a === undefined || b === undefined)
      throw new RangeError('Put one point on the edge of each jaw of the caliper.');
    if (Math.hypot(b.x - a.x, b.y - a.y) < 40)
      throw new RangeError('The two jaws are too close together in this photo; open the caliper wider.');
    if (lengthMm !== null && !(lengthMm > 0))
      throw new RangeError('The caliper’s reading must be more than zero.');
    const first = jaw(edgeNear(context, a, b), 'first');
    const second = jaw(edgeNear(context, b, a), 'second');
    if (skewRad(first, second) > mostSkewRad)
      throw new RangeError(
        'These two edges are not parallel; put both points on the inner edges of the jaws.',
      );
    const lengthPx = gapPx(first, second) * scale;
    const middle = {
      x: ((first.middle.x + second.middle.x) / 2) * scale,
      y: ((first.middle.y + second.middle.y) / 2) * scale,
    };
    const ofEdges = Math.hypot((Math.SQRT2 * edgePx * scale) / lengthPx, unknownTiltShare(middle, photo));
    const placed = [first, second].map(({ middle: m }) => photoPoint(m.x * scale, m.y * scale));
    const drawn = [first, second].map(({ middle: m, along }) =>
      [-30, 30].map((t) => photoPoint((m.x + t * along.x) * scale, (m.y + t * along.y) * scale)),
    );
    return {
      kind: 'caliper',
      score: 0.6,
      outline: drawn,
      handles: placed,
      pitchMm: null,
      question: lengthMm === null ? 'length' : null,
      plane: lengthMm === null ? null : planeWith(photo, lengthMm, lengthPx, ofEdges),
      unitPlane: levelPlane(1 / lengthPx, photo, ofEdges, 0),
      sentence: 'The two jaws of the caliper were found.',
    };
  },
};
