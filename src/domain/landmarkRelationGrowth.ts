import { groupSlopes } from './camFit';
import type { CamGroup, CamRecord } from './camFitRecords';
import { coverageFactor, weightedMean } from './statistics';

/** Whether a landmark's reading grows or shrinks as the stitch gets longer. */
export type LandmarkGrowth = 'grows' | 'shrinks';

/** What the swatches say about a landmark's growth, and whether that is what she said. */
export interface GrowthFinding {
  /** Null while the swatches do not tell. */
  readonly growth: LandmarkGrowth | null;
  /** False when the data clearly say the opposite of what was stated. */
  readonly agrees: boolean;
  /** mm of stitch width a mm of reading, over all yarns, with its standard uncertainty; null without data. */
  readonly slope: { readonly value: number; readonly standardUncertainty: number } | null;
  /** One sentence. */
  readonly sentence: string;
}

/** Swatches that differ in nothing but the setting. */
const comparable = (records: readonly CamRecord[]): CamGroup[] => {
  const groups = new Map<string, CamRecord[]>();
  for (const r of records) {
    const key = JSON.stringify([r.machineId, r.landmarkId, r.yarnId, r.cylinderNeedles, r.restState]);
    groups.set(key, [...(groups.get(key) ?? []), r]);
  }
  return [...groups.values()].map((members) => ({
    yarnId: members[0]?.yarnId ?? '',
    cylinderNeedles: members[0]?.cylinderNeedles ?? 0,
    records: members,
  }));
};

const words: Record<LandmarkGrowth, string> = {
  grows: 'grows as the stitch gets longer',
  shrinks: 'shrinks as the stitch gets longer',
};

/**
 * Finds from swatches knitted at different settings whether this landmark's reading grows or shrinks with the stitch, and
 * checks it against what was stated. Decided only when the common slope differs from zero at 99 %.
 * @param records swatches read at this one landmark; only those alike in yarn, cylinder and rest state are compared.
 */
export const findGrowth = (records: readonly CamRecord[], stated: LandmarkGrowth | null): GrowthFinding => {
  const slopes = groupSlopes(comparable(records), 'wale');
  if (slopes.length === 0) {
    return {
      growth: null,
      agrees: true,
      slope: null,
      sentence: 'No yarn was knitted at two settings here yet, so the swatches do not tell.',
    };
  }
  const common = weightedMean(
    slopes.map((s) => s.slope),
    slopes.map((s) => 1 / s.varianceOfSlope),
  );
  const degreesOfFreedom = slopes.reduce((sum, s) => sum + s.degreesOfFreedom, 0);
  const ratio = slopes.reduce((sum, s) => sum + s.chiSquared, 0) / degreesOfFreedom;
  const widened = degreesOfFreedom > 0 && ratio > 1;
  const standardUncertainty = common.standardUncertainty * (widened ? Math.sqrt(ratio) : 1);
  const needed = coverageFactor(widened ? degreesOfFreedom : Number.POSITIVE_INFINITY, 0.99);
  const slope = { value: common.value, standardUncertainty };
  if (Math.abs(common.value) <= needed * standardUncertainty) {
    return {
      growth: null,
      agrees: true,
      slope,
      sentence: 'The swatches so far do not tell whether this reading grows or shrinks with the stitch.',
    };
  }
  const growth: LandmarkGrowth = common.value > 0 ? 'grows' : 'shrinks';
  const agrees = stated === null || stated === growth;
  return {
    growth,
    agrees,
    slope,
    sentence: agrees
      ? `The swatches show that this reading ${words[growth]}.`
      : `The swatches show that this reading ${words[growth]}, the opposite of what the landmark says: check which is right.`,
  };
};
