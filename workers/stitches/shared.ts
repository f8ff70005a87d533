import { meanCell, withoutColumnMeans } from './patches';
import type { Vec } from './raster';
import type { Lattice } from './smooth';
import type { Channels } from './template';

/** Stitches that tell enough, about. */
const enough = 800;
/** Fewer tell nothing. */
const least = 20;

/**
 * How much of what changes down the wales all stitches of a grid share, as a part of all that changes there: 0 to 1, about 0 where stitches are alike by chance.
 * It is the mean inner product of two different stitches over the mean square of one, taken at the places of the smooth grid, not at those that look most alike.
 * The plies of a marl run along the legs: a grid that has caught their beat instead of the stitches' is even and looks like itself all over, but little of it
 * changes in step from course to course. Null with too few stitches.
 * @param image The yarn's direction in the straightened picture.
 */
export const sharedDownTheWales = (image: Channels, lattice: Lattice): number | null => {
  const all = placesIn(lattice);
  const apart = Math.max(1, Math.floor(all.length / enough));
  const places = all.filter((_, i) => i % apart === 0);
  const mean = meanCell(image, places, least);
  if (mean === null) return null;
  let energy = 0;
  let count = 0;
  for (const place of places) {
    const cell = meanCell(image, [place], 1);
    if (cell === null) continue;
    energy += squares(withoutColumnMeans(cell, image.count));
    count++;
  }
  if (energy === 0) return null;
  const single = energy / count;
  const ofMean = squares(withoutColumnMeans(mean, image.count));
  // The square of a mean holds each stitch's own square once: without it, what is left is the mean product of two.
  return (count * ofMean - single) / (count - 1) / single;
};

const squares = (values: Float32Array): number => {
  let sum = 0;
  for (const v of values) sum += v * v;
  return sum;
};

/** Where stitches were seen, but for the outermost and for empty needle positions. */
const placesIn = ({ wales, courses, places, seen, gaps }: Lattice): Vec[] => {
  const all: Vec[] = [];
  for (let wale = 1; wale < wales - 1; wale++) {
    if (gaps[wale] === true) continue;
    for (let course = 1; course < courses - 1; course++) {
      const place = places[wale]?.[course] ?? null;
      if (place !== null && seen[wale]?.[course] === true) all.push(place);
    }
  }
  return all;
};
