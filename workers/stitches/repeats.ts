import type { Vec } from './raster';
import { cellPx } from './rectify';
import type { Lattice } from './smooth';
import type { Channels } from './template';

/**
 * How alike the fabric is at a step of the grid and at parts and multiples of it, followed along the grid itself (so that bow and tilt do
 * not matter), −1 to 1. On a true grid whole steps match and parts do not.
 */
export interface Repeats {
  readonly wale: number;
  readonly twoWales: number;
  readonly course: number;
  readonly twoCourses: number;
  /** The best match at a half or a third of a wale, of a course, or half of both. */
  readonly partOfWale: number;
  readonly partOfCourse: number;
  readonly halfOfBoth: number;
}

/** Most stitches compared: more do not change the means. */
const sampleSize = 300;

/** Compares stitches with what lies whole and part steps away. Null when too few have neighbours all around. */
export const repeatsOf = (image: Channels, lattice: Lattice): Repeats | null => {
  const places = samplePlaces(lattice);
  if (places.length < 20) return null;
  const like = (n: number, m: number): number => likenessAt(image, lattice, places, n, m);
  return {
    wale: like(1, 0),
    twoWales: like(2, 0),
    course: like(0, 1),
    twoCourses: like(0, 2),
    partOfWale: Math.max(like(0.5, 0), like(1 / 3, 0)),
    partOfCourse: Math.max(like(0, 0.5), like(0, 1 / 3)),
    halfOfBoth: Math.max(like(0.5, 0.5), like(-0.5, 0.5)),
  };
};

interface Place {
  readonly wale: number;
  readonly course: number;
}

const samplePlaces = (lattice: Lattice): Place[] => {
  const all: Place[] = [];
  for (let w = 1; w < lattice.wales - 2; w++) {
    for (let c = 1; c < lattice.courses - 2; c++) {
      if (lattice.seen[w]?.[c] === true && lattice.gaps[w] !== true) all.push({ wale: w, course: c });
    }
  }
  const step = Math.max(1, Math.floor(all.length / sampleSize));
  // A step that shares no factor with the number of courses walks over the whole fabric.
  return all.filter((_, i) => i % step === 0);
};

const placeAt = (lattice: Lattice, { wale, course }: Place, n: number, m: number): Vec | null => {
  const w = Math.floor(wale + n);
  const c = Math.floor(course + m);
  const s = wale + n - w;
  const t = course + m - c;
  const p = lattice.places[w]?.[c] ?? null;
  if (p === null) return null;
  const right = s === 0 ? p : (lattice.places[w + 1]?.[c] ?? null);
  const below = t === 0 ? p : (lattice.places[w]?.[c + 1] ?? null);
  if (right === null || below === null) return null;
  return {
    x: p.x + s * (right.x - p.x) + t * (below.x - p.x),
    y: p.y + s * (right.y - p.y) + t * (below.y - p.y),
  };
};

/** Correlation of all one-cell patches with their shifted partners, taken together. */
const likenessAt = (
  image: Channels,
  lattice: Lattice,
  places: readonly Place[],
  n: number,
  m: number,
): number => {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (const place of places) {
    const p = placeAt(lattice, place, 0, 0);
    const q = placeAt(lattice, place, n, m);
    if (p === null || q === null) continue;
    const x0 = Math.round(p.x) - cellPx.width / 2;
    const y0 = Math.round(p.y) - cellPx.height / 2;
    const x1 = Math.round(q.x) - cellPx.width / 2;
    const y1 = Math.round(q.y) - cellPx.height / 2;
    if (!fits(image, x0, y0) || !fits(image, x1, y1)) continue;
    for (let y = 0; y < cellPx.height; y++) {
      const i0 = ((y0 + y) * image.widthPx + x0) * image.count;
      const i1 = ((y1 + y) * image.widthPx + x1) * image.count;
      for (let i = 0; i < cellPx.width * image.count; i++) {
        const a = image.data[i0 + i] as number;
        const b = image.data[i1 + i] as number;
        ab += a * b;
        aa += a * a;
        bb += b * b;
      }
    }
  }
  return ab / Math.sqrt(aa * bb + 1e-9);
};

const fits = (image: Channels, x: number, y: number): boolean =>
  x >= 0 && y >= 0 && x + cellPx.width <= image.widthPx && y + cellPx.height <= image.heightPx;
