/** Something about the notebook that the user should know, in one sentence. */
export interface StorageNotice {
  readonly kind: 'reloadNeeded' | 'otherWindowInTheWay' | 'full' | 'keptBoth' | 'recovered';
  readonly sentence: string;
}

export interface Notices {
  /** Calls `listener` for every notice from now on; the returned function ends that. */
  readonly subscribe: (listener: (notice: StorageNotice) => void) => () => void;
  readonly tell: (notice: StorageNotice) => void;
}

/** A list of listeners for notices. */
export const createNotices = (): Notices => {
  const listeners = new Set<(notice: StorageNotice) => void>();
  return {
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    tell: (notice) => {
      for (const listener of listeners) listener(notice);
    },
  };
};
