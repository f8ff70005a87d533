import { useEffect, useState } from 'react';
import type { Landmark, Machine, Yarn } from '../../../domain/records';
import type { Storage } from '../../../storage/repository';

/** The part of the notebook that a swatch's record refers to. */
export type RecordStorage = Pick<
  Storage,
  'yarns' | 'machines' | 'landmarks' | 'watch' | 'listSwatches' | 'getPhoto' | 'readMachine'
>;

export interface Records {
  readonly yarns: readonly Yarn[];
  readonly machines: readonly Machine[];
  readonly landmarks: readonly Landmark[];
  /** One sentence when they cannot be read; null while all is well. */
  readonly problem: string | null;
}

const none: Records = { yarns: [], machines: [], landmarks: [], problem: null };

/** Yarns, machines and landmarks as they are now; null until they have been read for the first time. */
export const useRecords = (storage: RecordStorage): Records | null => {
  const [records, setRecords] = useState<Records | null>(null);
  useEffect(
    () =>
      storage.watch(
        async () => {
          const [yarns, machines, landmarks] = await Promise.all([
            storage.yarns.list(),
            storage.machines.list(),
            storage.landmarks.list(),
          ]);
          return { yarns, machines, landmarks, problem: null };
        },
        setRecords,
        ({ sentence }) => setRecords((before) => ({ ...(before ?? none), problem: sentence })),
      ),
    [storage],
  );
  return records;
};
