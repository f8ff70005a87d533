import type { ScaleReference } from '../domain/measurement';
import type { Swatch } from '../domain/records';
import { type ScaleDoubt, scaleDoubts } from '../domain/scaleDoubt';

/** Where the swatch is in the photo, px: the middle of the counted window, otherwise of the photo. */
export const middleOf = ({ measurement, photoFacts }: Swatch): { x: number; y: number } => {
  const corners = measurement?.stitches.window?.corners ?? [];
  const n = corners.length;
  return n > 0
    ? { x: corners.reduce((s, p) => s + p.x / n, 0), y: corners.reduce((s, p) => s + p.y / n, 0) }
    : { x: (photoFacts?.widthPx ?? 0) / 2, y: (photoFacts?.heightPx ?? 0) / 2 };
};

const none: readonly ScaleDoubt[] = [];

/** What speaks against lengths by a reference at the swatch; by the one in use if none is given. */
export const scaleDoubtsOf = (
  swatch: Swatch,
  reference: ScaleReference | null = swatch.scale?.reference ?? null,
): readonly ScaleDoubt[] =>
  reference ? scaleDoubts(reference, swatch.measurement?.references ?? [], middleOf(swatch)) : none;
