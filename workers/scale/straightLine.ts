import type { Corner } from './quads';

/** A straight line: the points with nx·x + ny·y = d, the normal being a unit vector. */
export interface StraightLine {
  readonly nx: number;
  readonly ny: number;
  readonly d: number;
}

/** The line nearest to some places, by the squares of their distances. */
export const lineThrough = (places: readonly Corner[]): StraightLine => {
  const n = places.length;
  const mx = places.reduce((s, p) => s + p.x, 0) / n;
  const my = places.reduce((s, p) => s + p.y, 0) / n;
  const xx = places.reduce((s, p) => s + (p.x - mx) ** 2, 0);
  const xy = places.reduce((s, p) => s + (p.x - mx) * (p.y - my), 0);
  const yy = places.reduce((s, p) => s + (p.y - my) ** 2, 0);
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  const [nx, ny] = [-Math.sin(angle), Math.cos(angle)];
  return { nx, ny, d: nx * mx + ny * my };
};

/** Where two lines meet. */
export const meeting = (a: StraightLine, b: StraightLine): Corner => {
  const det = a.nx * b.ny - a.ny * b.nx;
  return { x: (a.d * b.ny - b.d * a.ny) / det, y: (a.nx * b.d - b.nx * a.d) / det };
};

/** The point of a line that is nearest to a place. */
export const nearestOn = ({ nx, ny, d }: StraightLine, { x, y }: Corner): Corner => {
  const off = nx * x + ny * y - d;
  return { x: x - off * nx, y: y - off * ny };
};
