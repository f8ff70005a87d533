import { useEffect, useState } from 'react';
import type { Id } from '../../../domain/records';
import type { SwatchCard } from '../../../storage/cards';
import type { Storage } from '../../../storage/repository';

/** The swatch that was finished last, other than this one; null when there is none, or `wanted` is false. */
export const useLastTime = (
  storage: Pick<Storage, 'listSwatches'>,
  swatchId: Id,
  wanted: boolean,
): SwatchCard | null => {
  const [last, setLast] = useState<SwatchCard | null>(null);
  useEffect(() => {
    if (!wanted) return;
    let gone = false;
    storage.listSwatches().then(
      (cards) => {
        const finished = cards.filter(
          ({ id, state, deletedAt, yarnId, machineId }) =>
            id !== swatchId && state === 'saved' && deletedAt === null && (yarnId ?? machineId) !== null,
        );
        if (!gone) setLast(finished.sort((a, b) => b.createdAt.localeCompare(a.createdAt))[0] ?? null);
      },
      // Without a proposal everything is still there to be picked.
      () => undefined,
    );
    return () => {
      gone = true;
    };
  }, [storage, swatchId, wanted]);
  return wanted ? last : null;
};
