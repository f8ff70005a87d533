import type { CamGroup, CamRecord } from './camFitRecords';
import { fitUncertainLine, type UncertainPoint } from './errorsInVariables';
import type { CentredLine } from './inversePrediction';
import { type PooledSlope, poolSlopes, shrinkSlope } from './pooling';
import type { Id } from './records';
import { mean, weightedMean } from './statistics';

/** Which of the two sizes of a stitch is fitted: its width (wales) or its height (courses). */
export type StitchDimension = 'wale' | 'course';

/** A slope of another yarn or cylinder, and its share in the slope used here. */
export interface BorrowedSlope {
  readonly yarnId: Id;
  readonly cylinderNeedles: number;
  readonly swatches: number;
  readonly slope: number;
  readonly uSlope: number;
  readonly share: number;
}

/** How the size of a stitch follows the caliper reading for one yarn. */
export interface CamFit {
  readonly kind: 'fit';
  readonly dimension: StitchDimension;
  /** mm of stitch against mm of reading; variances include everything but the scatter of a new swatch. */
  readonly line: CentredLine;
  /** Own share of the slope, 0 to 1; the rest is borrowed. */
  readonly ownShare: number;
  readonly borrowed: readonly BorrowedSlope[];
  /** Part of the slope's variance that comes from not knowing how yarns differ, and the degrees of freedom behind it. */
  readonly betweenYarns: { readonly varianceOfSlope: number; readonly degreesOfFreedom: number } | null;
  /** Observed over stated variance, from the scatter about the lines of this and the other yarns; 1 when unknown. */
  readonly varianceScale: number;
  /** Degrees of freedom behind `varianceScale`; Infinity when the stated scatter is taken on trust. */
  readonly degreesOfFreedom: number;
  /** Typical standard uncertainties of one swatch here. */
  readonly typicalUPitchMm: number;
  readonly typicalUReadingMm: number;
  /** The range of readings tried with this yarn. */
  readonly triedMm: { readonly from: number; readonly to: number };
  readonly points: readonly {
    readonly id: Id;
    readonly readingMm: number;
    readonly pitchMm: number;
    readonly residualMm: number;
  }[];
  /** One sentence: what the fit rests on. */
  readonly sentence: string;
}

/** A fit, or what is missing for one. */
export type CamFitAnswer = CamFit | { readonly kind: 'tooLittle'; readonly sentence: string };

/**
 * How far two swatches of the same yarn at the same setting differ before the data show it, relative to the pitch: 1 %.
 * An assumption. It steers the weights; the size of the scatter is found from the data as soon as there is any.
 */
export const SWATCH_TO_SWATCH = 0.01;

const pitchOf = (r: CamRecord, dimension: StitchDimension): { mm: number; u: number } =>
  dimension === 'wale'
    ? { mm: r.walePitchMm, u: r.uWalePitchMm }
    : { mm: r.coursePitchMm, u: r.uCoursePitchMm };

const toPoint = (r: CamRecord, dimension: StitchDimension): UncertainPoint => {
  const { mm, u } = pitchOf(r, dimension);
  return { x: r.readingMm, uX: r.uReadingMm, y: mm, uY: Math.hypot(u, SWATCH_TO_SWATCH * mm) };
};

/** What one group says by itself, with stated variances. */
interface OwnEvidence {
  readonly slope: number | null;
  readonly varianceOfSlope: number;
  readonly centreX: number;
  readonly levelY: number;
  readonly varianceOfLevel: number;
  readonly chiSquared: number;
  readonly degreesOfFreedom: number;
}

/** Readings within this many standard uncertainties of each other are one setting: no slope can be told from them. */
const ONE_SETTING = 4;

const spreadOf = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

const evidence = (points: readonly UncertainPoint[], assumedSlope: number): OwnEvidence => {
  const widest = Math.max(...points.map((p) => p.uX));
  if (points.length >= 2 && spreadOf(points.map((p) => p.x)) > ONE_SETTING * widest) {
    const line = fitUncertainLine(points);
    return { ...line, varianceOfSlope: line.uSlope ** 2, varianceOfLevel: line.uLevel ** 2 };
  }
  const variances = points.map((p) => p.uY ** 2 + (assumedSlope * p.uX) ** 2);
  const weights = variances.map((v) => 1 / v);
  const centreX = weightedMean(
    points.map((p) => p.x),
    weights,
  ).value;
  const levels = points.map((p) => p.y - assumedSlope * (p.x - centreX));
  const level = weightedMean(levels, weights);
  return {
    slope: null,
    varianceOfSlope: Number.POSITIVE_INFINITY,
    centreX,
    levelY: level.value,
    varianceOfLevel: level.standardUncertainty ** 2,
    chiSquared: levels.reduce((sum, y, i) => sum + (y - level.value) ** 2 * (weights[i] ?? 0), 0),
    degreesOfFreedom: points.length - 1,
  };
};

/** The slope that one group of swatches shows by itself, in stated variances. */
export interface GroupEvidence {
  readonly group: CamGroup;
  readonly slope: number;
  readonly varianceOfSlope: number;
  readonly chiSquared: number;
  readonly degreesOfFreedom: number;
}

/** The slopes, mm of stitch a mm of reading, of all groups that were knitted at more than one setting. */
export const groupSlopes = (groups: readonly CamGroup[], dimension: StitchDimension): GroupEvidence[] =>
  groups.flatMap((group) => {
    if (group.records.length < 2) return [];
    const found = evidence(
      group.records.map((r) => toPoint(r, dimension)),
      0,
    );
    return found.slope === null ? [] : [{ ...found, slope: found.slope, group }];
  });

