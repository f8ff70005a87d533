import { useEffect, useState } from 'react';
import type { Id } from '../../domain/records';
import type { Storage } from '../../storage/repository';

/** Where the list's small pictures come from. */
export type PictureSource = Pick<Storage, 'getThumbnails' | 'onChange'>;

/** As many addresses as several screens of lines need; older ones are given back. */
const KEPT = 300;
/** Pictures unpacked before the page may draw again. */
const AT_ONCE = 4;

type Listener = (address: string) => void;

/**
 * Small pictures for a list that is scrolled and searched fast: asked for after the words are drawn, read several at once, and their
 * addresses kept so that a line that comes back has its picture at once.
 */
export const createListPictures = (storage: PictureSource) => {
  /** In the order of their last use. */
  const known = new Map<Id, string>();
  const wanted = new Map<Id, Set<Listener>>();
  let planned = false;

  const keep = (photoId: Id, address: string): void => {
    known.set(photoId, address);
    for (const [oldest, old] of known) {
      if (known.size <= KEPT) break;
      known.delete(oldest);
      URL.revokeObjectURL(old);
    }
  };

  const afterDrawing = (work: () => void): void => {
    requestAnimationFrame(() => setTimeout(work));
  };

  const plan = (): void => {
    if (planned) return;
    planned = true;
    afterDrawing(() => {
      read()
        // A list without one of its pictures still works; a notebook that cannot be read says so where it is opened.
        .catch(() => wanted.clear())
        .finally(() => {
          planned = false;
          if (wanted.size > 0) plan();
        });
    });
  };

  const read = async (): Promise<void> => {
    const ids = [...wanted.keys()].slice(0, AT_ONCE);
    const found = await storage.getThumbnails(ids);
    for (const id of ids) {
      const listeners = wanted.get(id);
      wanted.delete(id);
      const file = found.get(id);
      if (!listeners || !file) continue;
      const address = URL.createObjectURL(new Blob([file.bytes], { type: file.mime }));
      keep(id, address);
      for (const listener of listeners) listener(address);
    }
  };

  storage.onChange(['thumbnails'], (changes) => {
    const ids = changes.get('thumbnails');
    // What shows now keeps its picture until it is drawn anew.
    for (const id of ids === 'any' ? [...known.keys()] : (ids ?? [])) known.delete(id);
  });

  return {
    /** The address, if it is at hand. */
    find: (photoId: Id): string | null => {
      const address = known.get(photoId);
      if (address === undefined) return null;
      known.delete(photoId);
      known.set(photoId, address);
      return address;
    },
    /** Calls back once the picture is there, if there is one; the returned function takes the wish back. */
    want: (photoId: Id, listener: Listener): (() => void) => {
      const listeners = wanted.get(photoId) ?? new Set();
      wanted.set(photoId, listeners.add(listener));
      plan();
      return () => {
        listeners.delete(listener);
        if (listeners.size === 0 && wanted.get(photoId) === listeners) wanted.delete(photoId);
      };
    },
  };
};

const shelves = new WeakMap<PictureSource, ReturnType<typeof createListPictures>>();
const picturesOf = (storage: PictureSource): ReturnType<typeof createListPictures> => {
  const shelf = shelves.get(storage) ?? createListPictures(storage);
  shelves.set(storage, shelf);
  return shelf;
};

/** The address of a photo’s small picture for a line of a list; null until it is there, and when there is none. */
export const useListPicture = (storage: PictureSource, photoId: Id | null): string | null => {
  const pictures = picturesOf(storage);
  const [shown, setShown] = useState<{ readonly photoId: Id; readonly address: string } | null>(null);
  const atHand = photoId === null ? null : pictures.find(photoId);
  useEffect(() => {
    if (photoId === null || pictures.find(photoId) !== null) return;
    return pictures.want(photoId, (address) => setShown({ photoId, address }));
  }, [pictures, photoId]);
  return atHand ?? (shown?.photoId === photoId ? shown.address : null);
};
