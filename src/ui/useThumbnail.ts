import { useMemo } from 'react';
import type { Id, Photo } from '../domain/records';
import { useObjectAddress } from './useObjectAddress';

/** Where small pictures come from: the notebook. */
export interface Thumbnails {
  readonly getThumbnail: (photoId: Id) => Promise<Photo['thumbnail']>;
}

/** The address of a photo’s small picture; null until it is there, and when there is none. */
export const useThumbnail = (storage: Thumbnails, photoId: Id | null): string | null =>
  useObjectAddress(
    useMemo(() => (photoId === null ? null : () => storage.getThumbnail(photoId)), [storage, photoId]),
  );
