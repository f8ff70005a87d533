import { type Comparable, comparableFrom, type Difference, differenceOf } from './compare';
import type { Evenness, LineEvenness } from './evenness';
import type { Uncertain } from './gauge';
import type { GaugeResult } from './gaugeOf';
import { MUNDEN, tightnessFactor } from './knitGeometry';
import type { RestState } from './records';
import { spiralityOf } from './spirality';
import { coverageFactor } from './statistics';
import { type Budget, type Component, combine } from './uncertainty';

/** One swatch with everything that a comparison reads. */
export interface ComparedSwatch {
  readonly result: GaugeResult;
  readonly evenness: Evenness | null;
  /** Standard uncertainty of lengths on the plane, relative. */
  readonly planeUncertainty: number;
  /** What the scale was taken from, if it is known by name: the same mat has the same error. */
  readonly referenceId: string | null;
  readonly thicknessMm: number | null;
  readonly layers: 1 | 2;
  readonly tex: number | null;
  readonly restState: RestState | null;
  readonly reading: {
    readonly mm: number;
    readonly plusMinus95Mm: number;
    readonly sameCaliperU: number;
  } | null;
  readonly landmarkId: string | null;
}

/** A quantity of a swatch, in the unit of the domain. */
export interface Quantity {
  readonly comparable: Comparable;
  readonly shown: Uncertain;
}

/** What is common to both: errors of the same named mat, and of a height that was found in the same way. */
export const sharedNames = (a: ComparedSwatch, b: ComparedSwatch): readonly string[] => [
  ...(a.referenceId !== null && a.referenceId === b.referenceId ? ['scale'] : []),
  ...(a.layers === b.layers && a.thicknessMm === b.thicknessMm ? ['height of the fabric'] : []),
];

/** Components that push both densities of one photo the same way. */
const ONE_PHOTO = ['scale', 'height of the fabric'];

/** Relative components of a budget, with sensitivity `value`. */
const relativeParts = (budget: Budget, value: number, keep: (c: Component) => boolean): Component[] =>
  budget.components.filter(keep).map((c) => ({ ...c, sensitivity: value }));

/** Rows over stitches: what one photo does to both cancels. */
export const ratioOf = ({ gauge, budget }: GaugeResult): { value: number; budget: Budget } => {
  const value = gauge.coursesPerMm.value / gauge.walesPerMm.value;
  const own = (c: Component): boolean => !ONE_PHOTO.includes(c.name);
  return {
    value,
    budget: combine([
      ...relativeParts(budget.wales, value, own),
      ...relativeParts(budget.courses, value, own),
    ]),
  };
};

/** Stitches per mm²: what one photo does to both counts twice. */
export const densityOf = ({ stitchesPerMm2, budget }: GaugeResult): { value: number; budget: Budget } => {
  const { value } = stitchesPerMm2;
  const own = (c: Component): boolean => !ONE_PHOTO.includes(c.name);
  return {
    value,
    budget: combine([
      ...relativeParts(budget.wales, value, own),
      ...relativeParts(budget.courses, value, own),
      ...relativeParts(budget.wales, 2 * value, (c) => !own(c)),
    ]),
  };
};

/**
 * How unevenness came out, with a ±: the variance of n steps has the relative standard uncertainty √(2/(n − 1)) (JCGM 100:2008, E.4.3),
 * the noise of the measurement included. Neighbouring steps share a line, so this is a guide and no more.
 */
export const unevenness = (
  lines: LineEvenness,
  steps: number,
  counting: Component | undefined,
): Uncertain => {
  const noise = (counting?.standardUncertainty ?? 0) * Math.max(1, steps);
  const total = lines.variation ** 2 + noise ** 2;
  const room = coverageFactor(Infinity) * total * Math.sqrt(2 / Math.max(1, steps - 1));
  return { value: lines.variation, plusMinus95: Math.sqrt(lines.variation ** 2 + room) - lines.variation };
};

const STATE_CONSTANT: Readonly<Record<RestState, number>> = {
  offMachine: MUNDEN.dryRelaxed.wale,
  rested: MUNDEN.dryRelaxed.wale,
  washedAndDried: MUNDEN.fullyRelaxed.wale,
  worn: MUNDEN.fullyRelaxed.wale,
};

