import { liveQuery } from 'dexie';
import type { Measurement } from '../domain/measurement';
import type { Id, Photo, Swatch } from '../domain/records';
import { tidyPhotos } from './archive/unfinishedImport';
import type { SwatchCard } from './cards';
import { type Changes, followChanges, type TableName } from './changes';
import { Database } from './database';
import { createDraftKeeper } from './draftKeeper';
import { createEntities, type Entities } from './entities';
import { guarded, type StorageError, toStorageError } from './errors';
import { newId, now } from './ids';
import { createJournal, type KeyValueStore } from './journal';
import { createMachineShelf, type MachineShelf } from './machineShelf';
import { createNotices, type Notices } from './notices';
import { askToPersist, type Room, readRoom } from './persistence';
import { readPhoto, readThumbnail, readThumbnails, writePhoto, writeThumbnail } from './photos';
import { recoverUnsaved } from './recovery';
import {
  latestDraftId,
  markDeleted,
  purgeDeleted,
  readCards,
  readCardsInParts,
  readCardsOf,
  readNewestCards,
  readSwatch,
  type WriteOutcome,
  writeSwatch,
} from './swatches';

/** Days for which a deleted swatch can be brought back. */
export const daysToUndoDelete = 30;

/** The notebook: everything that is kept. All functions reject with a `StorageError` and then have changed nothing. */
export interface Storage extends Entities, MachineShelf {
  /** Brings in what closed windows left behind; whatever opens a swatch does so by itself first. */
  readonly recover: () => Promise<void>;
  /** The draft that was worked on last, with what a closed window left behind; null when there is none. */
  readonly openDraft: () => Promise<Swatch | null>;
  /** A swatch to be edited; saving it later notices whether another window changed it meanwhile. */
  readonly openSwatch: (id: Id) => Promise<Swatch | null>;
  /** A swatch as it is stored, to be looked at only. */
  readonly readSwatch: (id: Id) => Promise<Swatch | null>;
  /** Stores the newest version in the background; cheap to call at every edit. */
  readonly saveDraft: (swatch: Swatch) => Promise<WriteOutcome>;
  /** Stores a swatch as finished. */
  readonly saveSwatch: (swatch: Swatch) => Promise<WriteOutcome>;
  readonly savePhoto: (photo: Photo) => Promise<void>;
  readonly saveThumbnail: (photoId: Id, thumbnail: NonNullable<Photo['thumbnail']>) => Promise<void>;
  readonly getPhoto: (id: Id) => Promise<Photo | null>;
  readonly getThumbnail: (photoId: Id) => Promise<Photo['thumbnail']>;
  /** Several at once, by photo id; those that have none are left out. */
  readonly getThumbnails: (photoIds: readonly Id[]) => ReturnType<typeof readThumbnails>;
  /** Cards of every swatch that is stored, drafts and deleted ones too. */
  readonly listSwatches: () => Promise<SwatchCard[]>;
  /** The same for those begun last only, newest first: quick however many there are. */
  readonly listNewestSwatches: (count: number) => Promise<SwatchCard[]>;
  /** All cards as they are at one moment, a thousand at a time and in no order, so that the page answers in between. */
  readonly readSwatchesInParts: (onPart: (cards: readonly SwatchCard[]) => void) => Promise<void>;
  /** Cards by id; undefined where there is none (any more). */
  readonly getCards: (ids: readonly Id[]) => Promise<(SwatchCard | undefined)[]>;
  readonly deleteSwatch: (id: Id) => Promise<void>;
  readonly undoDelete: (id: Id) => Promise<void>;
  /** A small value kept by name, such as the moment of the last archive. */
  readonly getMeta: (key: string) => Promise<unknown>;
  readonly setMeta: (key: string, value: unknown) => Promise<void>;
  /**
   * Runs a query now and again after each change, in any window, of what it read.
   * @returns a function that ends it.
   */
  readonly watch: <T>(
    query: () => Promise<T>,
    onValue: (value: T) => void,
    onError?: (error: StorageError) => void,
  ) => () => void;
  /** Tells which records of these tables changed, in any window, once that is stored; the returned function ends it. */
  readonly onChange: (tables: readonly TableName[], listener: (changes: Changes) => void) => () => void;
  readonly onNotice: Notices['subscribe'];
  readonly room: () => Promise<Room>;
  /** Stores all that is pending; resolves when nothing is left to try. */
  readonly flush: () => Promise<void>;
  /** Leaves what is pending where the next start finds it; synchronous, for a page that is going away. */
  readonly leaveBehind: () => void;
  readonly close: () => void;
  readonly database: Database;
}

/** A place for the journal where the page has none: forgotten with the page. */
const memoryStore = (): KeyValueStore => {
  const entries = new Map<string, string>();
  return {
    get length() {
      return entries.size;
    },
    key: (index) => [...entries.keys()][index] ?? null,
    getItem: (key) => entries.get(key) ?? null,
    setItem: (key, value) => void entries.set(key, value),
    removeItem: (key) => void entries.delete(key),
  };
};

const pageStore = (): KeyValueStore => {
  try {
    return globalThis.localStorage ?? memoryStore();
  } catch {
    return memoryStore();
  }
};

/** Makes the database give way to a newer version of the app, and say so; and say when another window holds it up. */
const giveWay = (database: Database, notices: Notices, flush: () => Promise<void>): void => {
  database.on('versionchange', () => {
    void flush().finally(() => {
      database.close();
      notices.tell({
        kind: 'reloadNeeded',
        sentence:
          'The app was updated in another window; everything here is stored: reload this page to go on.',
      });
    });
    return false;
  });
  database.on('blocked', () => {
    notices.tell({
      kind: 'otherWindowInTheWay',
      sentence:
        'The notebook is waiting for another window that still uses an older version of the app: close or reload that window.',
    });
  });
};

