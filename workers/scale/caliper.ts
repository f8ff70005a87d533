import { cameraPose } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import { photoPoint } from '../../src/domain/coordinates';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { ScaleReference } from '../../src/domain/measurement';
import type { Homography, PlaneMap } from '../../src/domain/plane';
import { normalised } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import { inFullPhoto, inOtherPlane } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { planeMapFrom } from './planeMap';
import type { Corner } from './quads';
import { measureSide } from './sides';

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
  readonly places: readonly Corner[];
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
  return { places, middle: { x, y }, along: { x: sign * Math.cos(angle), y: sign * Math.sin(angle) } };
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

/** Places of one jaw's edge as sightings of the line u = index, work px. */
const sightingsOf = (edge: Edge, index: number): LineSighting[] =>
  edge.places.map(({ x, y }) => ({ x, y, axis: 0, index, group: index }));

/**
 * The plane of two parallel edges one opening apart, work px → openings. How the edges draw together tells the tilt along them, the rest of the photo
 * tells the rest.
 */
const fitJaws = (context: ScaleContext, first: Edge, second: Edge): PlaneFit | null => {
  const { widthPx, heightPx } = context.work.image;
  const camera = { widthPx, heightPx, focalLength35Mm: context.photo.focalLength35Mm };
  const gap = gapPx(first, second);
  const { middle, along } = first;
  // Second axis along the first edge; the first axis square to it, towards the second edge.
  const towards = Math.sign((second.middle.x - middle.x) * along.y - (second.middle.y - middle.y) * along.x);
  const [ux, uy] = [towards * along.y, -towards * along.x];
  const [vx, vy] = [-uy, ux];
  const start: Homography = normalised([
    ux / gap,
    uy / gap,
    -(ux * middle.x + uy * middle.y) / gap,
    vx / gap,
    vy / gap,
    -(vx * middle.x + vy * middle.y) / gap,
    0,
    0,
    1,
  ]);
  // Nothing marks a place along the jaws; one is set, so that the plane has an origin.
  const origin: LineSighting = { ...middle, axis: 1, index: 0, group: 2 };
  const sightings = [...sightingsOf(first, 0), ...sightingsOf(second, 1), origin];
  return fitCameraToLines(sightings, start, camera, edgePx, context.level());
};

/** The caliper itself hardly shows the tilt, so none is stated as found. */
const untilted = (plane: PlaneMap): PlaneMap => ({ ...plane, tiltRad: null });

/** The plane in mm: the edges' own uncertainty joined by the caliper's and by how high the jaws lie. */
const planeWith = (context: ScaleContext, fit: PlaneFit, lengthMm: number): PlaneMap => {
  const jaws = usualFaceHeight('caliper') ?? { heightMm: 0, uncertaintyMm: 0 };
  const inMm = inOtherPlane(fit, [lengthMm, 0, 0, 0, lengthMm, 0, 0, 0, 1]);
  const cameraMm = cameraPose(inMm, context.photo).height.value;
  const tolerance = Math.hypot(caliperLimitMm / Math.sqrt(3) / lengthMm, jaws.uncertaintyMm / cameraMm);
  return untilted(planeMapFrom(inMm, context.photo, tolerance, jaws.heightMm));
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
    const inWork = fitJaws(context, first, second);
    if (inWork === null)
      throw new RangeError(
        'These two edges make no opening; put both points on the inner edges of the jaws.',
      );
    const fit = inFullPhoto(inWork, scale);
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
      plane: lengthMm === null ? null : planeWith(context, fit, lengthMm),
      unitPlane: untilted(planeMapFrom(fit, photo, 0, 0)),
      sentence: 'The two jaws of the caliper were found.',
    };
  },
};
