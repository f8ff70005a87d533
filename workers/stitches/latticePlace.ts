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

/** The same, with the first and last step between wales carried on beyond them. */
export const placeBeyond = (lattice: Lattice, wale: number, course: number): Vec | null => {
  const inner = Math.min(lattice.wales - 1, Math.max(0, wale));
  const beyond = wale - inner;
  const edge = placeAt(lattice, inner, course);
  const before = beyond === 0 ? edge : placeAt(lattice, inner - Math.sign(beyond), course);
  if (edge === null || before === null) return null;
  const steps = Math.abs(beyond);
  return { x: edge.x + steps * (edge.x - before.x), y: edge.y + steps * (edge.y - before.y) };
};
