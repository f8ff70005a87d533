import { useState } from 'react';
import type { CamSelection } from '../../../domain/camFitRecords';
import type { Id, RestState } from '../../../domain/records';
import { usualLandmark } from '../../../store/machineLandmark';
import type { OpenMachine } from '../openMachine';

/** What has been chosen so far; null stands for what the records suggest. */
export interface ChosenSelection {
  readonly yarnId: Id | null;
  readonly needles: number | null;
  readonly landmarkId: Id | null;
  /** Undefined while it was not chosen; null is a state of its own: not recorded. */
  readonly restState: RestState | null | undefined;
}

const nothing: ChosenSelection = { yarnId: null, needles: null, landmarkId: null, restState: undefined };

/** Yarns in the order in which they are offered: those with swatches on the machine first, newest first. */
export const offeredYarns = ({ yarns, swatches }: Pick<OpenMachine, 'yarns' | 'swatches'>) => {
  const newest = (id: Id): number => swatches.findLastIndex(({ yarnId }) => yarnId === id);
  return [...yarns].sort((a, b) => newest(b.id) - newest(a.id));
};

/** Needle counts that the machine or its swatches name. */
export const offeredNeedles = ({ machine, swatches }: Pick<OpenMachine, 'machine' | 'swatches'>): number[] =>
  [
    ...new Set([
      ...machine.cylinderNeedles,
      ...swatches.flatMap(({ cylinderNeedles }) => (cylinderNeedles === null ? [] : [cylinderNeedles])),
    ]),
  ].sort((a, b) => a - b);

/** The rest states of all swatches that were read at a landmark, the most common first. */
export const restStatesAt = (
  { knowledge }: Pick<OpenMachine, 'knowledge'>,
  landmarkId: Id,
): { readonly restState: RestState | null; readonly count: number }[] => {
  const counts = new Map<RestState | null, number>();
  for (const record of knowledge.records(landmarkId)) {
    if (record.landmarkId !== landmarkId) continue;
    counts.set(record.restState, (counts.get(record.restState) ?? 0) + 1);
  }
  return [...counts].map(([restState, count]) => ({ restState, count })).sort((a, b) => b.count - a.count);
};

/** What a fit is wanted for: what was chosen, and for the rest what was knitted last. Null while something is missing. */
export const selectionOf = (open: OpenMachine, chosen: ChosenSelection): CamSelection | null => {
  const { machine, swatches, landmarks } = open;
  const yarn = open.yarns.find(({ id }) => id === chosen.yarnId) ?? offeredYarns(open)[0];
  const landmark = landmarks.find(({ id }) => id === chosen.landmarkId) ?? usualLandmark(open);
  if (!yarn || !landmark) return null;
  const lastKnitted = swatches.findLast(({ yarnId }) => yarnId === yarn.id)?.cylinderNeedles;
  const cylinderNeedles =
    chosen.needles ?? lastKnitted ?? machine.mountedNeedles ?? offeredNeedles(open)[0] ?? null;
  if (cylinderNeedles === null) return null;
  const hasOwn = open.knowledge
    .records(landmark.id)
    .some(
      (record) =>
        record.landmarkId === landmark.id &&
        record.yarnId === yarn.id &&
        record.cylinderNeedles === cylinderNeedles,
    );
  // A yarn without swatches of its own has no rest state to go by: other yarns lend theirs.
  const lent = hasOwn ? undefined : restStatesAt(open, landmark.id)[0]?.restState;
  const restState = chosen.restState !== undefined ? chosen.restState : lent;
  return {
    yarnId: yarn.id,
    machineId: machine.id,
    cylinderNeedles,
    landmarkId: landmark.id,
    ...(restState !== undefined && { restState }),
  };
};

/** Holds what is being chosen. Another yarn or cylinder forgets the rest state, which may not occur there. */
export const useSelection = () => {
  const [chosen, setChosen] = useState(nothing);
  const change = (patch: Partial<ChosenSelection>): void =>
    setChosen((before) => ({ ...before, restState: undefined, ...patch }));
  return { chosen, change };
};