/** Tightness factor √tex over loop length, the loop taken from the stitches per mm of the plain fabric; null without tex. */
export const tightnessOf = (
  { tex, restState, result }: ComparedSwatch,
  shared: readonly string[],
): { readonly comparable: Comparable; readonly shown: Uncertain } | null => {
  if (tex === null) return null;
  const density = result.gauge.walesPerMm;
  const value = tightnessFactor(tex, STATE_CONSTANT[restState ?? 'rested'] / density.value);
  return {
    comparable: { ...comparableFrom(density.value, result.budget.wales, shared), value },
    shown: { value, plusMinus95: (value * density.plusMinus95) / density.value },
  };
};

/** Names of the quantities that are told apart by their ratio. */
export type RelativeName = 'stitches' | 'rows' | 'ratio' | 'density' | 'tightness';
/** Names of the quantities that are told apart by their difference. */
export type AbsoluteName = 'rowEvenness' | 'columnEvenness' | 'spirality' | 'setting';

/** A quantity of one swatch; null when it is not known. */
export const relativeQuantity = (
  name: RelativeName,
  swatch: ComparedSwatch,
  shared: readonly string[],
): Quantity | null => {
  const { gauge, budget } = swatch.result;
  switch (name) {
    case 'stitches':
      return {
        comparable: comparableFrom(gauge.walesPerMm.value, budget.wales, shared),
        shown: gauge.walesPerMm,
      };
    case 'rows':
      return {
        comparable: comparableFrom(gauge.coursesPerMm.value, budget.courses, shared),
        shown: gauge.coursesPerMm,
      };
    case 'ratio': {
      const ratio = ratioOf(swatch.result);
      return {
        comparable: comparableFrom(ratio.value, ratio.budget, []),
        shown: { value: ratio.value, plusMinus95: ratio.budget.expanded },
      };
    }
    case 'density': {
      const density = densityOf(swatch.result);
      return {
        comparable: comparableFrom(density.value, density.budget, shared),
        shown: swatch.result.stitchesPerMm2,
      };
    }
    case 'tightness':
      return tightnessOf(swatch, shared);
  }
};

/** A quantity of one swatch with its ±; null when it is not known. */
export const absoluteQuantity = (name: AbsoluteName, swatch: ComparedSwatch): Uncertain | null => {
  const { result, evenness, reading } = swatch;
  const counting = (b: Budget): Component | undefined => b.components.find((c) => c.name === 'counting');
  switch (name) {
    case 'rowEvenness':
      return evenness && unevenness(evenness.rows, result.counts.courses, counting(result.budget.courses));
    case 'columnEvenness':
      return evenness && unevenness(evenness.columns, result.counts.wales, counting(result.budget.wales));
    case 'spirality':
      return spiralityOf(result, swatch.planeUncertainty);
    case 'setting':
      return reading && { value: reading.mm, plusMinus95: reading.plusMinus95Mm };
  }
};

/** Second less first, with its ± at 95 % and whether that leaves no room for equal values. */
export interface AbsoluteDifference {
  readonly difference: Uncertain;
  readonly real: boolean;
}

/** How far two swatches are apart in one relative quantity; null when one of them does not have it. */
export const relativeDifference = (
  name: RelativeName,
  first: ComparedSwatch,
  second: ComparedSwatch,
): Difference | null => {
  const shared = sharedNames(first, second);
  const a = relativeQuantity(name, first, shared);
  const b = relativeQuantity(name, second, shared);
  return a && b && differenceOf(a.comparable, b.comparable);
};

/** How far two swatches are apart in one quantity that may be zero; readings count only at one and the same landmark. */
export const absoluteDifference = (
  name: AbsoluteName,
  first: ComparedSwatch,
  second: ComparedSwatch,
): AbsoluteDifference | null => {
  const a = absoluteQuantity(name, first);
  const b = absoluteQuantity(name, second);
  if (!a || !b) return null;
  if (name === 'setting' && (first.landmarkId === null || first.landmarkId !== second.landmarkId))
    return null;
  // One caliper reads both: its own error is common to both and cancels.
  const plusMinus95 =
    name === 'setting'
      ? coverageFactor(Infinity) *
        Math.hypot(first.reading?.sameCaliperU ?? 0, second.reading?.sameCaliperU ?? 0)
      : Math.hypot(a.plusMinus95, b.plusMinus95);
  const value = b.value - a.value;
  return { difference: { value, plusMinus95 }, real: Math.abs(value) > plusMinus95 };
};

/** Second yarn's weight over the first's less one; null when one is not known. Labels state no ±, so there is no verdict. */
export const yarnDifference = (first: number | null, second: number | null): number | null =>
  first === null || second === null ? null : second / first - 1;
