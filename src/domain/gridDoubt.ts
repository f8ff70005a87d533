import type { ScaleReference } from './measurement';
import { MM_PER_INCH } from './units';

/** Socks from a circular sock machine have 4 to 16 stitches to the inch (common practice). */
export const sockStitchesPerInch = { least: 4, most: 16 } as const;

/** A grid whose spacing, as it was given, makes a gauge that no sock machine knits. */
export interface GridDoubt {
  readonly stitchesPerInch: number;
  /** The other unit's spacing with the same number, mm, and the gauge that it would make. */
  readonly otherPitchMm: number;
  readonly otherStitchesPerInch: number;
  /** Whether the other reading makes a gauge that such a machine knits. */
  readonly otherIsLikely: boolean;
  readonly sentence: string;
}

const isKnown = (perInch: number): boolean =>
  perInch >= sockStitchesPerInch.least && perInch <= sockStitchesPerInch.most;

/** Inches are given in halves and quarters, centimetres in halves: what is a whole number of quarter inches is an inch grid. */
const isInches = (pitchMm: number): boolean => {
  const quarters = (4 * pitchMm) / MM_PER_INCH;
  return Math.abs(quarters - Math.round(quarters)) < 0.01;
};

const oneDecimal = (value: number): string => value.toFixed(1);

/** The doubt about a grid taken for inches or centimetres, from the gauge that it makes; null when there is none. */
export const gridDoubt = (reference: ScaleReference, stitchesPerInch: number): GridDoubt | null => {
  const { kind, pitchMm } = reference;
  if (kind !== 'grid' || pitchMm === null || isKnown(stitchesPerInch)) return null;
  const inches = isInches(pitchMm);
  const otherPitchMm = (pitchMm * (inches ? 10 : MM_PER_INCH)) / (inches ? MM_PER_INCH : 10);
  const otherStitchesPerInch = (stitchesPerInch * pitchMm) / otherPitchMm;
  const otherIsLikely = isKnown(otherStitchesPerInch);
  const { least, most } = sockStitchesPerInch;
  const asked = otherIsLikely
    ? ` Taken for ${inches ? 'centimetres' : 'inches'}, it would make ${oneDecimal(otherStitchesPerInch)}. Which is it?`
    : ' Is the spacing right?';
  return {
    stitchesPerInch,
    otherPitchMm,
    otherStitchesPerInch,
    otherIsLikely,
    sentence: `Taken for ${inches ? 'inches' : 'centimetres'}, the grid makes ${oneDecimal(stitchesPerInch)} stitches per inch, and sock machines knit ${least} to ${most}.${asked}`,
  };
};
