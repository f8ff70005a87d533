import { useMemo } from 'react';
import { type FlatMap, layFlat, type Sheet, sheetOf } from '../../../domain/compareViewFlat';
import type { ScaleReference, StitchFinding } from '../../../domain/measurement';
import type { SideReading } from '../../../store/compareReading';

/** The level at which the pictures are true to size: the fabric's face, or the mat that it lies on. */
export type TrueLevel = 'fabric' | 'mat';

/** A side that can be laid flat. */
export interface FlatSide {
  readonly map: FlatMap;
  /** By how much the fabric looks larger than it is, on the reference's plane. */
  readonly factor: number;
}

/** Laid flat once: a correction of lines must not move the picture under the finger. */
const known = new WeakMap<ScaleReference, { finding: StitchFinding; side: FlatSide | null }>();

const flatSideOf = ({ swatch, derived, plane, result }: SideReading): FlatSide | null => {
  const reference = swatch.scale?.reference;
  const finding = swatch.measurement?.stitches;
  if (!reference || !finding || !plane || !derived.window) return null;
  const before = known.get(reference);
  if (before && before.finding === finding && before.side) return before.side;
  const map = layFlat({
    grid: finding.grid ?? derived.grid,
    window: finding.window ?? derived.window,
    region: finding.region,
    plane,
    widthPx: swatch.photoFacts?.widthPx ?? 1,
    heightPx: swatch.photoFacts?.heightPx ?? 1,
  });
  const side = map && { map, factor: result?.parallax.scaleFactor ?? 1 };
  known.set(reference, { finding, side });
  return side;
};

/** The sheet that all pictures lie on; null while one of them cannot be laid flat. */
export const useSheet = (readings: readonly SideReading[], level: TrueLevel): Sheet | null => {
  const sides = readings.map(flatSideOf);
  // The sides are kept objects, so that the sheet stays the same while lines are corrected.
  // biome-ignore lint/correctness/useExhaustiveDependencies: the list is new each time, its members are not
  return useMemo(() => {
    const flat = sides.flatMap((side) => (side ? [side] : []));
    if (flat.length < sides.length || flat.length === 0) return null;
    return sheetOf(
      flat.map(({ map }) => map),
      flat.map(({ factor }) => (level === 'fabric' ? factor : 1)),
    );
  }, [level, ...sides]);
};
