import type { PhotoPoint } from './coordinates';
import { clipLine } from './countWindow';
import type { CountWindow, GridLine, LineFamily, StitchGrid } from './grid';
import { linesOf } from './lineGeometry';

/** The part of a polyline inside the window, as its first and last point there; null when it never enters. */
export const insideEnds = (
  points: readonly PhotoPoint[],
  window: CountWindow,
): { readonly first: PhotoPoint; readonly last: PhotoPoint } | null => {
  const parts = clipLine(points, window);
  const first = parts[0]?.[0];
  const last = parts.at(-1)?.at(-1);
  return first && last ? { first, last } : null;
};

/** The number of a line that runs through the window, counted from 1 as the fabric is seen. */
export interface LineNumber {
  readonly line: GridLine;
  readonly number: number;
  /** Where the line enters the window. */
  readonly at: PhotoPoint;
}

/**
 * Numbers the lines of a family that run through the window: the one numbering that a person meets, beside the photo and in words.
 * Needle gaps carry no stitches and get no number.
 */
export const numbersOf = (lines: readonly GridLine[], window: CountWindow): LineNumber[] =>
  lines
    .filter((line) => line.kind === 'stitch')
    .flatMap((line) => {
      const ends = insideEnds(line.points, window);
      return ends ? [{ line, at: ends.first }] : [];
    })
    .map((entry, index) => ({ ...entry, number: index + 1 }));

/** The number that a line bears in the window, by its place in the grid; undefined for one that has none. */
export const numberOfLine = (
  grid: StitchGrid,
  window: CountWindow,
  family: LineFamily,
): ((index: number) => number | undefined) => {
  const lines = linesOf(grid, family);
  const numbers = new Map(numbersOf(lines, window).map(({ line, number }) => [line, number]));
  return (index) => {
    const line = lines[index];
    return line && numbers.get(line);
  };
};
