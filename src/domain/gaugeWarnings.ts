import type { Pitch } from './pitch';
import { median } from './statistics';
import { MM_PER_INCH } from './units';

/** What the warnings look at. */
export interface WarningInput {
  readonly wale: Pitch;
  readonly course: Pitch;
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

const unevenSteps = ({ perStep }: Pitch, noun: string): string[] => {
  if (perStep.length < 4) return [];
  const usual = median(perStep.map((s) => s.length));
  return perStep
    .flatMap(({ index, length }) => {
      const ratio = length / usual;
      const between = `Between ${noun}s ${index + 1} and ${index + 2}`;
      if (ratio > WIDE_STEP) {
        return [
          `${between} the step is ${ratio.toFixed(1)} times the usual: a ${noun} may be missing there.`,
        ];
      }
      return ratio < NARROW_STEP
        ? [
            `${between} the step is only ${ratio.toFixed(1)} times the usual: one ${noun} may be marked twice.`,
          ]
        : [];
    })
    .slice(0, MOST_STEPS_NAMED);
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
    ...unevenSteps(input.wale, 'column'),
    ...unevenSteps(input.course, 'row'),
    ...small,
  ];
};