/** Observed over stated variance, pooled over all groups (reduced χ²). */
const pooledScale = (
  parts: readonly Pick<OwnEvidence, 'chiSquared' | 'degreesOfFreedom'>[],
): { varianceScale: number; degreesOfFreedom: number } => {
  const degreesOfFreedom = parts.reduce((sum, p) => sum + p.degreesOfFreedom, 0);
  if (degreesOfFreedom === 0) return { varianceScale: 1, degreesOfFreedom: Number.POSITIVE_INFINITY };
  return {
    varianceScale: parts.reduce((sum, p) => sum + p.chiSquared, 0) / degreesOfFreedom,
    degreesOfFreedom,
  };
};

const labelOf = (group: CamGroup): string => JSON.stringify([group.yarnId, group.cylinderNeedles]);

const percent = (share: number): string => `${Math.round(100 * share)} %`;

const describe = (count: number, ownShare: number, others: number, scatterKnown: boolean): string => {
  const swatches = count === 1 ? 'one swatch' : `${count} swatches`;
  const yarns = others === 1 ? 'one other yarn' : `${others} other yarns`;
  const slope =
    ownShare === 1
      ? `From ${swatches} of this yarn alone.`
      : ownShare === 0
        ? `From ${swatches} of this yarn; the slope is borrowed from ${yarns} on this machine, so the range is wider.`
        : `From ${swatches} of this yarn; ${percent(1 - ownShare)} of the slope is borrowed from ${yarns} on this machine.`;
  return scatterKnown
    ? slope
    : `${slope} How far swatches scatter is assumed, 1 %: one more swatch shows it.`;
};

const borrowedSlopes = (
  others: readonly GroupEvidence[],
  pooled: PooledSlope | null,
  scale: number,
  borrowedShare: number,
): BorrowedSlope[] =>
  others.map(({ group, slope, varianceOfSlope }) => ({
    yarnId: group.yarnId,
    cylinderNeedles: group.cylinderNeedles,
    swatches: group.records.length,
    slope,
    uSlope: Math.sqrt(scale * varianceOfSlope),
    share: borrowedShare * (pooled?.shares.find((s) => s.label === labelOf(group))?.share ?? 0),
  }));

/**
 * Fits mm per stitch (or per row) against the caliper reading: a straight line, because loop length grows with the cam's
 * travel and wales and courses per unit length are constants over loop length (D. Munden, J. Text. Inst. 50 (1959) T448).
 * Both coordinates are uncertain. Slopes of the machine's other yarns are weighed in; one swatch borrows its slope wholly.
 * @param own swatches of one yarn, cylinder, landmark and rest state, as `selectCamRecords` gives them.
 * @param others the machine's other yarns at the same landmark in the same rest state.
 */
export const fitCam = (
  own: readonly CamRecord[],
  others: readonly CamGroup[],
  dimension: StitchDimension,
): CamFitAnswer => {
  if (own.length === 0) return { kind: 'tooLittle', sentence: 'There is no swatch of this yarn here yet.' };
  const otherEvidence = groupSlopes(others, dimension);
  const points = own.map((r) => toPoint(r, dimension));
  const alike = otherEvidence.length > 0 ? mean(otherEvidence.map((o) => o.slope)) : 0;
  const mine = evidence(points, alike);
  if (mine.slope === null && otherEvidence.length === 0) {
    return {
      kind: 'tooLittle',
      sentence:
        'One setting tells no slope, and no other yarn on this machine has one to lend: knit a swatch at another setting.',
    };
  }
  const { varianceScale, degreesOfFreedom } = pooledScale([mine, ...otherEvidence]);
  const pooled =
    otherEvidence.length === 0
      ? null
      : poolSlopes(
          otherEvidence.map((o) => ({
            label: labelOf(o.group),
            slope: o.slope,
            variance: Math.max(varianceScale * o.varianceOfSlope, Number.MIN_VALUE),
          })),
        );
  const ownSlope =
    mine.slope === null ? null : { slope: mine.slope, variance: varianceScale * mine.varianceOfSlope };
  const shrunk = pooled
    ? shrinkSlope(ownSlope, pooled)
    : { ...(ownSlope ?? { slope: 0, variance: 0 }), ownShare: 1 };
  const line: CentredLine = {
    centreX: mine.centreX,
    levelY: mine.levelY,
    slope: shrunk.slope,
    varianceOfLevel: varianceScale * mine.varianceOfLevel,
    varianceOfSlope: shrunk.variance,
  };
  const readings = own.map((r) => r.readingMm);
  return {
    kind: 'fit',
    dimension,
    line,
    ownShare: shrunk.ownShare,
    borrowed: borrowedSlopes(otherEvidence, pooled, varianceScale, 1 - shrunk.ownShare),
    betweenYarns: pooled && {
      varianceOfSlope: (1 - shrunk.ownShare) ** 2 * (pooled.betweenVariance + pooled.varianceOfMean),
      degreesOfFreedom: pooled.degreesOfFreedom,
    },
    varianceScale,
    degreesOfFreedom,
    typicalUPitchMm: Math.sqrt(mean(own.map((r) => pitchOf(r, dimension).u ** 2))),
    typicalUReadingMm: Math.sqrt(mean(own.map((r) => r.uReadingMm ** 2))),
    triedMm: { from: Math.min(...readings), to: Math.max(...readings) },
    points: own.map((r) => {
      const pitchMm = pitchOf(r, dimension).mm;
      const residualMm = pitchMm - line.levelY - line.slope * (r.readingMm - line.centreX);
      return { id: r.id, readingMm: r.readingMm, pitchMm, residualMm };
    }),
    sentence: describe(own.length, shrunk.ownShare, otherEvidence.length, Number.isFinite(degreesOfFreedom)),
  };
};
