import type { Basis } from './basis';
import type { Reading } from './phase';
import { lengthOf, vec } from './raster';

/** Wale over course from which on the shape of the cell alone says which is which: plain fabric has 1.2 to 1.55, garter 0.85 to 1.05 (common practice). */
const clearRatio = 1.2;
/** Up to here tilt may have drawn garter out. */
const tiltedRatio = 1.35;

/** What shares of lean must differ by to tell. */
const clearly = 0.1;
/** They differ by this much on no right grid: knit legs give 1.2 one way or the other. */
const beyondDoubt = 0.6;
/** No stitch is higher than this many wales are wide, however the photo is tilted: it is several. */
const highest = 1.3;
/** A usual stitch: wales over courses. */
const usualShape = 1.35;

/**
 * Whether wales were taken for courses. Where a cell is about square its shape does not tell. What tells is that stitches are their own mirror images, left to
 * right: the yarn leans both ways along a course, so that the mean lean changes across the wale and not down it. Where this is not clear, the yarn's main
 * direction decides: a square cell is garter's, whose ridges run along the courses.
 * @param basis The steps that were read with, photo px.
 */
export const liesOnItsSide = (basis: Basis, { lean, leanDown, alongCourse }: Reading): boolean => {
  const ratio = lengthOf(basis.wale) / lengthOf(basis.course);
  const speaksFor = leanDown - lean;
  if (ratio > clearRatio)
    return speaksFor > beyondDoubt || (ratio < tiltedRatio && alongCourse < 0 && speaksFor > clearly);
  return speaksFor > (alongCourse < 0 ? -0.3 : 0.3);
};

/**
 * The lattice with several courses in each of its steps divided into as many as make a usual stitch: stripes repeat by the stripe, not by the course. Null where a step
 * is no higher than a stitch may be.
 */
export const loweredToStitches = ({ wale, course }: Basis): Basis | null => {
  const height = lengthOf(course) / lengthOf(wale);
  const parts = Math.round(height * usualShape);
  return height < highest ? null : { wale, course: vec(course.x / parts, course.y / parts) };
};

/**
 * Whether the yarn clearly leans both ways down the columns and not across them: read across its ridges, garter looks like a rib with one column in each
 * furrow, but its stitches lie on their side.
 */
export const leansDown = ({ lean, leanDown }: Reading): boolean => leanDown - lean > clearly;

/** The same lattice with wales for courses, its wales still to the right and its courses down. */
export const onItsOtherSide = ({ wale, course }: Basis): Basis => {
  const flips = Math.abs(course.x) >= Math.abs(course.y) ? course.x < 0 : course.y > 0;
  const turned = flips ? vec(-course.x, -course.y) : course;
  const down = turned.x * wale.y - turned.y * wale.x < 0 ? vec(-wale.x, -wale.y) : wale;
  return { wale: turned, course: down };
};

/** The yarn of garter runs along its ridges at least so much more than across them; the two threads of a weave are alike: 0.2 to 0.4. */
const ridgesFrom = 0.6;

/**
 * How far a fabric of square cells and no legs may be garter, 0 to 1, and not the cloth that the swatch lies on; 1 for what is no question.
 * @param ratio Wale over course.
 */
export const ridgeShare = (ratio: number, { face, alongCourse }: Reading): number =>
  face !== 'purl' || ratio > clearRatio || ratio < 1 / clearRatio
    ? 1
    : Math.min(1, Math.max(0, alongCourse) / ridgesFrom) ** 4;

/** From here on there is no doubt that the yarn runs along ridges: drawn garter comes to 0.7 to 0.92. */
const ridgesClearFrom = 0.7;
/** Garter's cells are about square: 0.85 to 1.05 wide for their height, and somewhat less or more where tilt draws them out. */
const garterRatio = { least: 0.78, most: clearRatio } as const;

/** Nor does the yarn of garter run along its ridges alone, as the grain of wood does, or the columns of a rib that are taken for rows: no known garter comes to so much. */
const mereStripes = { from: 0.94, to: 0.97 } as const;

/** How clearly a fabric's square cells are those of garter, whose ridges run along the courses, 0 to 1. */
export const ridgesShown = (
  ratio: number,
  { face, alongCourse }: Pick<Reading, 'face' | 'alongCourse'>,
): number =>
  face !== 'purl' || ratio < garterRatio.least || ratio > garterRatio.most
    ? 0
    : Math.min(1, rising(alongCourse, ridgesFrom, ridgesClearFrom)) *
      (1 - Math.min(1, rising(alongCourse, mereStripes.from, mereStripes.to)));

/** From 0 at one value to 1 at another, and on from there. */
const rising = (value: number, from: number, to: number): number => Math.max(0, (value - from) / (to - from));

/**
 * How far a reading may be the right way round, 0 to 1: where the yarn leans both ways down the columns and not across them, wales were taken for courses.
 * Garter leans either way a little.
 */
export const uprightShare = ({ lean, leanDown }: Reading): number =>
  1 - Math.min(1, Math.max(0, (leanDown - lean - beyondDoubt / 2) / (beyondDoubt / 2)));
