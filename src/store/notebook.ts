import { createStore, type StoreApi } from 'zustand';
import type { Id, Landmark, Machine, RestState, Yarn } from '../domain/records';
import type { SwatchCard } from '../storage/cards';
import type { StorageError } from '../storage/errors';
import type { Storage } from '../storage/repository';
import { draftOfSamePiece } from './drafts';
import { filterRows, type NotebookFilter, type NotebookRow, toRows, wholeNotebook } from './notebookRows';

export interface NotebookState {
  /** False until there is something to show. */
  readonly ready: boolean;
  /** False while only the newest swatches have been read. */
  readonly complete: boolean;
  readonly rows: readonly NotebookRow[];
  /** The rows that the filter leaves, in its order. */
  readonly shown: readonly NotebookRow[];
  readonly filter: NotebookFilter;
  readonly yarns: readonly Yarn[];
  readonly machines: readonly Machine[];
  readonly landmarks: readonly Landmark[];
  /** The swatch that was deleted last, as long as the offer to bring it back stands. */
  readonly justDeleted: Id | null;
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
  readonly bringBack: (id: Id) => Promise<void>;
  /**
   * Begins a draft of the same piece of fabric in another rest state.
   * @returns its id; null when that failed, and `problem` says why.
   */
  readonly measureAgain: (id: Id, restState: RestState) => Promise<Id | null>;
  readonly forgetDeleted: () => void;
  readonly rememberScroll: (scrollTop: number) => void;
  readonly tell: (problem: string | null) => void;
}

const empty: NotebookState = {
  ready: false,
  complete: false,
  rows: [],
  shown: [],
  filter: wholeNotebook,
  yarns: [],
  machines: [],
  landmarks: [],
  justDeleted: null,
  lastArchive: null,
  problem: null,
  scrollTop: 0,
};

/** Runs once the page has drawn what it has, or soon where the browser does not say when that is. */
const whenIdle = (work: () => void): void => {
  if ('requestIdleCallback' in globalThis) requestIdleCallback(work, { timeout: 300 });
  else setTimeout(work, 50);
};

/** As many swatches as the tallest screen shows, and some to scroll. */
const FIRST_SCREEN = 60;

/** The notebook as a screen sees it: all swatches joined with what they refer to, narrowed down and in order. */
export const createNotebook = (storage: Storage): Notebook => {
  const store = createStore<NotebookState>(() => empty);
  const { getState: get, setState: set } = store;

  const read = async (cards: () => Promise<SwatchCard[]>) => {
    const [found, yarns, machines, landmarks, lastArchive] = await Promise.all([
      cards(),
      storage.yarns.list(),
      storage.machines.list(),
      storage.landmarks.list(),
      storage.getMeta('lastArchive'),
    ]);
    return { cards: found, yarns, machines, landmarks, lastArchive };
  };

  const show = (found: Awaited<ReturnType<typeof read>>, complete: boolean): void => {
    const { yarns, machines, landmarks, lastArchive } = found;
    const rows = toRows(found.cards, yarns, machines, landmarks);
    set({
      ready: true,
      complete,
      rows,
      shown: filterRows(rows, get().filter),
      yarns,
      machines,
      landmarks,
      lastArchive: typeof lastArchive === 'string' ? lastArchive : null,
    });
  };
  const fail = ({ sentence }: StorageError): void => set({ problem: sentence });

  /** The first screen at once, then all of it, then every change. */
  const follow = (): (() => void) => {
    let end: (() => void) | null = null;
    let ended = false;
    const watchAll = (): void => {
      if (!ended)
        end = storage.watch(
          () => read(storage.listSwatches),
          (found) => show(found, true),
          fail,
        );
    };
    if (get().ready) watchAll();
    else {
      read(() => storage.listNewestSwatches(FIRST_SCREEN))
        .then((found) => {
          if (!ended) show(found, found.cards.length < FIRST_SCREEN);
        })
        .catch(fail)
        .finally(() => whenIdle(watchAll));
    }
    return () => {
      ended = true;
      end?.();
    };
  };

  const attempt = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      set({ problem: (error as StorageError).sentence });
    }
  };

  return {
    store,
    storage,
    follow,
    narrow: (change) => {
      const filter = { ...get().filter, ...change };
      set({ filter, shown: filterRows(get().rows, filter), scrollTop: 0 });
    },
    remove: (id) =>
      attempt(async () => {
        await storage.deleteSwatch(id);
        set({ justDeleted: id });
      }),
    bringBack: (id) =>
      attempt(async () => {
        await storage.undoDelete(id);
        if (get().justDeleted === id) set({ justDeleted: null });
      }),
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
    forgetDeleted: () => set({ justDeleted: null }),
    rememberScroll: (scrollTop) => set({ scrollTop }),
    tell: (problem) => set({ problem }),
  };
};
