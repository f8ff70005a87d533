import { poolRepeatability, type Repeatability } from '../domain/caliper';
import { type CamFitAnswer, fitCam } from '../domain/camFit';
import {
  type CamRecord,
  type CamSelected,
  type CamSelection,
  selectCamRecords,
} from '../domain/camFitRecords';
import { camRecordOf } from '../domain/camFitSwatch';
import {
  type LandmarkRelation,
  type LandmarkRelationAnswer,
  relateLandmarks,
} from '../domain/landmarkRelation';
import { findGrowth, type GrowthFinding, type LandmarkGrowth } from '../domain/landmarkRelationGrowth';
import { pairsBetween, recordsAt } from '../domain/landmarkRelationRecords';
import { nominalTravelAt, turnSessionOf } from '../domain/machineTurns';
import type { CaliperReading, Id, Jaw } from '../domain/records';
import { calibrateTurns, type TurnCalibrationAnswer } from '../domain/turns';
import type { MachineContents } from '../storage/machineShelf';

/** What follows from all that a machine remembers. Each answer is worked out once, when it is first asked for. */
export interface MachineKnowledge {
  /** How well readings repeat at a landmark; null when none was repeated. */
  readonly repeatability: (landmarkId: Id) => Repeatability | null;
  /** What the swatches say about a landmark's growth. */
  readonly growthFinding: (landmarkId: Id) => GrowthFinding;
  /** The growth to go by: what was said, or else what the swatches say; null while neither tells. */
  readonly growth: (landmarkId: Id) => LandmarkGrowth | null;
  readonly calibration: (landmarkId: Id) => TurnCalibrationAnswer;
  readonly relation: (fromId: Id, toId: Id) => LandmarkRelationAnswer;
  /** The swatches that can serve, as if read at this landmark where a relation leads to it. */
  readonly records: (landmarkId: Id) => readonly CamRecord[];
  readonly select: (selection: CamSelection) => CamSelected;
  /** The unit that readings of this machine are usually taken in. */
  readonly unit: CaliperReading['unit'];
}

const remembered = <K, V>(work: (key: K) => V, labelOf: (key: K) => string): ((key: K) => V) => {
  const answers = new Map<string, V>();
  return (key) => {
    const label = labelOf(key);
    const known = answers.get(label);
    if (known !== undefined) return known;
    const answer = work(key);
    answers.set(label, answer);
    return answer;
  };
};
const byId = <V>(work: (id: Id) => V): ((id: Id) => V) => remembered(work, (id) => id);

/** Every reading that the machine remembers, oldest kind first. */
const allReadings = ({ swatches, turns, sameSettings, camLogs }: MachineContents): CaliperReading[] => [
  ...swatches.flatMap(({ reading }) => (reading ? [reading] : [])),
  ...turns.flatMap(({ start, moves }) => [start, ...moves.map(({ after }) => after)]),
  ...sameSettings.flatMap(({ readings }) => readings),
  ...camLogs.flatMap(({ steps }) => steps.map(({ reading }) => reading)),
];

/** The unit of the reading that was taken last; millimetres when there is none. */
const usualUnit = (contents: MachineContents): CaliperReading['unit'] => {
  const dated = [
    ...contents.swatches.map(({ createdAt, reading }) => ({ at: createdAt, unit: reading?.unit })),
    ...contents.turns.map(({ createdAt, start }) => ({ at: createdAt, unit: start.unit })),
    ...contents.sameSettings.map(({ createdAt, readings }) => ({ at: createdAt, unit: readings[0]?.unit })),
    ...contents.camLogs.map(({ startedAt, steps }) => ({ at: startedAt, unit: steps.at(-1)?.reading.unit })),
  ].filter(({ unit }) => unit !== undefined);
  return dated.sort((a, b) => a.at.localeCompare(b.at)).at(-1)?.unit ?? 'mm';
};

/** Works out what a machine's records say. */
export const knowledgeOf = (contents: MachineContents): MachineKnowledge => {
  const { machine, landmarks, turns, sameSettings, swatches } = contents;
  const readings = allReadings(contents);
  const jawOf = (id: Id): Jaw => landmarks.find((landmark) => landmark.id === id)?.jaw ?? 'outside';

  const repeatability = byId((id) =>
    poolRepeatability(readings.flatMap((r) => (r.landmarkId === id ? [r.repeats.map(({ mm }) => mm)] : []))),
  );
  const asRead: CamRecord[] = swatches.flatMap((swatch) => {
    const landmarkId = swatch.reading?.landmarkId;
    const answer = camRecordOf(swatch, landmarks, landmarkId ? repeatability(landmarkId) : null);
    return answer.kind === 'record' ? [answer.record] : [];
  });
  const growthFinding = byId((id) =>
    findGrowth(
      asRead.filter((record) => record.landmarkId === id),
      landmarks.find((landmark) => landmark.id === id)?.growth ?? null,
    ),
  );
  const growth = (id: Id): LandmarkGrowth | null =>
    landmarks.find((landmark) => landmark.id === id)?.growth ?? growthFinding(id).growth;
  const relate = remembered(
    ([from, to]: readonly [Id, Id]) =>
      relateLandmarks(
        pairsBetween(
          sameSettings,
          { id: from, jaw: jawOf(from), known: repeatability(from) },
          { id: to, jaw: jawOf(to), known: repeatability(to) },
        ),
      ),
    ([from, to]) => `${from} ${to}`,
  );
  const records = byId((id): readonly CamRecord[] => {
    const relations = new Map<Id, LandmarkRelation>();
    for (const other of landmarks) {
      const answer = other.id === id ? null : relate([other.id, id]);
      if (answer?.kind === 'relation') relations.set(other.id, answer);
    }
    return recordsAt(asRead, id, relations);
  });
  return {
    repeatability,
    growthFinding,
    growth,
    calibration: byId((id) =>
      calibrateTurns(
        turns
          .filter(({ landmarkId }) => landmarkId === id)
          .map((record) => turnSessionOf(record, jawOf(id), repeatability(id))),
        nominalTravelAt(machine, growth(id)),
      ),
    ),
    relation: (from, to) => relate([from, to]),
    records,
    select: (selection) => selectCamRecords(records(selection.landmarkId), selection),
    unit: usualUnit(contents),
  };
};

/** The fits of stitch width and row height over one selection. */
export interface CamFits {
  readonly wales: CamFitAnswer;
  readonly courses: CamFitAnswer;
}

/** Both fits over records that may be fitted together. */
export const fitsOf = (selected: CamSelected & { readonly kind: 'ready' }): CamFits => ({
  wales: fitCam(selected.own, selected.others, 'wale'),
  courses: fitCam(selected.own, selected.others, 'course'),
});
