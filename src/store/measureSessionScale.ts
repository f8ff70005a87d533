import { swatchMiddle } from '../domain/countWindow';
import type { ScaleReference } from '../domain/measurement';
import type { Swatch } from '../domain/records';
import { type ScaleDoubt, scaleDoubts } from '../domain/scaleDoubt';

/** Where the swatch is in the photo, px: the middle of the counted window, otherwise of the photo. */
export const middleOf = ({ measurement, photoFacts }: Swatch): { x: number; y: number } =>
  swatchMiddle(measurement?.stitches.window ?? null, photoFacts ?? { widthPx: 0, heightPx: 0 });

const none: readonly ScaleDoubt[] = [];

/** What speaks against lengths by a reference at the swatch; by the one in use if none is given. */
export const scaleDoubtsOf = (
  swatch: Swatch,
  reference: ScaleReference | null = swatch.scale?.reference ?? null,
): readonly ScaleDoubt[] =>
  reference ? scaleDoubts(reference, swatch.measurement?.references ?? [], middleOf(swatch)) : none;
