import { fitUncertainLine, type UncertainLine } from './errorsInVariables';
import { coverageFactor } from './statistics';

/** Two landmarks read at one and the same cam setting, with standard uncertainties, mm. */
export interface LandmarkPair {
  readonly fromMm: number;
  readonly uFromMm: number;
  readonly toMm: number;
  readonly uToMm: number;
}

/** How one landmark's reading follows from another's. */
export interface LandmarkRelation {
  readonly kind: 'relation';
  readonly line: UncertainLine;
  /** By how much the stated variances are widened because the pairs scatter more than stated; 1 if they do not. */
  readonly varianceScale: number;
  readonly coverage: number;
  readonly pairs: number;
  readonly triedMm: { readonly from: number; readonly to: number };
  /** One sentence: what it rests on. */
  readonly sentence: string;
}

/** A relation, or what is missing for one. */
export type LandmarkRelationAnswer =
  | LandmarkRelation
  | { readonly kind: 'tooLittle'; readonly sentence: string };

/** Settings closer together than this many standard uncertainties count as one. */
const ONE_SETTING = 4;

/**
 * Straight-line relation between the readings of two landmarks taken at the same settings: both move with the cam, so
 * each is a straight function of its travel. Uncertain in both (York et al. 2004); where the pairs scatter more than
 * their uncertainties say, these are widened by the ratio found (R. Birge, Phys. Rev. 40 (1932) 207–227).
 */
export const relateLandmarks = (pairs: readonly LandmarkPair[]): LandmarkRelationAnswer => {
  const readings = pairs.map((p) => p.fromMm);
  const from = Math.min(...readings);
  const to = Math.max(...readings);
  const widest = Math.max(...pairs.map((p) => p.uFromMm));
  if (pairs.length < 2 || to - from <= ONE_SETTING * widest) {
    return {
      kind: 'tooLittle',
      sentence:
        'To relate two landmarks, read both at two or more settings that differ clearly, half a turn or more apart.',
    };
  }
  const line = fitUncertainLine(pairs.map((p) => ({ x: p.fromMm, uX: p.uFromMm, y: p.toMm, uY: p.uToMm })));
  const ratio = line.degreesOfFreedom > 0 ? line.chiSquared / line.degreesOfFreedom : 1;
  const widened = ratio > 1;
  return {
    kind: 'relation',
    line,
    varianceScale: widened ? ratio : 1,
    coverage: coverageFactor(widened ? line.degreesOfFreedom : Number.POSITIVE_INFINITY),
    pairs: pairs.length,
    triedMm: { from, to },
    sentence:
      line.degreesOfFreedom > 0
        ? `From ${pairs.length} settings at which both were read.`
        : 'From two settings at which both were read; a third would show how well a straight line holds.',
  };
};

/** One landmark's reading worked out from the other's. */
export interface ConvertedReading {
  readonly mm: number;
  readonly standardUncertaintyMm: number;
  readonly plusMinus95Mm: number;
  /** How far the given reading lies beyond those the relation was found from, mm. */
  readonly beyondMm: number;
}

/**
 * Converts a reading of the first landmark into one of the second; its uncertainty holds the reading's own and the
 * relation's.
 */
export const convertReading = (
  relation: LandmarkRelation,
  readingMm: number,
  uReadingMm: number,
): ConvertedReading => {
  const { line, triedMm } = relation;
  const arm = readingMm - line.centreX;
  const variance =
    relation.varianceScale * (line.uLevel ** 2 + (arm * line.uSlope) ** 2) + (line.slope * uReadingMm) ** 2;
  return {
    mm: line.levelY + line.slope * arm,
    standardUncertaintyMm: Math.sqrt(variance),
    plusMinus95Mm: relation.coverage * Math.sqrt(variance),
    beyondMm: Math.max(0, triedMm.from - readingMm, readingMm - triedMm.to),
  };
};
