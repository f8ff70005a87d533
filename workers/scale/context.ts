import type { PhotoFacts } from '../../src/domain/measurement';
import type { MeasureHints } from '../contract';
import type { GreyImage, WorkImage } from '../image';
import { surestGrid } from './grid';
import type { FittedGrid } from './gridFit';
import type { EdgeSegments, FoundOutlines, LineSegments, ScaleContext } from './kind';
import { levelFrom } from './level';
import { onOpenGround } from './openGround';
import { offGrid, straightEdges } from './outlines';
import { greenness, lightness, shrunk, shrunkPlanes, warmth } from './pictures';
import { findOutlines } from './quads';
import { findRidges } from './ridges';
import type { Segment } from './segments';
import { traceSegments } from './segments';
import { withoutThinLines } from './thinLines';

/** Long side that thin lines are looked for in; finer detail only adds fabric. */
const lineSearchLongSidePx = 1000;

type Crests = ReturnType<typeof findRidges>;

/** Shortest piece of edge that counts, px, in a picture of usual size; a small picture is looked through more finely in step, down to so many px. */
const usualPiece = { px: 25, longSidePx: 800 };
const leastPiecePx = 12;
/** Shortest piece of edge in the coarse picture, px. */
const coarsePiecePx = 12;

const once = <T>(make: () => T): (() => T) => {
  let made: { value: T } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
};

/** On a printed grid every line that goes on beyond a corner counts: none is a streak of the ground. */
const outlinesAmong = (edges: EdgeSegments, grid: FittedGrid | null): FoundOutlines => ({
  widthPx: edges.map.widthPx,
  heightPx: edges.map.heightPx,
  workPxPerPx: edges.workPxPerPx,
  outlines: findOutlines(grid === null ? edges : { ...edges, pictures: [] }),
});

/** Everything that the kinds of reference share about one photo. */
export const scaleContext = (work: WorkImage, photo: PhotoFacts, hints: MeasureHints): ScaleContext => {
  const light = once(() => lightness(work.image));
  const warm = once(() => warmth(work.image));
  const green = once(() => greenness(work.image));
  const halved = once(() => {
    const longSide = Math.max(work.image.widthPx, work.image.heightPx);
    const factor = Math.max(1, Math.round(longSide / lineSearchLongSidePx));
    return { factor, planes: shrunkPlanes(work.image, factor) };
  });
  const linesIn = (
    image: GreyImage,
    workPxPerPx: number,
    keep = (crests: Crests): Crests => crests,
  ): LineSegments => {
    const ridges = keep(findRidges(image, 1.3, 0.8));
    return {
      widthPx: image.widthPx,
      heightPx: image.heightPx,
      workPxPerPx,
      segments: { light: traceSegments(ridges.light, 14, 0.5), dark: traceSegments(ridges.dark, 14, 0.5) },
    };
  };
  const lines = once(() => linesIn(halved().planes.lightness, halved().factor));
  const coarseLines = once(() => linesIn(shrunk(halved().planes.lightness, 2), 2 * halved().factor));
  const openLines = once(() => linesIn(halved().planes.lightness, halved().factor, onOpenGround));
  const edges = once(() => {
    const { factor, planes } = halved();
    const { widthPx, heightPx } = planes.lightness;
    const size = Math.min(1, Math.max(widthPx, heightPx) / usualPiece.longSidePx);
    const leastPx = Math.max(leastPiecePx, usualPiece.px * size);
    return straightEdges([planes.lightness, planes.warmth], factor, leastPx, context.grid());
  });
  const coarseEdges = once(() => {
    const { factor, planes } = halved();
    const pictures = [planes.lightness, planes.warmth, planes.greenness].map((plane) => shrunk(plane, 2));
    return straightEdges(pictures.map(withoutThinLines), 2 * factor, coarsePiecePx, null);
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
    greenness: green,
    lines,
    coarseLines,
    openLines,
    looseLines,
    edges,
    coarseEdges,
    outlines: once(() => outlinesAmong(edges(), grid())),
    coarseOutlines: once(() => outlinesAmong(coarseEdges(), grid())),
    grid,
    level: once(() => levelFrom(lines(), grid(), photo, work.image)),
    swatchAt: null,
  };
  return context;
};
