import type { Id, Moment, Swatch } from '../domain/records';
import { now } from './ids';

/**
 * A version of a swatch that was on its way to the database when the page went away. Written synchronously, because a page
 * that is being closed gets no time for anything else.
 */
export interface UnsavedSwatch {
  readonly swatch: Swatch;
  readonly writer: Id;
  readonly knownRevision: number | null;
  readonly at: Moment;
  /** The measurement did not fit and is to be taken from the stored row. */
  readonly withoutMeasurement: boolean;
}

export interface Journal {
  readonly put: (swatch: Swatch, knownRevision: number | undefined) => void;
  /** Forgets what this window put in for a swatch. */
  readonly clear: (swatchId: Id) => void;
  /** Everything that any window left behind. */
  readonly read: () => UnsavedSwatch[];
  readonly forget: (entry: UnsavedSwatch) => void;
}

/** The part of `localStorage` that is needed here. */
export type KeyValueStore = Pick<globalThis.Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>;

const parse = (text: string | null): UnsavedSwatch | null => {
  try {
    const value = JSON.parse(text ?? 'null') as UnsavedSwatch | null;
    return typeof value?.swatch?.id === 'string' && typeof value.writer === 'string' ? value : null;
  } catch {
    return null;
  }
};

/** A journal in a synchronous key-value store, one entry a window and swatch. */
export const createJournal = (store: KeyValueStore, prefix: string, writer: Id): Journal => {
  const keyOf = (by: Id, swatchId: Id): string => `${prefix}.unsaved.${by}.${swatchId}`;
  const write = (entry: UnsavedSwatch): boolean => {
    try {
      store.setItem(keyOf(writer, entry.swatch.id), JSON.stringify(entry));
      return true;
    } catch {
      return false;
    }
  };
  return {
    put: (swatch, knownRevision) => {
      const entry = { swatch, writer, knownRevision: knownRevision ?? null, at: now() };
      if (write({ ...entry, withoutMeasurement: false })) return;
      write({ ...entry, swatch: { ...swatch, measurement: null }, withoutMeasurement: true });
    },
    clear: (swatchId) => store.removeItem(keyOf(writer, swatchId)),
    read: () =>
      Array.from({ length: store.length }, (_, index) => store.key(index))
        .filter((key): key is string => key?.startsWith(`${prefix}.unsaved.`) === true)
        .map((key) => parse(store.getItem(key)))
        .filter((entry) => entry !== null),
    forget: (entry) => store.removeItem(keyOf(entry.writer, entry.swatch.id)),
  };
};
