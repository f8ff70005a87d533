import { createStore, type StoreApi } from 'zustand';
import type { Id, Landmark, Machine, RestState, Yarn } from '../domain/records';
import { type StorageError, toStorageError } from '../storage/errors';
import type { Storage } from '../storage/repository';
import { draftOfSamePiece } from './drafts';
import { createNotebookReading } from './notebookReading';
import { filterRows, type NotebookFilter, type NotebookRow, wholeNotebook } from './notebookRows';
import { createNotebookShelf } from './notebookShelf';

export interface NotebookState {
  /** False until there is something to show. */
  readonly ready: boolean;
  /** False while only the newest swatches have been read. */
  readonly complete: boolean;
  readonly rows: readonly NotebookRow[];
  /** How many of them are deleted and can still come back. */
  readonly deletedCount: number;
  /** The rows that the filter leaves, in its order. */
  readonly shown: readonly NotebookRow[];
  readonly filter: NotebookFilter;
  readonly yarns: readonly Yarn[];
  readonly machines: readonly Machine[];
  readonly landmarks: readonly Landmark[];
  /** The swatches that were deleted last, all at once, as long as the offer to bring them back stands. */
  readonly justDeleted: readonly Id[];
  /** The yarn that was saved last for the first time, so that its own page can say so. */
  readonly justAdded: Id | null;
  readonly lastArchive: string | null;
  readonly problem: string | null;
  /** Where the list was scrolled to, so that coming back finds the place again. */
  readonly scrollTop: number;
}

export interface Notebook {
  readonly store: StoreApi<NotebookState>;
  readonly storage: Storage;
  /** Follows the notebook until the returned function is called. */
  readonly follow: () => () => void;
  readonly narrow: (change: Partial<NotebookFilter>) => void;
  readonly remove: (id: Id) => Promise<void>;
  readonly removeAll: (ids: readonly Id[]) => Promise<void>;
  readonly bringBack: (id: Id) => Promise<void>;
  /** Brings back what was deleted last. */
  readonly undoDelete: () => Promise<void>;
  /**
   * Begins a draft of the same piece of fabric in another rest state.
   * @returns its id; null when that failed, and `problem` says why.
   */
  readonly measureAgain: (id: Id, restState: RestState) => Promise<Id | null>;
  readonly forgetDeleted: () => void;
  /** Remembers (or with null forgets) which yarn has just been added. */
  readonly noteAdded: (yarnId: Id | null) => void;
  readonly rememberScroll: (scrollTop: number) => void;
  readonly tell: (problem: string | null) => void;
}

const empty: NotebookState = {
  ready: false,
  complete: false,
  rows: [],
  deletedCount: 0,
  shown: [],
  filter: wholeNotebook,
  yarns: [],
  machines: [],
  landmarks: [],
  justDeleted: [],
  justAdded: null,
  lastArchive: null,
  problem: null,
  scrollTop: 0,
};

/** The notebook as a screen sees it: all swatches joined with what they refer to, narrowed down and in order. */
export const createNotebook = (storage: Storage): Notebook => {
  const store = createStore<NotebookState>(() => empty);
  const { getState: get, setState: set } = store;

  const shelf = createNotebookShelf();
  const show = (complete: boolean): void => {
    const rows = shelf.rows();
    const { filter, rows: before, shown, deletedCount } = get();
    set({
      ready: true,
      complete,
      rows,
      ...shelf.belongings(),
      ...(rows === before
        ? { shown, deletedCount }
        : {
            shown: filterRows(rows, filter),
            deletedCount: rows.filter(({ card }) => card.deletedAt !== null).length,
          }),
    });
  };
  const follow = createNotebookReading(storage, shelf, {
    onShelf: show,
    onLastArchive: (lastArchive) => set({ lastArchive }),
    onFailure: (error) => set({ problem: toStorageError(error).sentence }),
  });

  const attempt = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      set({ problem: (error as StorageError).sentence });
    }
  };

  const removeAll = (ids: readonly Id[]): Promise<void> =>
    attempt(async () => {
      const gone: Id[] = [];
      try {
        for (const id of ids) {
          await storage.deleteSwatch(id);
          gone.push(id);
        }
      } finally {
        if (gone.length > 0) set({ justDeleted: gone });
      }
    });
  const bringBack = (id: Id): Promise<void> =>
    attempt(async () => {
      await storage.undoDelete(id);
      set({ justDeleted: get().justDeleted.filter((deleted) => deleted !== id) });
    });

  return {
    store,
    storage,
    follow,
    narrow: (change) => {
      const filter = { ...get().filter, ...change };
      set({ filter, shown: filterRows(get().rows, filter), scrollTop: 0 });
    },
    remove: (id) => removeAll([id]),
    removeAll,
    bringBack,
    undoDelete: async () => {
      for (const id of get().justDeleted) await bringBack(id);
    },
    measureAgain: async (id, restState) => {
      let begun: Id | null = null;
      await attempt(async () => {
        const earlier = await storage.readSwatch(id);
        if (!earlier) {
          set({ problem: 'This swatch is not in the notebook any more; choose another one.' });
          return;
        }
        begun = (await storage.saveDraft(draftOfSamePiece(earlier, restState))).swatch.id;
      });
      return begun;
    },
    forgetDeleted: () => set({ justDeleted: [] }),
    noteAdded: (justAdded) => set({ justAdded }),
    rememberScroll: (scrollTop) => set({ scrollTop }),
    tell: (problem) => set({ problem }),
  };
};
