import type { Vec } from './raster';
import type { Lattice } from './smooth';

/** The place at line numbers with parts, read between the grid's places; null outside what was read. */
export const placeAt = ({ places }: Lattice, wale: number, course: number): Vec | null => {
  const w = Math.floor(wale);
  const c = Math.floor(course);
  const s = wale - w;
  const t = course - c;
  const p = places[w]?.[c] ?? null;
  const right = s === 0 ? p : (places[w + 1]?.[c] ?? null);
  const below = t === 0 ? p : (places[w]?.[c + 1] ?? null);
  if (p === null || right === null || below === null) return null;
  return {
    x: p.x + s * (right.x - p.x) + t * (below.x - p.x),
    y: p.y + s * (right.y - p.y) + t * (below.y - p.y),
  };
};
