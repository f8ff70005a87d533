import { type PhotoPoint, photoPoint } from '../../domain/coordinates';
import type { GridEdit } from '../../domain/edits';
import type { CountWindow, GridLine, LineFamily, StitchGrid } from '../../domain/grid';
import { linesOf } from '../../domain/lineGeometry';
import { meaningOfTap, middleOf, midway, nearestOnLine } from './geometry';

/** What is marked on the photo: a line, or a place between two lines. */
export type Mark =
  | { readonly kind: 'line'; readonly family: LineFamily; readonly id: string; readonly at: PhotoPoint }
  | { readonly kind: 'between'; readonly family: LineFamily; readonly at: PhotoPoint };

/** The corrections that a marked line or place allows. */
export type Correction = 'add' | 'remove' | 'split' | 'join' | 'gap';

/** The mark that a tap sets; null when it was away from every line. */
export const markAt = (grid: StitchGrid, family: LineFamily, at: PhotoPoint): Mark | null => {
  const meaning = meaningOfTap(linesOf(grid, family), at);
  if (meaning.kind === 'away') return null;
  if (meaning.kind === 'between') return { kind: 'between', family, at };
  return {
    kind: 'line',
    family,
    id: meaning.line.id,
    at: nearestOnLine(meaning.line.points, at)?.point ?? at,
  };
};

const markOf = (family: LineFamily, line: GridLine, window: CountWindow | null): Mark | null => {
  const at = middleOf(line, window);
  return at && { kind: 'line', family, id: line.id, at };
};

/** Index of the marked line, or of the line before the marked place; −1 for neither. */
export const indexOfMark = (grid: StitchGrid, mark: Mark): number => {
  const lines = linesOf(grid, mark.family);
  if (mark.kind === 'line') return lines.findIndex((line) => line.id === mark.id);
  const distances = lines.map((line) => nearestOnLine(line.points, mark.at)?.distancePx ?? Infinity);
  const nearest = distances.indexOf(Math.min(...distances));
  const before = distances[nearest - 1] ?? Infinity;
  const after = distances[nearest + 1] ?? Infinity;
  return before < after ? nearest - 1 : nearest;
};

/** The next line of the family in the given direction, or the middle one of the window when nothing of it is marked. */
export const walkedMark = (
  grid: StitchGrid,
  window: CountWindow | null,
  mark: Mark | null,
  family: LineFamily,
  step: 1 | -1,
): Mark | null => {
  const lines = linesOf(grid, family);
  if (!mark || mark.family !== family) {
    const inWindow = lines.filter((line) => window === null || middleOf(line, window) !== null);
    const middle = inWindow[Math.floor(inWindow.length / 2)];
    return middle ? markOf(family, middle, window) : null;
  }
  const from = indexOfMark(grid, mark);
  const next = lines[mark.kind === 'between' && step === -1 ? from : from + step];
  return next ? markOf(family, next, window) : mark;
};

/** The place between the marked line and the next (or before it), for adding a line or joining two. */
export const placeBeside = (grid: StitchGrid, mark: Mark, side: 1 | -1): PhotoPoint | null => {
  if (mark.kind === 'between') return mark.at;
  const lines = linesOf(grid, mark.family);
  const index = indexOfMark(grid, mark);
  const neighbour = lines[index + side];
  const foot = neighbour && nearestOnLine(neighbour.points, mark.at)?.point;
  if (foot) return midway(mark.at, foot);
  // Beyond the last line: one step out, as far as the neighbour on the other side is away.
  const other = lines[index - side];
  const otherFoot = other && nearestOnLine(other.points, mark.at)?.point;
  return otherFoot ? photoPoint(2 * mark.at.x - otherFoot.x, 2 * mark.at.y - otherFoot.y) : null;
};

/** The edit that a correction of the marked line or place comes to; null when it makes no sense there. */
export const editFor = (grid: StitchGrid, mark: Mark, correction: Correction): GridEdit | null => {
  const { family } = mark;
  switch (correction) {
    case 'add': {
      const at = placeBeside(grid, mark, 1);
      return at && { kind: 'addLine', family, at };
    }
    case 'join': {
      const at = placeBeside(grid, mark, 1);
      return at && { kind: 'joinLines', family, at };
    }
    case 'remove':
      return mark.kind === 'line' ? { kind: 'removeLine', family, at: mark.at } : null;
    case 'split':
      return mark.kind === 'line' ? { kind: 'splitLine', family, at: mark.at } : null;
    case 'gap': {
      if (mark.kind !== 'line' || family !== 'wale') return null;
      const line = grid.wales.find((wale) => wale.id === mark.id);
      return line ? { kind: 'markNeedleGap', at: mark.at, gap: line.kind !== 'needleGap' } : null;
    }
  }
};

/** The mark after the grid has changed: on the same line, otherwise on whatever is nearest now. */
export const markAfter = (grid: StitchGrid, mark: Mark): Mark | null => {
  const lines = linesOf(grid, mark.family);
  if (mark.kind === 'line' && lines.some((line) => line.id === mark.id)) return mark;
  const nearest = lines
    .map((line) => ({ line, near: nearestOnLine(line.points, mark.at) }))
    .sort((a, b) => (a.near?.distancePx ?? Infinity) - (b.near?.distancePx ?? Infinity))[0];
  return nearest?.near
    ? { kind: 'line', family: mark.family, id: nearest.line.id, at: nearest.near.point }
    : null;
};
