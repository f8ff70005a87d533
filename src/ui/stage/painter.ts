import type { PhotoPoint } from '../../domain/coordinates';
import type { Viewport } from './viewport';

/** What can be drawn on: a canvas of the page or one that only lies in memory. */
export type PaintContext = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

/**
 * Draws over the photo. The context's transform is already set so that one unit is one photo px; a stroke that shall be
 * `n` CSS px wide on screen needs a line width of `n / view.scale`. `density`: device px per CSS px.
 */
export type Painter = (context: PaintContext, view: Viewport, density: number) => void;

/**
 * Strokes every path twice: a dark halo below a light core, so that it reads on any yarn. Widths in CSS px. Many short paths take a
 * fraction of the time that one path of them all does.
 */
export const strokeTwice = (
  context: PaintContext,
  paths: readonly Path2D[],
  view: Viewport,
  style: { readonly core: string; readonly halo: string; readonly width: number },
): void => {
  // Round joins and caps take longer to draw and cannot be told apart on lines this thin.
  context.lineJoin = 'miter';
  context.lineCap = 'butt';
  context.strokeStyle = style.halo;
  context.lineWidth = (style.width + 1.8) / view.scale;
  for (const path of paths) context.stroke(path);
  context.strokeStyle = style.core;
  context.lineWidth = style.width / view.scale;
  for (const path of paths) context.stroke(path);
};

/** A polyline through photo points as a path; closed when asked for. */
export const pathThrough = (points: readonly PhotoPoint[], closed = false): Path2D => {
  const path = new Path2D();
  points.forEach((p, index) => {
    if (index === 0) path.moveTo(p.x, p.y);
    else path.lineTo(p.x, p.y);
  });
  if (closed && points.length > 2) path.closePath();
  return path;
};

/** Many polylines, a path each. */
export const pathsThrough = (lines: readonly (readonly PhotoPoint[])[]): Path2D[] =>
  lines.map((points) => pathThrough(points));
