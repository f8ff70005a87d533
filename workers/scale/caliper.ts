import { cameraPose } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import { cornerCentre } from '../../src/domain/countWindow';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { PhotoFacts, ScaleReference } from '../../src/domain/measurement';
import type { Homography, PlaneMap } from '../../src/domain/plane';
import { normalised } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import type { RgbaImage } from '../image';
import { bowShare, bowTiltShare } from './bowShare';
import { inFullPhoto, inOtherPlane } from './gridFit';
import { jawsNear, type SeenJaw } from './jawEdges';
import { jawFaces } from './jawFaces';
import { areJawsOfOne, isOutlineBeyond, sidesOf } from './jawSides';
import { gapPx, type JawLine, mostSkewRad, skewOf, togetherAs } from './jawSkew';
import type { ReferenceFinder, ScaleContext } from './kind';
import { levelOfTable } from './level';
import { planeMapFrom } from './planeMap';
import type { Corner } from './quads';
import { sameThing } from './sameThing';
import { workCamera } from './workCamera';

/** Limits of a caliper's error up to 200 mm, mm (DIN 862, outside measurement, 0.02 mm reading), and of where an edge of a jaw shows. */
const caliperLimitMm = 0.03;
const edgePx = 0.3;
/** The edge of one jaw, and how certain its direction is (standard, rad). */
interface Edge extends JawLine {
  readonly turnRad: number;
}

const jaw = (seen: SeenJaw | null, which: string): SeenJaw => {
  if (seen === null)
    throw new RangeError(
      `No straight edge was found near the ${which} point; put it on the straight edge of a jaw.`,
    );
  return seen;
};

const edgeOf = ({ view: { tap, along, across }, turnRad }: SeenJaw, at: number): Edge => ({
  middle: { x: tap.x + at * across.x, y: tap.y + at * across.y },
  along,
  turnRad,
});

/** One jaw's edge as sightings of the line u = index, work px: two places, as far apart as makes the line's direction as certain as it is seen. */
const sightingsOf = ({ middle: { x, y }, along, turnRad }: Edge, index: number): LineSighting[] =>
  [-1, 1].map((side) => {
    const t = (side * edgePx) / 2 / turnRad;
    return { x: x + t * along.x, y: y + t * along.y, axis: 0, index, group: index };
  });

/**
 * The plane of two parallel edges one opening apart, work px → openings. How the edges draw together tells the tilt along them, the rest of the photo
 * tells the rest.
 */
const fitJaws = (context: ScaleContext, first: Edge, second: Edge): PlaneFit | null => {
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
  return fitCameraToLines(sightings, start, workCamera(context), edgePx, levelOfTable(context));
};

/**
 * Where the file does not say it the focal length may be longer by this share than that of a phone's main camera (a second camera, a photo that was cropped;
 * assumed), and lengths along the tilt t are shortened by about t²/2 with t in proportion to it.
 */
const longerLens = 0.35;
const lensShare = ({ slopeX, slopeY }: CameraLevel, stated: number | null): number =>
  stated === null ? longerLens * (slopeX * slopeX + slopeY * slopeY) : 0;

/**
 * A length along a tilt that is not seen is shortened by half the square of it (pinhole camera), and edges across it do not show that, so that lengths at an angle ψ to
 * it are off by sin²ψ·s²/2: the root of the mean square over all directions, the slope s being normally distributed about nought, by the square of its standard deviation.
 */
const shortenedShare = Math.sqrt(3 * (3 / 8)) / 2;

/** Some lenses bow twice or three times as much as is usual; a caliper shows nothing of it, so more is allowed for. */
const bowedMore = 1.75;

/** The caliper itself hardly shows the tilt, so none is stated as found. */
const untilted = (plane: PlaneMap): PlaneMap => ({ ...plane, tiltRad: null });

/** A photo is framed about caliper and swatch; the swatch, being the larger, then lies about this much nearer to the photo's middle, on the other side (assumed). */
const swatchShare = 0.5;

/** Where the scale is wanted, photo px: at the swatch, or where it probably lies as long as none is known. */
const swatchFrom = ({ photo, swatchAt }: ScaleContext, jaws: readonly PhotoPoint[]): Corner => {
  if (swatchAt !== null) return swatchAt;
  const middle = { x: photo.widthPx / 2, y: photo.heightPx / 2 };
  const caliper = cornerCentre(jaws);
  return {
    x: middle.x - swatchShare * (caliper.x - middle.x),
    y: middle.y - swatchShare * (caliper.y - middle.y),
  };
};

/** The plane in mm: the edges' own uncertainty joined by the caliper's and by how high the jaws lie. */
const planeWith = (
  photo: PhotoFacts,
  fit: PlaneFit,
  lengthMm: number,
  gapShare: number,
  wantedAt: Corner,
): PlaneMap => {
  const jaws = usualFaceHeight('caliper') ?? { heightMm: 0, uncertaintyMm: 0 };
  const inMm = inOtherPlane(fit, [lengthMm, 0, 0, 0, lengthMm, 0, 0, 0, 1]);
  const cameraMm = cameraPose(inMm, photo).height.value;
  const tolerance = Math.hypot(
    caliperLimitMm / Math.sqrt(3) / lengthMm,
    jaws.uncertaintyMm / cameraMm,
    gapShare,
  );
  return untilted(planeMapFrom(inMm, photo, tolerance, jaws.heightMm, wantedAt));
};

