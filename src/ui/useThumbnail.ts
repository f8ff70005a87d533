import { useEffect, useState } from 'react';
import type { Id, Photo } from '../domain/records';

/** Where small pictures come from: the notebook. */
export interface Thumbnails {
  readonly getThumbnail: (photoId: Id) => Promise<Photo['thumbnail']>;
}

/** The address of a photo's small picture; null until it is there, and when there is none. */
export const useThumbnail = (storage: Thumbnails, photoId: Id | null): string | null => {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    if (photoId === null) return;
    let made: string | null = null;
    let gone = false;
    storage.getThumbnail(photoId).then(
      (thumbnail) => {
        if (gone || !thumbnail) return;
        made = URL.createObjectURL(new Blob([thumbnail.bytes], { type: thumbnail.mime }));
        setUrl(made);
      },
      // A list without one of its pictures is still a list; the failure shows wherever the photo itself is opened.
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
