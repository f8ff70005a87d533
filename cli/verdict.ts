import { swatchMiddle } from '../src/domain/countWindow';
import { type GaugeResult, gaugeOf } from '../src/domain/gaugeOf';
import { gridDoubt } from '../src/domain/gridDoubt';
import type { Measurement, OpenQuestion, ScaleReference } from '../src/domain/measurement';
import { scaleDoubts } from '../src/domain/scaleDoubt';
import { perMmToPerInch } from '../src/domain/units';
import type { MeasureHints } from '../workers/contract';

/** How far the command believes a result, and why not further. */
export interface Verdict {
  readonly status: 'measured' | 'proposal' | 'unreadable';
  readonly reasons: readonly string[];
  /** The reference that gives the scale, or, while a question about it is open, the one that could. */
  readonly reference: ScaleReference | null;
  readonly gauge: GaugeResult | null;
}

/** Below this score a grid's lines may have been miscounted. */
const SURE_GRID = 0.9;

/** What speaks against the spacing of a grid, a sentence at most. */
const gridDoubts = ({ kind, score, gridLines }: ScaleReference): string[] => {
  if (kind !== 'grid') return [];
  if (gridLines === 'unclear')
    return [
      "It is not sure which of the mat's lines the spacing belongs to here: check the one that was taken.",
    ];
  return score < SURE_GRID
    ? ["The mat's lines are hard to make out here: check that the spacing that was taken is theirs."]
    : [];
};

const questions: Record<Exclude<OpenQuestion, null>, string> = {
  gridPitch:
    "A mat's grid was found, but inches and centimetres look alike: give the spacing of its heavy lines with --grid-pitch 1in or --grid-pitch 1cm.",
  tickPitch:
    'A ruler was found, but not how far apart its marks are: say --tick 1mm, --tick 1/16in or what they are.',
  coinDiameter: 'A coin was found, but not how large it is: say --diameter, such as --diameter 24.26mm.',
  paperSize: 'A sheet of paper was found, but not its size: say --size A4, A5, A6 or letter.',
  length: 'Two points were found, but not how far apart they are.',
  checkRulers:
    'Measure the two check rulers of the printed sheet once and say --check-rulers, such as --check-rulers 139.8mm,139.6mm.',
};

const NO_REFERENCE =
  'Nothing of known length was found: lay the swatch on the printed sheet or a cutting mat, or put a bank-card-sized card beside it, so that a gauge can be given.';

const UNCLEAR_LINES =
  "The mat's heavy and fine lines are hard to tell apart here, so that no spacing is taken on trust: take a sharper photo that shows more of the mat, or say in the app which lines are meant.";

const gaugeIn = (
  { stitches: { grid, window } }: Measurement,
  reference: ScaleReference | null,
  fabric: { thicknessMm: number | null; layers: 1 | 2 },
): ReturnType<typeof gaugeOf> | null =>
  grid && window && reference?.plane ? gaugeOf(grid, window, reference.plane, fabric) : null;

/** Candidates below this score are left unmentioned unless there is nothing better. */
const MENTIONED_SCORE = 0.3;

/** What must still be said before one of the references can be used, a sentence for each kind of question, the surest first. */
const openQuestions = (references: readonly ScaleReference[]): string[] => {
  const surest = references[0];
  const asked = references
    .filter((reference) => reference === surest || reference.score >= MENTIONED_SCORE)
    .flatMap(({ question }) => (question === null ? [] : [questions[question]]));
  return [...new Set(asked)];
};

/** What speaks against a scale as it was found. */
interface ScaleFinding {
  readonly doubts: readonly string[];
  /** Whether nothing is left to be said or asked before a number by it is taken, be its ± what it may. */
  readonly settled: boolean;
}

/** What speaks against taking lengths by a reference that has its millimetres, at a place of the photo (px). */
export const foundScale = (
  reference: ScaleReference,
  references: readonly ScaleReference[],
  at: { readonly x: number; readonly y: number },
): ScaleFinding => {
  const doubts = scaleDoubts(reference, references, at);
  const ofLines = gridDoubts(reference);
  const said = doubts.flatMap(({ kind, sentence }) =>
    kind === 'checkRulers' ? [sentence, questions.checkRulers] : [sentence],
  );
  return {
    doubts: [...said, ...ofLines],
    settled: ofLines.length === 0 && doubts.every(({ asks }) => !asks),
  };
};

/** What stands between a scale and "measured", a sentence each. */
const scaleReasons = (
  measurement: Measurement,
  reference: ScaleReference | null,
  hints: MeasureHints,
): readonly string[] => {
  if (hints.reference === 'none') return [];
  if (!reference) return [NO_REFERENCE];
  if (reference.question === 'gridPitch' && hints.gridPitchMm !== null) return [UNCLEAR_LINES];
  if (!reference.plane) {
    if (reference.question) return openQuestions(measurement.references);
    return reference.unitPlane ? [NO_REFERENCE] : [reference.sentence];
  }
  return foundScale(
    reference,
    measurement.references,
    swatchMiddle(measurement.stitches.window, measurement.photo),
  ).doubts;
};

/** Whether the gauge says that the grid's unit was mistaken. */
const unitDoubts = (
  reference: ScaleReference | null,
  gauge: ReturnType<typeof gaugeOf> | null,
): readonly string[] => {
  if (!reference || !gauge?.ok) return [];
  const doubt = gridDoubt(reference, perMmToPerInch(gauge.gauge.walesPerMm.value));
  return doubt ? [doubt.sentence] : [];
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
  const ofScale = scaleReasons(measurement, reference, hints);
  const gauge = gaugeIn(measurement, reference, fabric);
  const ofGauge = gauge === null ? [] : gauge.ok ? gauge.warnings : [gauge.sentence];
  const gaugeDoubts = [...unitDoubts(reference, gauge), ...ofGauge];
  const sure = status === 'measured' && ofScale.length === 0 && gaugeDoubts.length === 0;
  return {
    status: sure ? 'measured' : 'proposal',
    reasons: [...ofScale, ...reasons, ...gaugeDoubts],
    reference,
    gauge: gauge?.ok ? gauge : null,
  };
};
