import type { StitchFinding } from '../../src/domain/measurement';
import type { GrowthSeeds } from '../contract';
import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { judge, nothingFound } from './finding';
import type { Vec } from './raster';
import { readFabric } from './readFabric';

/**
 * Grows the grid from two neighbouring columns and two neighbouring rows that the user tapped: she gives the lattice, the fabric around
 * teaches the stitch. Pure; `opencvReady()` must have resolved before.
 */
export const growFromSeeds = (work: WorkImage, seeds: GrowthSeeds): StitchFinding => {
  const [left, right] = seeds.wales;
  const [above, below] = seeds.courses;
  const basis = basisBetween(
    { x: right.x - left.x, y: right.y - left.y },
    { x: below.x - above.x, y: below.y - above.y },
  );
  if (basis === null) return nothingFound();
  const { image, photoPxPerWorkPx } = work;
  const farX = image.widthPx * photoPxPerWorkPx;
  const farY = image.heightPx * photoPxPerWorkPx;
  const reading = readFabric(work, {
    basis,
    seeds: [{ x: (left.x + right.x) / 2, y: (left.y + right.y) / 2 }],
    extent: [0, farX].flatMap((x) => [0, farY].map((y) => ({ x, y }))),
    area: null,
    allowed: () => true,
    onStage: () => {},
  });
  return reading === null ? nothingFound() : judge(reading).finding;
};

/** The tapped steps, turned so that wales run right and courses down; null if they hardly differ in direction or are only a few pixels long. */
const basisBetween = (wale: Vec, course: Vec): Basis | null => {
  const cross = wale.x * course.y - wale.y * course.x;
  const lengths = Math.hypot(wale.x, wale.y) * Math.hypot(course.x, course.y);
  if (lengths < 9 || Math.abs(cross) < 0.5 * lengths) return null;
  const turnWale = Math.abs(wale.x) >= Math.abs(wale.y) ? wale.x < 0 : wale.y > 0;
  const w = turnWale ? { x: -wale.x, y: -wale.y } : wale;
  const turnCourse = w.x * course.y - w.y * course.x < 0;
  return { wale: w, course: turnCourse ? { x: -course.x, y: -course.y } : course };
};
