import { evaluateReading, type Repeatability } from './caliper';
import type { CamRecord } from './camFitRecords';
import { convertReading, type LandmarkPair, type LandmarkRelation } from './landmarkRelation';
import type { LandmarkRecord, SameSettingRecord } from './machineRecords';
import type { Id } from './records';

/** A landmark as far as its readings are concerned, with the scatter learnt there. */
export interface ReadLandmark extends Pick<LandmarkRecord, 'id' | 'jaw'> {
  readonly known: Repeatability | null;
}

/** The pairs that records of several landmarks read at one setting give for two of them. */
export const pairsBetween = (
  records: readonly Pick<SameSettingRecord, 'readings'>[],
  from: ReadLandmark,
  to: ReadLandmark,
): LandmarkPair[] =>
  records.flatMap(({ readings }) => {
    const [a, b] = [from, to].map((landmark) => {
      const reading = readings.find(({ landmarkId }) => landmarkId === landmark.id);
      return reading && evaluateReading(reading, landmark.jaw, landmark.known);
    });
    if (!a || !b) return [];
    return [
      {
        fromMm: a.meanMm,
        uFromMm: a.sameCaliperUncertaintyMm,
        toMm: b.meanMm,
        uToMm: b.sameCaliperUncertaintyMm,
      },
    ];
  });

/**
 * Swatches as if they had been read at one landmark: those read there, and those read elsewhere that a relation leads from, with
 * the relation's uncertainty in theirs. A swatch that no relation leads from stays as it is.
 * @param relations by the landmark that they lead from.
 */
export const recordsAt = (
  records: readonly CamRecord[],
  landmarkId: Id,
  relations: ReadonlyMap<Id, LandmarkRelation>,
): CamRecord[] =>
  records.map((record) => {
    const relation = record.landmarkId === landmarkId ? undefined : relations.get(record.landmarkId);
    if (!relation) return record;
    const converted = convertReading(relation, record.readingMm, record.uReadingMm);
    return {
      ...record,
      landmarkId,
      readingMm: converted.mm,
      uReadingMm: converted.standardUncertaintyMm,
    };
  });
