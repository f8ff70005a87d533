import { alike, meanCell } from './patches';
import { medianOf } from './raster';
import type { Lattice } from './smooth';
import type { Channels } from './template';

/**
 * How much each wale looks like the usual wale, −1 to 1: its stitches averaged into one picture, against the median picture of all. On plain
 * fabric all are near 1; a needle gap or a purl column of a rib stands out. Null for wales with fewer than four stitches inside the picture.
 */
export const waleLikeness = (image: Channels, lattice: Lattice): (number | null)[] => {
  const pictures = lattice.places.map((places) =>
    meanCell(
      image,
      places.filter((p) => p !== null),
      4,
    ),
  );
  const known = pictures.filter((p): p is Float32Array => p !== null);
  const usual = medianPicture(known);
  return pictures.map((p) => (p === null || usual === null ? null : alike(p, usual)));
};

/** Value by value the middle one, so that a few odd wales do not colour it. */
const medianPicture = (pictures: readonly Float32Array[]): Float32Array | null => {
  const first = pictures[0];
  if (first === undefined) return null;
  const middle = pictures.length >> 1;
  const values = new Float32Array(pictures.length);
  return first.map((_, i) => {
    pictures.forEach((p, k) => {
      values[k] = p[i] as number;
    });
    return values.sort()[middle] as number;
  });
};

/** Below this likeness a wale is no wale of stitches: needle gaps come out at −0.2 to 0.3, plain wales above 0.6. */
const gapLikeness = 0.4;

/** Adds to the gaps already known those wales inside the fabric that look like none; edges roll and are left alone. */
export const markGaps = (known: readonly boolean[], likeness: readonly (number | null)[]): boolean[] =>
  known.map((gap, w) => {
    const q = likeness[w] ?? null;
    const inside = w > 0 && w < known.length - 1;
    return gap || (inside && q !== null && q < gapLikeness);
  });

/**
 * Needle positions from one gap to the next, taken out in a rhythm: most of the distances are the same. Null without two gaps, and where they come as
 * they like.
 */
export const gapRhythm = (gaps: readonly boolean[]): number | null => {
  const at = gaps.flatMap((gap, w) => (gap ? [w] : []));
  const steps = at.slice(1).map((w, i) => w - (at[i] as number));
  if (steps.length < 1) return null;
  const usual = medianOf(steps);
  return steps.filter((step) => step === usual).length > 0.75 * steps.length ? usual : null;
};
