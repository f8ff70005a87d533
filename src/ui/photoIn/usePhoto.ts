import { useEffect, useState } from 'react';
import type { Id, Photo } from '../../domain/records';

/** Where photos come from: the notebook. */
export interface Photos {
  readonly getPhoto: (id: Id) => Promise<Photo | null>;
}

/** The address of a stored photo; null until it is there, and when there is none. */
export const usePhoto = (storage: Photos, photoId: Id | null): string | null => {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    if (photoId === null) return;
    let made: string | null = null;
    let gone = false;
    storage.getPhoto(photoId).then(
      (photo) => {
        if (gone || !photo) return;
        made = URL.createObjectURL(new Blob([photo.bytes], { type: photo.mime }));
        setUrl(made);
      },
      // The form works without its picture; a notebook that cannot be read says so where it is saved.
      () => undefined,
    );
    return () => {
      gone = true;
      if (made) URL.revokeObjectURL(made);
      setUrl(null);
    };
  }, [storage, photoId]);
  return url;
};
