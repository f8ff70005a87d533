import type { PhotoFacts } from '../../src/domain/measurement';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { MeasureHints } from '../contract';
import type { GreyImage, WorkImage } from '../image';
import { findEdges } from './edges';
import { surestGrid } from './grid';
import { type FittedGrid, spacingOn } from './gridFit';
import type { LineSegments, ScaleContext } from './kind';
import { levelFrom } from './level';
import { lightness, sampleAt, shrunk, warmth } from './pictures';
import { findRidges } from './ridges';
import type { Segment } from './segments';
import { traceSegments } from './segments';

/** Long side that thin lines are looked for in; finer detail only adds fabric. */
const lineSearchLongSidePx = 1000;

const once = <T>(make: () => T): (() => T) => {
  let made: { value: T } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
};

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

/**
 * By how much the ground differs on the two sides of a piece of edge, 3 to 9 px away from it, in the picture that shows it most. The outline of a
 * thing keeps its step; a streak of wood or a thread does not.
 */
const lastingStep = (pictures: readonly GreyImage[], s: Segment): number => {
  const dx = (s.x1 - s.x0) / s.lengthPx;
  const dy = (s.y1 - s.y0) / s.lengthPx;
  const steps = pictures.map((picture) => {
    let sum = 0;
    let count = 0;
    for (let i = 0; i < 12; i++) {
      const t = ((i + 0.5) / 12) * s.lengthPx;
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
  });
  return Math.max(...steps);
};

/** The segments that do not run along lines of the printed grid, if there is one. */
const offGrid = (
  grid: FittedGrid | null,
  segments: readonly Segment[],
  factor: number,
): readonly Segment[] => (grid === null ? segments : segments.filter((s) => !onGridLine(grid, s, factor)));

/** Everything that the kinds of reference share about one photo. */
export const scaleContext = (work: WorkImage, photo: PhotoFacts, hints: MeasureHints): ScaleContext => {
  const light = once(() => lightness(work.image));
  const warm = once(() => warmth(work.image));
  const halved = once(() => {
    const longSide = Math.max(work.image.widthPx, work.image.heightPx);
    const factor = Math.max(1, Math.round(longSide / lineSearchLongSidePx));
    return { factor, image: shrunk(light(), factor) };
  });
  const linesIn = (image: GreyImage, workPxPerPx: number): LineSegments => {
    const ridges = findRidges(image, 1.3, 0.8);
    return {
      widthPx: image.widthPx,
      heightPx: image.heightPx,
      workPxPerPx,
      segments: { light: traceSegments(ridges.light, 14, 0.5), dark: traceSegments(ridges.dark, 14, 0.5) },
    };
  };
  const lines = once(() => linesIn(halved().image, halved().factor));
  const coarseLines = once(() => linesIn(shrunk(halved().image, 2), 2 * halved().factor));
  const edges = once(() => {
    const small = halved();
    const pictures = [small.image, shrunk(warm(), small.factor)];
    const map = findEdges(pictures, 1, 2);
    const segments = offGrid(context.grid(), traceSegments(map, 25, 0.6), small.factor);
    return {
      map,
      segments: segments.map((s) => ({ ...s, strength: lastingStep(pictures, s) })),
      workPxPerPx: small.factor,
    };
  });
  const grid = once(() => surestGrid(context));
  const looseLines = once(() => {
    const all = lines();
    const keep = (segments: readonly Segment[]): readonly Segment[] =>
      offGrid(grid(), segments, all.workPxPerPx);
    return { ...all, segments: { light: keep(all.segments.light), dark: keep(all.segments.dark) } };
  });
  const context: ScaleContext = {
    work,
    photo,
    hints,
    lightness: light,
    warmth: warm,
    lines,
    coarseLines,
    looseLines,
    edges,
    grid,
    level: once(() => levelFrom(lines(), grid(), photo, work.image)),
  };
  return context;
};
