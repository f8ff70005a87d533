import type { Homography } from './plane';
import {
  choleskyFactor,
  choleskySolve,
  conditioner,
  determinant3,
  mapPoint,
  multiply3,
  normalised,
  unconditioner,
} from './planeFitAlgebra';

/**
 * Homography that carries four or more points onto four or more others: the linear system with the last entry 1, solved by least squares in
 * conditioned coordinates (R. Hartley & A. Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2 with equation 4.5).
 * @returns null when three of four points lie on a line or there are too few.
 */
export const homographyFromPoints = (
  from: readonly { x: number; y: number }[],
  to: readonly { x: number; y: number }[],
): Homography | null => {
  const n = Math.min(from.length, to.length);
  if (n < 4) return null;
  const a = conditioner(from);
  const b = conditioner(to);
  const matrix = new Array<number>(64).fill(0);
  const right = new Array<number>(8).fill(0);
  const add = (row: readonly number[], value: number): void => {
    for (let i = 0; i < 8; i++) {
      right[i] = (right[i] ?? 0) + (row[i] ?? 0) * value;
      for (let j = 0; j < 8; j++)
        matrix[8 * i + j] = (matrix[8 * i + j] ?? 0) + (row[i] ?? 0) * (row[j] ?? 0);
    }
  };
  for (let i = 0; i < n; i++) {
    const [x, y] = mapPoint(a, from[i]?.x ?? 0, from[i]?.y ?? 0);
    const [u, v] = mapPoint(b, to[i]?.x ?? 0, to[i]?.y ?? 0);
    add([x, y, 1, 0, 0, 0, -u * x, -u * y], u);
    add([0, 0, 0, x, y, 1, -v * x, -v * y], v);
  }
  const factor = choleskyFactor(matrix, 8);
  if (factor === null) return null;
  const h = [...choleskySolve(factor, 8, right), 1];
  // In conditioned coordinates all entries are about 1; a vanishing determinant flattens the plane.
  if (Math.abs(determinant3(h)) < 1e-9) return null;
  const result = normalised(multiply3(unconditioner(b), multiply3(h, a)));
  return result.every(Number.isFinite) ? result : null;
};

/**
 * Homography that carries the unit square (0,0) (1,0) (1,1) (0,1) onto four corners in that order, in closed form.
 * Source: P. Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989, section 2.2.3.
 * @returns null when the corners are no four-sided figure.
 */
export const squareToQuad = (corners: readonly [Corner2, Corner2, Corner2, Corner2]): Homography | null => {
  const [p0, p1, p2, p3] = corners;
  const sx = p0.x - p1.x + p2.x - p3.x;
  const sy = p0.y - p1.y + p2.y - p3.y;
  const dx1 = p1.x - p2.x;
  const dx2 = p3.x - p2.x;
  const dy1 = p1.y - p2.y;
  const dy2 = p3.y - p2.y;
  const det = dx1 * dy2 - dx2 * dy1;
  if (Math.abs(det) < 1e-12) return null;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return [
    p1.x - p0.x + g * p1.x,
    p3.x - p0.x + h * p3.x,
    p0.x,
    p1.y - p0.y + g * p1.y,
    p3.y - p0.y + h * p3.y,
    p0.y,
    g,
    h,
    1,
  ];
};

/** A corner of a figure in any plane. */
export interface Corner2 {
  readonly x: number;
  readonly y: number;
}
