import type { PhotoPoint } from '../../domain/coordinates';
import type { LineFamily } from '../../domain/grid';

/** A corner or side of the counted window; sides are numbered by their first corner. */
export interface HeldWindow {
  readonly kind: 'corner' | 'side';
  readonly index: number;
}

/** The marked line, held at a point of it. */
export interface HeldLine {
  readonly kind: 'line';
  readonly family: LineFamily;
  readonly from: PhotoPoint;
}

/** A handle of the reference. */
export interface HeldHandle {
  readonly kind: 'handle';
  readonly index: number;
}

/** Whatever a finger, pen or mouse can hold on the photo of the Measure screen. */
export type Held = HeldWindow | HeldLine | HeldHandle;
