import type { PhotoPoint } from '../../domain/coordinates';
import type { Viewport } from './viewport';

/**
 * Draws over the photo. The context's transform is already set so that one unit is one photo px; a stroke that shall be
 * `n` CSS px wide on screen needs a line width of `n / view.scale`. `density`: device px per CSS px.
 */
export type Painter = (context: CanvasRenderingContext2D, view: Viewport, density: number) => void;

/** Two strokes of one path: a dark halo below a light core, so that it reads on any yarn. Widths in CSS px. */
export const strokeTwice = (
  context: CanvasRenderingContext2D,
  path: Path2D,
  view: Viewport,
  style: { readonly core: string; readonly halo: string; readonly width: number },
): void => {
  context.lineJoin = 'round';
  context.lineCap = 'round';
  context.strokeStyle = style.halo;
  context.lineWidth = (style.width + 1.8) / view.scale;
  context.stroke(path);
  context.strokeStyle = style.core;
  context.lineWidth = style.width / view.scale;
  context.stroke(path);
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

/** Many polylines as one path: one stroke call for a whole family of lines. */
export const pathOfAll = (lines: readonly (readonly PhotoPoint[])[]): Path2D => {
  const path = new Path2D();
  for (const points of lines) path.addPath(pathThrough(points));
  return path;
};
