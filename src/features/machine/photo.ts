import { useEffect, useState } from 'react';
import type { Id } from '../../domain/records';
import { newId, now } from '../../storage/ids';
import type { Storage } from '../../storage/repository';

const unreadable =
  'This browser cannot show that file as a photo; nothing was changed: choose a JPEG, PNG or WebP picture.';

/** Stores a chosen photo as it is. @returns its id, or a sentence when the browser cannot show it. */
export const keepPhoto = async (
  storage: Pick<Storage, 'savePhoto'>,
  file: File,
): Promise<{ readonly id: Id } | { readonly sentence: string }> => {
  const bytes = await file.arrayBuffer();
  // A drawing in SVG could carry scripts, so only pictures made of pixels are taken.
  if (!/^image\/(?!svg)/.test(file.type)) return { sentence: unreadable };
  try {
    (await createImageBitmap(new Blob([bytes], { type: file.type }))).close();
  } catch {
    return { sentence: unreadable };
  }
  const id = newId();
  await storage.savePhoto({
    id,
    fileName: file.name,
    mime: file.type,
    bytes,
    thumbnail: null,
    createdAt: now(),
  });
  return { id };
};

/** The address of a stored photo; null until it is there, and when there is none. */
export const usePhoto = (storage: Pick<Storage, 'getPhoto'>, photoId: Id | null): string | null => {
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
