import { type GaugeResult, gaugeOf } from '../src/domain/gaugeOf';
import type { Measurement, OpenQuestion, ScaleReference } from '../src/domain/measurement';
import type { MeasureHints } from '../workers/contract';

/** How far the command believes a result, and why not further. */
export interface Verdict {
  readonly status: 'measured' | 'proposal' | 'unreadable';
  readonly reasons: readonly string[];
  /** The reference that gives the scale, or, while a question about it is open, the one that could. */
  readonly reference: ScaleReference | null;
  readonly gauge: GaugeResult | null;
}

/** Half the one per cent that "measured" stands for, as an expanded uncertainty of the scale alone. */
const SCALE_LIMIT = 0.005;

const questions: Record<Exclude<OpenQuestion, null>, string> = {
  gridPitch:
    "A mat's grid was found, but inches and centimetres look alike: give the spacing of its heavy lines with --grid-pitch 1in or --grid-pitch 1cm.",
  tickPitch: 'A ruler was found, but not what its marks stand for.',
  coinDiameter: 'A coin was found, but not how large it is.',
  paperSize: 'A sheet of paper was found, but not its size.',
  length: 'Two points were found, but not how far apart they are.',
};

const NO_REFERENCE =
  'Nothing of known length was found: lay the swatch on a cutting mat or put a bank-card-sized card beside it, so that a gauge can be given.';

const gaugeIn = (
  { stitches: { grid, window } }: Measurement,
  reference: ScaleReference | null,
  fabric: { thicknessMm: number | null; layers: 1 | 2 },
): ReturnType<typeof gaugeOf> | null =>
  grid && window && reference?.plane ? gaugeOf(grid, window, reference.plane, fabric) : null;

const scaleDoubts = (
  reference: ScaleReference | null,
  hints: MeasureHints,
): { doubts: string[]; settled: boolean } => {
  if (hints.reference === 'none') return { doubts: [], settled: true };
  if (!reference) return { doubts: [NO_REFERENCE], settled: false };
  if (reference.question) return { doubts: [questions[reference.question]], settled: false };
  if (!reference.plane) return { doubts: [NO_REFERENCE], settled: false };
  if (2 * reference.plane.relativeUncertainty > SCALE_LIMIT) {
    const percent = (200 * reference.plane.relativeUncertainty).toFixed(1);
    return { doubts: [`The scale is only good to ± ${percent} %: ${reference.sentence}`], settled: false };
  }
  return { doubts: [], settled: true };
};

/**
 * Draws the conclusion from a measurement: the gauge where the scale is known, and "measured" only if stitches, scale and gauge are all
 * beyond doubt.
 */
export const verdictOf = (
  measurement: Measurement,
  hints: MeasureHints,
  fabric: { thicknessMm: number | null; layers: 1 | 2 },
): Verdict => {
  const { references, chosenReference, stitches } = measurement;
  const reference = references[chosenReference ?? 0] ?? null;
  const { status, reasons } = stitches.confidence;
  if (status === 'unreadable') return { status, reasons, reference, gauge: null };
  const scale = scaleDoubts(reference, hints);
  const gauge = gaugeIn(measurement, reference, fabric);
  const gaugeDoubts = gauge === null ? [] : gauge.ok ? gauge.warnings : [gauge.sentence];
  const sure = status === 'measured' && scale.settled && gaugeDoubts.length === 0;
  return {
    status: sure ? 'measured' : 'proposal',
    reasons: [...scale.doubts, ...reasons, ...gaugeDoubts],
    reference,
    gauge: gauge?.ok ? gauge : null,
  };
};
