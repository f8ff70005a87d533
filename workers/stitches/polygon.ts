import type { Vec } from './raster';

/** Whether a point lies inside a polygon, by the even–odd rule. */
export const isInside = (p: Vec, polygon: readonly Vec[]): boolean => {
  let inside = false;
  let before = polygon[polygon.length - 1];
  for (const corner of polygon) {
    if (
      before !== undefined &&
      corner.y > p.y !== before.y > p.y &&
      p.x < ((before.x - corner.x) * (p.y - corner.y)) / (before.y - corner.y) + corner.x
    )
      inside = !inside;
    before = corner;
  }
  return inside;
};

/** Longer side of the upright box around points; 0 for none. */
export const longSideOf = (points: readonly Vec[]): number => {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return points.length === 0
    ? 0
    : Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
};
