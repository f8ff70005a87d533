import { densitiesFromLoop, loopForTightness, type Relaxation } from './knitGeometry';
import type { RestState } from './records';
import { MM_PER_INCH } from './units';

/** A value between a tighter and a looser one. */
export interface Span {
  readonly tighter: number;
  readonly usual: number;
  readonly looser: number;
}

/** Where to begin with a yarn that has no swatch yet. */
export interface StartingPoint {
  /** Length of yarn in one stitch, mm. */
  readonly loopLengthMm: Span;
  readonly walePitchMm: Span;
  readonly coursePitchMm: Span;
  readonly walesPerInch: Span;
  readonly coursesPerInch: Span;
  readonly sentence: string;
  readonly sources: readonly string[];
}

/**
 * Usual tightness factors √tex / loop length in mm of plain weft knits: 1.3 to 1.5, taken loose to tight with the middle
 * as usual (textbook notes on the tightness factor; hand-knit gauges on yarn labels come out looser, near 1.1).
 */
export const USUAL_TIGHTNESS = { looser: 1.3, usual: 1.4, tighter: 1.5 } as const;

const STATE_OF_FABRIC: Record<RestState, Relaxation> = {
  offMachine: 'dryRelaxed',
  rested: 'dryRelaxed',
  washedAndDried: 'fullyRelaxed',
  worn: 'fullyRelaxed',
};

/** Stitch width and row height, mm, of plain fabric with this length of yarn in a stitch (Munden 1959). */
export const pitchFromLoopLength = (
  loopLengthMm: number,
  restState: RestState,
): { readonly walePitchMm: number; readonly coursePitchMm: number } => {
  const { walesPerMm, coursesPerMm } = densitiesFromLoop(loopLengthMm, STATE_OF_FABRIC[restState]);
  return { walePitchMm: 1 / walesPerMm, coursePitchMm: 1 / coursesPerMm };
};

const mapSpan = (span: Span, f: (v: number) => number): Span => ({
  tighter: f(span.tighter),
  usual: f(span.usual),
  looser: f(span.looser),
});

/**
 * A first guess for a yarn without a swatch on a machine: loop length from its weight and the usual tightness, gauge from
 * the loop length. Good to about 10 %; one swatch is better.
 * @param tex linear density, g per km.
 * @throws RangeError when tex is not positive.
 */
export const startingPoint = (tex: number, restState: RestState = 'washedAndDried'): StartingPoint => {
  if (!(tex > 0 && Number.isFinite(tex))) {
    throw new RangeError('The yarn’s weight is needed: type its tex, or metres per 100 g.');
  }
  const loopLengthMm = mapSpan(USUAL_TIGHTNESS, (factor) => loopForTightness(tex, factor));
  const walePitchMm = mapSpan(loopLengthMm, (l) => pitchFromLoopLength(l, restState).walePitchMm);
  const coursePitchMm = mapSpan(loopLengthMm, (l) => pitchFromLoopLength(l, restState).coursePitchMm);
  const walesPerInch = mapSpan(walePitchMm, (mm) => MM_PER_INCH / mm);
  const coursesPerInch = mapSpan(coursePitchMm, (mm) => MM_PER_INCH / mm);
  const one = (v: number): string => v.toFixed(1);
  return {
    loopLengthMm,
    walePitchMm,
    coursePitchMm,
    walesPerInch,
    coursesPerInch,
    sentence:
      `A yarn of ${Math.round(tex)} tex at the usual tightness takes about ${one(loopLengthMm.usual)} mm of yarn a stitch: ` +
      `${one(walesPerInch.looser)} to ${one(walesPerInch.tighter)} stitches and ${one(coursesPerInch.looser)} to ` +
      `${one(coursesPerInch.tighter)} rows per inch. This is a place to begin; one swatch of the yarn is worth more.`,
    sources: [
      'Tightness factor √tex / loop length in mm, 1.3 to 1.5 for plain weft knits: textbook notes.',
      'Wales and courses per cm = constant / loop length in cm: D. Munden, J. Text. Inst. 50 (1959) T448.',
    ],
  };
};
