import type { PhotoPoint } from './coordinates';
import type { CountWindow, GridLine, LineFamily } from './grid';

/**
 * One correction by the user. Lines are named by a place in the photo, not by an id, so that the same list of
 * corrections can be replayed on a grid that was detected again.
 */
export type GridEdit =
  /** A line the grid lacks, through this place, shaped like its neighbours. */
  | { readonly kind: 'addLine'; readonly family: LineFamily; readonly at: PhotoPoint }
  /** The line nearest to this place is no line. */
  | { readonly kind: 'removeLine'; readonly family: LineFamily; readonly at: PhotoPoint }
  /** The line nearest to `from` runs through `to` instead. */
  | {
      readonly kind: 'moveLine';
      readonly family: LineFamily;
      readonly from: PhotoPoint;
      readonly to: PhotoPoint;
    }
  /** The line nearest to this place is really two neighbours. */
  | { readonly kind: 'splitLine'; readonly family: LineFamily; readonly at: PhotoPoint }
  /** The two lines nearest to this place, one on each side, are really one. */
  | { readonly kind: 'joinLines'; readonly family: LineFamily; readonly at: PhotoPoint }
  /** The wale nearest to this place is a needle gap, or is one no longer. */
  | { readonly kind: 'markNeedleGap'; readonly at: PhotoPoint; readonly gap: boolean }
  /** A line drawn wholly by hand. */
  | { readonly kind: 'placeLine'; readonly family: LineFamily; readonly points: readonly PhotoPoint[] }
  /** The counted window gets these corners; null stands for having none. */
  | { readonly kind: 'setWindow'; readonly window: CountWindow | null }
  /** The lines of a family are exactly these: what the inverse of any other edit comes down to. */
  | { readonly kind: 'restoreLines'; readonly family: LineFamily; readonly lines: readonly GridLine[] };
