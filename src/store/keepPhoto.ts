import type { Id } from '../domain/records';
import { newId, now } from '../storage/ids';
import type { Storage } from '../storage/repository';
import { thumbnailOf } from './thumbnail';

const unreadable =
  'This browser cannot show that file as a photo; nothing was changed: choose a JPEG, PNG or WebP picture.';

/** Stores a chosen photo as it is, and a small picture of it. @returns its id, or a sentence when the browser cannot show it. */
export const keepPhoto = async (
  storage: Pick<Storage, 'savePhoto'>,
  file: File,
): Promise<{ readonly id: Id } | { readonly sentence: string }> => {
  const bytes = await file.arrayBuffer();
  // A drawing in SVG could carry scripts, so only pictures made of pixels are taken.
  if (!/^image\/(?!svg)/.test(file.type)) return { sentence: unreadable };
  const thumbnail = await thumbnailOf(bytes, file.type);
  if (!thumbnail) return { sentence: unreadable };
  const id = newId();
  await storage.savePhoto({
    id,
    fileName: file.name,
    mime: file.type,
    bytes,
    thumbnail,
    createdAt: now(),
  });
  return { id };
};
