import { useEffect, useState } from 'react';
import type { Repeatability } from '../../../domain/caliper';
import type { Id } from '../../../domain/records';
import type { MachineContents } from '../../../storage/machineShelf';
import type { Storage } from '../../../storage/repository';
import { knowledgeOf } from '../../../store/machineKnowledge';

interface Props {
  readonly storage: Pick<Storage, 'readMachine' | 'watch'>;
  readonly machineId: Id | null;
  readonly landmarkId: Id | null;
  /** The swatch in hand: its own repeats must not speak for themselves twice. */
  readonly swatchId: Id;
}

/** How well readings of a landmark repeat by all that its machine remembers; null when nothing is known of it. */
export const useRepeatability = ({
  storage,
  machineId,
  landmarkId,
  swatchId,
}: Props): Repeatability | null => {
  const [contents, setContents] = useState<MachineContents | null>(null);
  useEffect(() => {
    setContents(null);
    if (machineId === null) return;
    return storage.watch(
      () => storage.readMachine(machineId),
      setContents,
      // Without it the usual scatter is taken, as for a landmark that is new.
      () => setContents(null),
    );
  }, [storage, machineId]);
  if (!contents || landmarkId === null) return null;
  const others = contents.swatches.filter(({ id }) => id !== swatchId);
  return knowledgeOf({ ...contents, swatches: others }).repeatability(landmarkId);
};
