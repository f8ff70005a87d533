import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { GreyImage } from '../image';
import { findEdges } from './edges';
import { type FittedGrid, spacingOn } from './gridFit';
import type { EdgeSegments } from './kind';
import { sampleAt } from './pictures';
import { type Segment, traceSegments } from './segments';

/** How near to a grid line, px, its own edges lie. */
const besideLinePx = 6;

/** Whether a piece of edge runs along one line of the printed grid from end to end, so that it is no outline of anything. */
const onGridLine = (grid: FittedGrid, s: Segment, factor: number): boolean => {
  const h = grid.fit.photoToPlane;
  const along = [0, 0.25, 0.5, 0.75, 1].map((t) => {
    const x = (s.x0 + t * (s.x1 - s.x0)) * factor;
    const y = (s.y0 + t * (s.y1 - s.y0)) * factor;
    return { uv: mapPoint(h, x, y), spacing: spacingOn(h, x, y) };
  });
  return ([0, 1] as const).some((axis) => {
    const index = Math.round(along[2]?.uv[axis] ?? 0);
    return along.every(({ uv, spacing }) => Math.abs(uv[axis] - index) * spacing[axis] < besideLinePx);
  });
};

/** The segments that do not run along lines of the printed grid, if there is one. */
export const offGrid = (
  grid: FittedGrid | null,
  segments: readonly Segment[],
  factor: number,
): readonly Segment[] => (grid === null ? segments : segments.filter((s) => !onGridLine(grid, s, factor)));

/** A piece of edge is judged in so many parts: a stripe of print or a shadow's edge may turn its step over on the way. */
const stepParts = 3;

/**
 * By how much the ground differs on the two sides of a piece of edge, 3 to 9 px away from it, in the picture that shows it most. The outline of a
 * thing keeps its step; a streak of wood or a thread does not.
 */
const lastingStep = (pictures: readonly GreyImage[], s: Segment): number => {
  const dx = (s.x1 - s.x0) / s.lengthPx;
  const dy = (s.y1 - s.y0) / s.lengthPx;
  const partOf = (picture: GreyImage, part: number): number => {
    let sum = 0;
    let count = 0;
    for (let i = 0; i < 4; i++) {
      const t = ((part + (i + 0.5) / 4) / stepParts) * s.lengthPx;
      for (let off = 3; off <= 9; off += 2) {
        const [x, y] = [s.x0 + t * dx, s.y0 + t * dy];
        const step =
          sampleAt(picture, x - off * dy, y + off * dx) - sampleAt(picture, x + off * dy, y - off * dx);
        if (Number.isNaN(step)) continue;
        sum += step;
        count++;
      }
    }
    return count === 0 ? 0 : Math.abs(sum / count);
  };
  const steps = pictures.map((picture) => {
    let sum = 0;
    for (let part = 0; part < stepParts; part++) sum += partOf(picture, part);
    return sum / stepParts;
  });
  return Math.max(...steps);
};

/**
 * Straight edges in pictures of one size, weighed by how much the ground differs on their two sides; those of a printed grid are left out.
 * @param workPxPerPx work px per px of the pictures.
 * @param leastPx shortest piece that counts.
 */
export const straightEdges = (
  pictures: readonly GreyImage[],
  workPxPerPx: number,
  leastPx: number,
  grid: FittedGrid | null,
): EdgeSegments => {
  const map = findEdges(pictures, 1, 2);
  const segments = offGrid(grid, traceSegments(map, leastPx, 0.6), workPxPerPx);
  return {
    map,
    segments: segments.map((s) => ({ ...s, strength: lastingStep(pictures, s) })),
    workPxPerPx,
    pictures,
  };
};
