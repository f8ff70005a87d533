import type { LineFamily } from './grid';
import type { Pitch } from './pitch';
import { median } from './statistics';
import { MM_PER_INCH } from './units';

/** What the warnings look at. */
export interface WarningInput {
  readonly uneven: readonly UnevenStep[];
  /** The number of a line as it stands beside the window, by its family and its place in the grid. */
  readonly numberOf: (family: LineFamily) => (index: number) => number | undefined;
  readonly counts: { readonly wales: number; readonly courses: number };
  readonly walesPerMm: number;
  readonly coursesPerMm: number;
}

/** A step this many times the usual one suggests a line that is missing; one this small, a line too many. */
const WIDE_STEP = 1.6;
const NARROW_STEP = 0.6;
/** Fewer whole lines than this make the count coarse. */
const FEW_LINES = 8;
/** Hand knitting and sock machines lie well inside 2 to 25 stitches per inch (common practice). */
const PLAUSIBLE_PER_INCH = [2, 25] as const;
const MOST_STEPS_NAMED = 3;

/** A step between neighbouring lines that can hardly be a stitch. */
export interface UnevenStep {
  readonly family: LineFamily;
  /** Place in the grid of the line that the step starts from. */
  readonly index: number;
  /** Its length over the usual one. */
  readonly ratio: number;
}

/** Steps that suggest a line that is missing or marked twice. */
export const unevenSteps = ({ perStep }: Pitch, family: LineFamily): readonly UnevenStep[] => {
  if (perStep.length < 4) return [];
  const usual = median(perStep.map((s) => s.length));
  return perStep
    .map(({ index, length }) => ({ family, index, ratio: length / usual }))
    .filter(({ ratio }) => ratio > WIDE_STEP || ratio < NARROW_STEP);
};

/** Where a step lies, by the numbers beside the window. */
const placeOf = (noun: string, before: number | undefined, after: number | undefined): string => {
  if (before !== undefined && after !== undefined) return `Between ${noun}s ${before} and ${after}`;
  const known = before ?? after;
  return known === undefined ? `Between two ${noun}s at the window’s edge` : `Beside ${noun} ${known}`;
};

const sentenceFor = (
  { family, index, ratio }: UnevenStep,
  numberOf: (index: number) => number | undefined,
): string => {
  const noun = family === 'wale' ? 'column' : 'row';
  const place = placeOf(noun, numberOf(index), numberOf(index + 1));
  return ratio > WIDE_STEP
    ? `${place} the step is ${ratio.toFixed(1)} times the usual: a ${noun} may be missing there.`
    : `${place} the step is only ${ratio.toFixed(1)} times the usual: one ${noun} may be marked twice.`;
};

/** One sentence for each thing to look at before the gauge is trusted, most important first. */
export const gaugeWarnings = (input: WarningInput): readonly string[] => {
  const perInch = input.walesPerMm * MM_PER_INCH;
  const [least, most] = PLAUSIBLE_PER_INCH;
  const implausible =
    perInch < least || perInch > most
      ? [
          `${perInch.toPrecision(2)} stitches per inch is hardly possible: check the size of the reference, inches or centimetres.`,
        ]
      : [];
  const few = Math.min(input.counts.wales, input.counts.courses);
  const small =
    few < FEW_LINES
      ? [
          `The window holds only ${input.counts.wales} columns and ${input.counts.courses} rows: a larger one gives a smaller ±.`,
        ]
      : [];
  return [
    ...implausible,
    ...(['wale', 'course'] as const).flatMap((family) => {
      const steps = input.uneven.filter((step) => step.family === family).slice(0, MOST_STEPS_NAMED);
      // Numbering takes time, and most fabrics need none here.
      const numberOf = steps.length > 0 ? input.numberOf(family) : () => undefined;
      return steps.map((step) => sentenceFor(step, numberOf));
    }),
    ...small,
  ];
};
