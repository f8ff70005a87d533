import type { PhotoPoint } from './coordinates';
import { clipLine } from './countWindow';
import type { CountWindow, GridLine } from './grid';

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
