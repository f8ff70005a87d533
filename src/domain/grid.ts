import type { PhotoPoint } from './coordinates';

/** Which family a line belongs to: a wale (column of stitches) or a course (row of stitches). */
export type LineFamily = 'wale' | 'course';

/**
 * One wale or course as a polyline through its stitches, in photo px, ordered along the line.
 * Wales run from the first course to the last, courses from the first wale to the last.
 * A line of kind `needleGap` is a needle position that shows no stitch: an empty needle (mock rib), or a purl column of a rib.
 */
export interface GridLine {
  /** Stable while the grid lives; unique in its family. */
  readonly id: string;
  readonly kind: 'stitch' | 'needleGap';
  /** What stands on a needle position that shows no stitch, where the photo tells; absent for an empty needle and where it does not. */
  readonly holds?: 'purl';
  readonly points: readonly PhotoPoint[];
  /** How the line came to be. */
  readonly origin: 'detected' | 'placed';
}

/**
 * The stitch grid: wales ordered left to right and courses ordered top to bottom as the upright fabric is seen; the whole-number
 * index of a wale or course is its place in the list.
 */
export interface StitchGrid {
  readonly wales: readonly GridLine[];
  readonly courses: readonly GridLine[];
}

/** The area that is counted: a convex polygon in photo px (four corners unless the user drew it otherwise). */
export interface CountWindow {
  readonly corners: readonly PhotoPoint[];
}

/** Which face of a plain fabric the photo shows. */
export type Face = 'knit' | 'purl' | 'unknown';
