import { restStateWords } from '../domain/camFitRecords';
import { camRecordOf } from '../domain/camFitSwatch';
import { type ChangeAdvice, changeAdvice } from '../domain/compareViewAdvice';
import type { Gauge } from '../domain/gauge';
import type { Swatch } from '../domain/records';
import type { MachineContents } from '../storage/machineShelf';
import { knowledgeOf, type MachineKnowledge } from './machineKnowledge';

const knowledge = new WeakMap<MachineContents, MachineKnowledge>();
const knownOf = (contents: MachineContents): MachineKnowledge => {
  const found = knowledge.get(contents) ?? knowledgeOf(contents);
  knowledge.set(contents, found);
  return found;
};

/** How to make one swatch's yarn knit like another's gauge, by what its machine remembers. */
export const adviceFor = (
  swatch: Swatch,
  contents: MachineContents | null,
  target: Gauge,
  names: { readonly from: string; readonly target: string },
): ChangeAdvice => {
  if (!contents) {
    return {
      kind: 'none',
      sentence: `${names.from} does not say on which machine it was made, so no setting can be worked out: write it down with the swatch.`,
    };
  }
  const known = knownOf(contents);
  const landmarkId = swatch.reading?.landmarkId ?? null;
  const own = camRecordOf(swatch, contents.landmarks, landmarkId ? known.repeatability(landmarkId) : null);
  if (own.kind === 'lacks') return { kind: 'none', sentence: `${names.from}: ${own.sentence}` };
  const { record } = own;
  const calibration = known.calibration(record.landmarkId);
  const advice = changeAdvice(
    record,
    { walesPerMm: target.walesPerMm.value, coursesPerMm: target.coursesPerMm.value },
    {
      machine: contents.machine,
      landmarkName: contents.landmarks.find(({ id }) => id === record.landmarkId)?.name ?? '',
      growth: known.growth(record.landmarkId),
      calibration: calibration.kind === 'calibration' ? calibration : null,
      select: known.select,
      unit: swatch.reading?.unit ?? known.unit,
    },
    names,
  );
  if (advice.kind === 'none' || record.restState !== null) return advice;
  const caution = `The model takes ${names.from} as one of the swatches with ${restStateWords(null)}.`;
  return { ...advice, cautions: [...advice.cautions, caution] };
};
