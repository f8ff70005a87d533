import type { ComparedSwatch } from '../../src/domain/compareViewTable';
import type { GaugeResult } from '../../src/domain/gaugeOf';
import { type Budget, combine, withBudget } from '../../src/domain/uncertainty';
import type { Random } from '../builders/random';

/** Relative standard uncertainties of one measured gauge. */
export interface Errors {
  readonly counting: number;
  readonly edges: number;
  readonly scale: number;
  readonly height: number;
  /** Behind the counting; as good as known when left out. */
  readonly degreesOfFreedom?: number;
}

const budgetOf = (density: number, errors: Errors): Budget => {
  const part = (name: string, u: number, degreesOfFreedom = Infinity) => ({
    name,
    sentence: name,
    standardUncertainty: u,
    degreesOfFreedom,
    sensitivity: density,
  });
  return combine([
    part('counting', errors.counting, errors.degreesOfFreedom),
    part('window edges', errors.edges),
    part('scale', errors.scale),
    part('height of the fabric', errors.height),
  ]);
};

/** A swatch that was measured as so many stitches and rows per inch with these uncertainties. */
export const comparedSwatch = (
  walesPerInch: number,
  coursesPerInch: number,
  errors: Errors,
  referenceId: string | null = null,
): ComparedSwatch => {
  const [wales, courses] = [walesPerInch / 25.4, coursesPerInch / 25.4];
  const budget = { wales: budgetOf(wales, errors), courses: budgetOf(courses, errors) };
  const result: GaugeResult = {
    ok: true,
    gauge: { walesPerMm: withBudget(wales, budget.wales), coursesPerMm: withBudget(courses, budget.courses) },
    needlePositionsPerMm: withBudget(wales, budget.wales),
    stitchesPerMm2: { value: wales * courses, plusMinus95: 0 },
    budget,
    counts: { wales: 24, courses: 30, needlePositions: 24 },
    handCount: { wales: null, courses: null },
    skewRad: 0,
    parallax: { scaleFactor: 1, relativeUncertainty: errors.height, heightMm: 2, note: '' },
    areaMm2: 4000,
    unevenSteps: 0,
    warnings: [],
  };
  return {
    result,
    evenness: null,
    planeUncertainty: errors.scale,
    referenceId,
    thicknessMm: null,
    layers: 1,
    tex: null,
    restState: null,
    reading: null,
    landmarkId: null,
  };
};

/** Sample standard deviation of `df` + 1 normal values of spread `sigma`: what a measurement takes its own noise for. */
const estimated = (random: Random, sigma: number, df: number | undefined): number => {
  if (df === undefined) return sigma;
  let squares = 0;
  for (let i = 0; i < df; i += 1) squares += random.normal() ** 2;
  return sigma * Math.sqrt(squares / df);
};

interface PairSettings {
  readonly walesPerInch: number;
  /** Second over first less one, in truth. */
  readonly trueDifference: number;
  readonly errors: Errors;
  /** The mat's error strikes both alike, and both know it. */
  readonly sameMat: boolean;
}

/**
 * Two measurements as chance would have them. Each has its own counting and edge errors; the error of the height, found in the same
 * way for both, strikes both alike, and so does that of a mat used for both.
 */
export const pairOf = (
  random: Random,
  { walesPerInch, trueDifference, errors, sameMat }: PairSettings,
): readonly [ComparedSwatch, ComparedSwatch] => {
  const height = errors.height * random.normal();
  const mat = errors.scale * random.normal();
  const measured = (truth: number): ComparedSwatch => {
    const scale = sameMat ? mat : errors.scale * random.normal();
    const noise = errors.counting * random.normal() + errors.edges * random.normal();
    const counting = estimated(random, errors.counting, errors.degreesOfFreedom);
    const value = truth * (1 + noise + scale + height);
    return comparedSwatch(value, 1.4 * value, { ...errors, counting }, sameMat ? 'one mat' : null);
  };
  return [measured(walesPerInch), measured(walesPerInch * (1 + trueDifference))];
};
