import { cellPx } from './rectify';
import type { Lattice } from './smooth';
import type { Channels } from './template';

/**
 * How much each wale looks like the usual wale, −1 to 1: its stitches averaged into one picture, against the median picture of all. On plain
 * fabric all are near 1; a needle gap or a purl column of a rib stands out. Null for wales with fewer than four stitches inside the picture.
 */
export const waleLikeness = (image: Channels, lattice: Lattice): (number | null)[] => {
  const pictures = lattice.places.map((_, w) => meanPicture(image, lattice, w));
  const known = pictures.filter((p): p is Float32Array => p !== null);
  const usual = medianPicture(known);
  return pictures.map((p) => (p === null || usual === null ? null : correlation(p, usual)));
};

const meanPicture = (image: Channels, lattice: Lattice, wale: number): Float32Array | null => {
  const size = cellPx.width * cellPx.height * image.count;
  const sum = new Float32Array(size);
  let used = 0;
  for (const place of lattice.places[wale] ?? []) {
    if (place === null) continue;
    const x0 = Math.round(place.x) - cellPx.width / 2;
    const y0 = Math.round(place.y) - cellPx.height / 2;
    if (x0 < 0 || y0 < 0 || x0 + cellPx.width > image.widthPx || y0 + cellPx.height > image.heightPx)
      continue;
    used++;
    for (let y = 0; y < cellPx.height; y++) {
      const from = ((y0 + y) * image.widthPx + x0) * image.count;
      const to = y * cellPx.width * image.count;
      for (let i = 0; i < cellPx.width * image.count; i++)
        sum[to + i] = (sum[to + i] as number) + (image.data[from + i] as number);
    }
  }
  return used < 4 ? null : sum.map((v) => v / used);
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

const correlation = (a: Float32Array, b: Float32Array): number => {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let i = 0; i < a.length; i++) {
    ab += (a[i] as number) * (b[i] as number);
    aa += (a[i] as number) ** 2;
    bb += (b[i] as number) ** 2;
  }
  return ab / Math.sqrt(aa * bb + 1e-9);
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
