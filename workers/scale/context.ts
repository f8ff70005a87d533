import type { PhotoFacts } from '../../src/domain/measurement';
import { mapPoint } from '../../src/domain/planeFit';
import type { MeasureHints } from '../contract';
import type { WorkImage } from '../image';
import { findEdges } from './edges';
import { surestGrid } from './grid';
import { type FittedGrid, spacingOn } from './gridFit';
import type { ScaleContext } from './kind';
import { lightness, shrunk, warmth } from './pictures';
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

/** Whether a piece of edge runs along a line of the printed grid, so that it is no outline of anything. */
const onGridLine = (grid: FittedGrid, s: Segment, factor: number): boolean => {
  const h = grid.fit.photoToPlane;
  const ends = [
    [s.x0 * factor, s.y0 * factor],
    [s.x1 * factor, s.y1 * factor],
  ].map(([x = 0, y = 0]) => ({ uv: mapPoint(h, x, y), spacing: spacingOn(h, x, y) }));
  return ([0, 1] as const).some((axis) =>
    ends.every(({ uv, spacing }) => Math.abs(uv[axis] - Math.round(uv[axis])) * spacing[axis] < 6),
  );
};

/** Everything that the kinds of reference share about one photo. */
export const scaleContext = (work: WorkImage, photo: PhotoFacts, hints: MeasureHints): ScaleContext => {
  const light = once(() => lightness(work.image));
  const warm = once(() => warmth(work.image));
  const halved = once(() => {
    const longSide = Math.max(work.image.widthPx, work.image.heightPx);
    const factor = Math.max(1, Math.round(longSide / lineSearchLongSidePx));
    return { factor, image: shrunk(light(), factor) };
  });
  const lines = once(() => {
    const { image, factor } = halved();
    const ridges = findRidges(image, 1.3, 0.8);
    return {
      widthPx: image.widthPx,
      heightPx: image.heightPx,
      workPxPerPx: factor,
      segments: { light: traceSegments(ridges.light, 14, 0.5), dark: traceSegments(ridges.dark, 14, 0.5) },
    };
  });
  const edges = once(() => {
    const small = halved();
    const map = findEdges([small.image, shrunk(warm(), small.factor)], 1, 2);
    const known = context.grid();
    const segments = traceSegments(map, 25, 0.6).filter(
      (s) => known === null || !onGridLine(known, s, small.factor),
    );
    return { map, segments, workPxPerPx: small.factor };
  });
  const grid = once(() => surestGrid(context));
  const context: ScaleContext = { work, photo, hints, lightness: light, warmth: warm, lines, edges, grid };
  return context;
};