/** A caliper is as sure as this, and too little to be trusted unasked where its edges or the camera's tilt are in doubt. */
const score = { sure: 0.6, doubtful: 0.25 };
/** A scale that is less certain than this is no ready answer, as a share (standard uncertainty). */
const mostUncertain = 0.0175;
/** Edges that are out of parallel on the table by more than so many standard uncertainties are no two edges of one pair of jaws. */
const mostStrain = 4;

/** A lens that bows turns two edges against each other by about so much, rad. */
const bowedRad = 0.0015;

/** By how many standard uncertainties two edges are out of parallel on the table. */
const strainOf = (first: Edge, second: Edge, { rad, slack }: ReturnType<typeof skewOf>): number =>
  rad / Math.hypot(first.turnRad, second.turnRad, bowedRad, slack / 3);

/** A jaw's edge is long; what could not be followed so far may be anything, px. */
const leastLengthPx = 60;
/** What looks the same on both sides, by so many grey levels, is a thread or a scratch. */
const leastLasting = 4;

/** Whether two edges look like the inner edges of both jaws of one caliper. */
const lookLikeJaws = (image: RgbaImage, jaws: readonly [SeenJaw, SeenJaw], apartPx: number): boolean => {
  const isWhole = ({ lengthPx, edge }: SeenJaw): boolean =>
    lengthPx >= leastLengthPx && edge.lasting >= leastLasting;
  const [a, b] = jaws;
  return (
    jaws.every(isWhole) &&
    areJawsOfOne(sidesOf(a.view, a.edge.at), sidesOf(b.view, b.edge.at)) &&
    !jaws.some((seen) => isOutlineBeyond(image, seen, apartPx))
  );
};

const judged = (
  jaws: readonly [SeenJaw, SeenJaw],
  alike: boolean,
  plane: PlaneMap,
  strain: number,
): { score: number; sentence: string } => {
  if (strain > mostStrain)
    return {
      score: score.doubtful,
      sentence:
        'These two edges do not run as the jaws of one caliper would here. Put the tap on the jaw’s edge: on the straight upper edge of each jaw, at about its middle.',
    };
  if (!alike)
    return {
      score: score.doubtful,
      sentence:
        'It is not clear that these are the inner edges of both jaws. Are the lines on the edges that face each other? If not, drag them there.',
    };
  if (jaws.some(({ isUnclear }) => isUnclear))
    return {
      score: score.doubtful,
      sentence:
        'A jaw shows two edges here, and it is not clear which of them is its upper one. Are the lines on the upper edges of both jaws? If not, drag them there.',
    };
  if (plane.relativeUncertainty > mostUncertain)
    return {
      score: score.doubtful,
      sentence:
        'The jaws were found, but so far from the swatch, or so much from the side, a caliper gives no good scale. Lay it close to the swatch and hold the camera square over both.',
    };
  return { score: score.sure, sentence: 'The two jaws of the caliper were found.' };
};

export const caliperKind: ReferenceFinder = {
  kind: 'caliper',
  sameWithin: sameThing,
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
    const level = levelOfTable(context);
    const seen = jawsNear(work.image, a, b, togetherAs(level, workCamera(context)));
    const jaws = [jaw(seen[0], 'first'), jaw(seen[1], 'second')] as const;
    const faces = jawFaces(jaws, lengthMm, level, workCamera(context));
    const [first, second] = [0, 1].map((k) => edgeOf(jaws[k as 0 | 1], faces.at[k as 0 | 1])) as [Edge, Edge];
    const skew = skewOf(first, second, level, workCamera(context));
    if (skew.rad > mostSkewRad + skew.slack)
      throw new RangeError(
        'These two edges are not parallel; put both points on the inner edges of the jaws.',
      );
    const inWork = fitJaws(context, first, second);
    if (inWork === null)
      throw new RangeError(
        'These two edges make no opening; put both points on the inner edges of the jaws.',
      );
    const strain = strainOf(first, second, skew);
    const fit = inFullPhoto(inWork, scale);
    const inPhoto = ({ middle: m }: Edge): PhotoPoint => photoPoint(m.x * scale, m.y * scale);
    const placed = [inPhoto(first), inPhoto(second)] as const;
    const wantedAt = swatchFrom(context, placed);
    const gapShare = Math.hypot(
      faces.gapPx / gapPx(first, second),
      lensShare(level, photo.focalLength35Mm),
      bowedMore * bowShare(photo, placed, wantedAt),
      bowedMore * bowTiltShare(photo, placed, wantedAt),
      shortenedShare * level.uncertainty ** 2,
    );
    const drawn = [first, second].map(({ middle: m, along }) =>
      [-30, 30].map((t) => photoPoint((m.x + t * along.x) * scale, (m.y + t * along.y) * scale)),
    );
    const unitPlane = untilted(planeMapFrom(fit, photo, gapShare, 0, wantedAt));
    return {
      kind: 'caliper',
      ...judged(jaws, lookLikeJaws(work.image, jaws, gapPx(first, second)), unitPlane, strain),
      outline: drawn,
      handles: placed,
      pitchMm: null,
      question: lengthMm === null ? 'length' : null,
      plane: lengthMm === null ? null : planeWith(photo, fit, lengthMm, gapShare, wantedAt),
      unitPlane,
    };
  },
};
