import { useMemo } from 'react';
import type { Id, Photo } from '../../domain/records';
import { useObjectAddress } from '../useObjectAddress';

/** Where photos come from: the notebook. */
export interface Photos {
  readonly getPhoto: (photoId: Id) => Promise<Photo | null>;
}

/** The address of a stored photo; null until it is there, and when there is none. */
export const usePhoto = (storage: Photos, photoId: Id | null): string | null =>
  useObjectAddress(
    useMemo(() => (photoId === null ? null : () => storage.getPhoto(photoId)), [storage, photoId]),
  );