/** Opens a notebook by name (at its first use). Several at once, in one window or many, may share a name. */
export const createStorage = (name: string, store: KeyValueStore = pageStore()): Storage => {
  const database = new Database(name);
  const writer = newId();
  const journal = createJournal(store, name, writer);
  const notices = createNotices();
  let asked = false;
  const beforeSave = (): void => {
    if (asked) return;
    asked = true;
    void askToPersist();
  };

  const tellOf = (error: StorageError): void => {
    if (error.code === 'full') notices.tell({ kind: 'full', sentence: error.sentence });
  };
  /** Measurements that are stored, as this window's own objects: an edit that keeps the object need not write it again. */
  const measurements = new Map<Id, Measurement | null>();
  const keeper = createDraftKeeper(async (swatch, knownRevision) => {
    beforeSave();
    try {
      const storedMeasurement = measurements.get(swatch.id);
      const outcome = await guarded(() =>
        writeSwatch(database, swatch, { writer, knownRevision, storedMeasurement }),
      );
      measurements.set(outcome.swatch.id, outcome.swatch.measurement);
      if (outcome.kind === 'copied') notices.tell({ kind: 'keptBoth', sentence: outcome.sentence });
      return outcome;
    } catch (error) {
      const failure = toStorageError(error);
      tellOf(failure);
      throw failure;
    }
  }, journal);
  giveWay(database, notices, keeper.flush);

  let recovered: Promise<void> | undefined;
  /** Once a window, before anything is opened: bring in what closed windows left. */
  const recover = (): Promise<void> => {
    recovered ??= (async () => {
      if ((await guarded(() => recoverUnsaved(database, journal))) === 0) return;
      notices.tell({
        kind: 'recovered',
        sentence: 'The last change from before the page was closed has been brought back.',
      });
    })();
    recovered.catch(() => {
      recovered = undefined;
    });
    return recovered;
  };

  const openSwatch = async (id: Id): Promise<Swatch | null> => {
    await recover();
    await keeper.flush();
    const found = await guarded(() => readSwatch(database, id));
    if (!found) return null;
    keeper.opened(id, found.revision);
    measurements.set(id, found.swatch.measurement);
    return found.swatch;
  };

  let started: Promise<void> | undefined;
  /** Once a window: the same, and let go of what was deleted long ago. */
  const start = (): Promise<void> => {
    started ??= (async () => {
      await recover();
      const oldest = new Date(Date.now() - daysToUndoDelete * 24 * 3600 * 1000).toISOString();
      await guarded(() => purgeDeleted(database, oldest));
      await guarded(() => tidyPhotos(database, oldest));
    })();
    started.catch(() => {
      started = undefined;
    });
    return started;
  };

  return {
    ...createEntities(database, beforeSave),
    ...createMachineShelf(database, beforeSave),
    recover,
    openDraft: async () => {
      await start();
      const id = await guarded(() => latestDraftId(database));
      return id === undefined ? null : openSwatch(id);
    },
    openSwatch,
    readSwatch: async (id) => (await guarded(() => readSwatch(database, id)))?.swatch ?? null,
    saveDraft: keeper.save,
    saveSwatch: (swatch) => keeper.save({ ...swatch, state: 'saved' }),
    savePhoto: (photo) => {
      beforeSave();
      return guarded(() => writePhoto(database, photo));
    },
    saveThumbnail: (photoId, thumbnail) => guarded(() => writeThumbnail(database, photoId, thumbnail)),
    getPhoto: async (id) => (await guarded(() => readPhoto(database, id))) ?? null,
    getThumbnail: async (photoId) => (await guarded(() => readThumbnail(database, photoId))) ?? null,
    getThumbnails: (photoIds) => guarded(() => readThumbnails(database, photoIds)),
    listSwatches: () => guarded(() => readCards(database)),
    listNewestSwatches: (count) => guarded(() => readNewestCards(database, count)),
    readSwatchesInParts: (onPart) => guarded(() => readCardsInParts(database, onPart)),
    getCards: (ids) => guarded(() => readCardsOf(database, ids)),
    deleteSwatch: async (id) => {
      await keeper.flush();
      await guarded(() => markDeleted(database, id, writer, now()));
    },
    undoDelete: (id) => guarded(() => markDeleted(database, id, writer, null)),
    getMeta: async (key) => (await guarded(() => database.meta.get(key)))?.value ?? null,
    setMeta: async (key, value) => {
      await guarded(() => database.meta.put({ key, value }));
    },
    watch: (query, onValue, onError) => {
      const subscription = liveQuery(query).subscribe({
        next: onValue,
        error: (error: unknown) => onError?.(toStorageError(error)),
      });
      return () => subscription.unsubscribe();
    },
    onChange: (tables, listener) => followChanges(database, tables, listener),
    onNotice: notices.subscribe,
    room: readRoom,
    flush: keeper.flush,
    leaveBehind: keeper.leaveBehind,
    close: () => database.close(),
    database,
  };
};

let shared: Storage | undefined;

/** The app's own notebook, one for the whole page; it stores what is pending when the page is hidden or closed. */
export const appStorage = (): Storage => {
  if (shared) return shared;
  const storage = createStorage('walewright');
  // Opening takes as long as drawing the first screen does: both at once. A failure shows where something is read.
  void storage.database.open().catch(() => undefined);
  // A list shows what was brought in as soon as it is; a failure shows where something is opened.
  void storage.recover().catch(() => undefined);
  addEventListener('pagehide', () => storage.leaveBehind());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') {
      storage.leaveBehind();
      void storage.flush();
    }
  });
  shared = storage;
  return storage;
};
