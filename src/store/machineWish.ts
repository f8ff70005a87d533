import { densityRange, predictPitch, readingForPitch } from '../domain/camFitPredict';
import type { CamSelected } from '../domain/camFitRecords';
import type { RestState } from '../domain/records';
import { readingForGauge, type SetCamTarget } from '../domain/setCamTarget';
import { type StartingPoint, startingPoint } from '../domain/startingPoint';
import { type StartingReading, startingReading } from '../domain/startingPointReading';
import { perMmToPerInch } from '../domain/units';
import type { CamFits } from './machineKnowledge';

/** Where to set the cam for a wanted gauge, as far as the swatches tell. */
export type WishAnswer =
  | { readonly kind: 'reading'; readonly target: SetCamTarget & { readonly kind: 'reading' } }
  /** The line reaches the gauge, but no range can be given for where. */
  | {
      readonly kind: 'lineOnly';
      readonly readingMm: number;
      readonly toleranceMm: number;
      readonly sentence: string;
      readonly cautions: readonly string[];
    }
  /** From the machine's other yarns, for a yarn without enough swatches of its own. */
  | {
      readonly kind: 'elsewhere';
      readonly sentence: string;
      readonly starting: StartingReading;
      readonly toleranceMm: number;
    }
  | { readonly kind: 'nothing'; readonly sentence: string };

/** 1 % of the stitches, the way `readingForGauge` puts it, where no slope of the yarn's own is at hand. */
const USUAL_TOLERANCE_MM = 0.05;

/**
 * The reading to set for so many stitches per mm.
 * @param fits of the selection; made from the same records.
 */
export const answerWish = (
  selected: CamSelected & { readonly kind: 'ready' },
  { wales, courses }: CamFits,
  walesPerMm: number,
  unit: 'mm' | 'in',
): WishAnswer => {
  if (wales.kind === 'fit') {
    const target = readingForGauge(wales, walesPerMm, courses.kind === 'fit' ? courses : null, unit);
    if (target.kind === 'reading') return { kind: 'reading', target };
    const { inverse, cautions } = readingForPitch(wales, 1 / walesPerMm, undefined, unit);
    if (inverse.x === null || !(inverse.x > 0)) return { kind: 'nothing', sentence: target.sentence };
    return {
      kind: 'lineOnly',
      readingMm: inverse.x,
      toleranceMm: Math.abs(0.01 / walesPerMm / wales.line.slope),
      sentence: target.sentence,
      cautions,
    };
  }
  const starting = startingReading(selected.others, 1 / walesPerMm, unit);
  return starting.kind === 'none'
    ? { kind: 'nothing', sentence: wales.sentence }
    : { kind: 'elsewhere', sentence: wales.sentence, starting, toleranceMm: USUAL_TOLERANCE_MM };
};

/** A gauge with the ends of its range at 95 %, per inch; the far end is null where it is open. */
export interface ExpectedGauge {
  readonly perInch: number;
  readonly lower: number;
  readonly upper: number | null;
  readonly cautions: readonly string[];
}

/** What a new swatch at a reading will come out at. Null where there is no fit, or no sensible size there. */
export const gaugeAt = (
  fit: CamFits['wales'],
  readingMm: number,
  unit: 'mm' | 'in',
): ExpectedGauge | null => {
  if (fit.kind !== 'fit') return null;
  const prediction = predictPitch(fit, readingMm, undefined, unit);
  if (!(prediction.pitchMm > 0)) return null;
  const { value, lower, upper } = densityRange(prediction);
  return {
    perInch: perMmToPerInch(value),
    lower: perMmToPerInch(lower),
    upper: upper === null ? null : perMmToPerInch(upper),
    cautions: prediction.cautions,
  };
};

/** Where to begin with a yarn, from its weight alone; null when that is not known. */
export const beginningFor = (tex: number | null, restState: RestState | null): StartingPoint | null =>
  tex === null ? null : startingPoint(tex, restState ?? 'washedAndDried');
