import type { PhotoPoint } from '../../src/domain/coordinates';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { jacobianAt, multiply3 } from '../../src/domain/planeFitAlgebra';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import { type FittedGrid, refineGrid } from './gridFit';
import type { LineSegments, ScaleContext } from './kind';
import { guessLattice } from './lattice';
import type { Polarity } from './ridges';
import type { Segment } from './segments';
import type { Bundle, Projective } from './vanishing';

/** Segments that run, at their place, the way the grid through the four handles does. */
const alongHandles = (lines: LineSegments, polarity: Polarity, h: Homography, axis: 0 | 1): Segment[] =>
  lines.segments[polarity].filter((s) => {
    const [ux, uy, vx, vy] = jacobianAt(h, (s.x0 + s.x1) / 2, (s.y0 + s.y1) / 2);
    const [gx, gy] = axis === 0 ? [ux, uy] : [vx, vy];
    const off = ((s.x1 - s.x0) * gx + (s.y1 - s.y0) * gy) / (s.lengthPx * Math.hypot(gx, gy));
    return Math.abs(off) < slackBesideHandles;
  });

/** Sine of the largest angle between a grid line and the direction that roughly placed handles give it. */
const slackBesideHandles = 0.06;

/** Where the lines of one axis of a plane meet in the picture, in the form that bundles use. */
const meetingPoint = (h: Homography, axis: 0 | 1, lines: LineSegments): Projective => {
  const m = invertHomography(h);
  const k = axis === 0 ? 1 : 0;
  const half = Math.hypot(lines.widthPx, lines.heightPx) / 2;
  const w = m[6 + k] ?? 0;
  return [
    ((m[k] ?? 0) - (lines.widthPx / 2) * w) / half,
    ((m[3 + k] ?? 0) - (lines.heightPx / 2) * w) / half,
    w,
  ];
};

/** The grids, of light or of dark lines, whose lines run as four corrected handles in order around a rectangle say. */
export const gridsAt = (context: ScaleContext, handles: readonly PhotoPoint[]): FittedGrid[] => {
  const lines = context.lines();
  const shrink = 1 / (context.work.photoPxPerWorkPx * lines.workPxPerPx);
  const corners = handles.map((p) => ({ x: p.x * shrink, y: p.y * shrink }));
  const square = [
    { x: 0, y: 0 },
    { x: 1, y: 0 },
    { x: 1, y: 1 },
    { x: 0, y: 1 },
  ];
  const h = homographyFromPoints(corners, square);
  if (h === null) return [];
  const camera = {
    widthPx: lines.widthPx,
    heightPx: lines.heightPx,
    focalLength35Mm: context.photo.focalLength35Mm,
  };
  return (['light', 'dark'] as const).flatMap((polarity) => {
    const [a, b] = ([0, 1] as const).map((axis): Bundle => {
      const members = alongHandles(lines, polarity, h, axis);
      return {
        point: meetingPoint(h, axis, lines),
        members,
        supportPx: members.reduce((s, m) => s + m.lengthPx, 0),
      };
    });
    const guess = a && b ? guessLattice([a, b], camera) : null;
    if (guess === null) return [];
    const start = multiply3(guess.toLattice, [
      1 / lines.workPxPerPx,
      0,
      0,
      0,
      1 / lines.workPxPerPx,
      0,
      0,
      0,
      1,
    ]);
    const grid = refineGrid(context.lightness(), start, polarity);
    return grid === null ? [] : [grid];
  });
};
