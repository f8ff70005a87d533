import type { Id } from '../domain/records';
import type { SwatchCard } from '../storage/cards';
import type { ChangedIds, Changes } from '../storage/changes';
import type { Storage } from '../storage/repository';
import type { Belongings, NotebookShelf } from './notebookShelf';

/** As many swatches as the tallest screen shows, and some to scroll. */
const FIRST_SCREEN = 40;

/** With more changes than this, reading everything again is quicker. */
const MOST_BY_ID = 2_000;

const tables = ['cards', 'yarns', 'machines', 'landmarks', 'meta'] as const;
type Followed = (typeof tables)[number];

export type ReadingSource = Pick<
  Storage,
  | 'yarns'
  | 'machines'
  | 'landmarks'
  | 'getMeta'
  | 'listNewestSwatches'
  | 'readSwatchesInParts'
  | 'getCards'
  | 'onChange'
>;

/** Who hears of what was read. */
export interface ReadingListener {
  /** The shelf has changed; `complete` once it holds every swatch. */
  readonly onShelf: (complete: boolean) => void;
  readonly onLastArchive: (moment: string | null) => void;
  readonly onFailure: (error: unknown) => void;
}

/** Runs once the page has drawn what it has, or soon where the browser does not say when that is. */
const idle = (): Promise<void> =>
  new Promise((done) => {
    if ('requestIdleCallback' in globalThis) requestIdleCallback(() => done(), { timeout: 300 });
    else setTimeout(done, 50);
  });

/**
 * Brings the notebook onto a shelf and keeps it true: the newest swatches first, then all of them, then only what changed, in
 * this window or another one. While nobody looks it only notes what changed.
 * @returns a function that begins to look and gives back one that ends it.
 */
export const createNotebookReading = (
  storage: ReadingSource,
  shelf: NotebookShelf,
  { onShelf, onLastArchive, onFailure }: ReadingListener,
): (() => () => void) => {
  /** What the shelf does not have as it is stored now. */
  const stale = new Map<Followed, ChangedIds>(tables.map((table) => [table, 'any']));
  let lookers = 0;
  let listening = false;
  let running = false;
  let isBegun = false;

  const note = (changes: Iterable<readonly [Followed, ChangedIds]>): void => {
    for (const [table, ids] of changes) {
      const before = stale.get(table) ?? new Set<Id>();
      stale.set(table, before === 'any' || ids === 'any' ? 'any' : new Set([...before, ...ids]));
    }
  };

  const readBelongings = async (taken: ReadonlyMap<Followed, ChangedIds>): Promise<void> => {
    const changed = {
      yarns: taken.get('yarns') ?? new Set<Id>(),
      machines: taken.get('machines') ?? new Set<Id>(),
      landmarks: taken.get('landmarks') ?? new Set<Id>(),
    };
    if (Object.values(changed).every((ids) => ids !== 'any' && ids.size === 0)) return;
    const now = shelf.belongings();
    const fresh = <K extends keyof Belongings>(key: K, list: () => Promise<Belongings[K]>) =>
      taken.has(key) ? list() : Promise.resolve(now[key]);
    const [yarns, machines, landmarks] = await Promise.all([
      fresh('yarns', storage.yarns.list),
      fresh('machines', storage.machines.list),
      fresh('landmarks', storage.landmarks.list),
    ]);
    shelf.setBelongings({ yarns, machines, landmarks }, changed);
  };

  const readLastArchive = async (taken: ReadonlyMap<Followed, ChangedIds>): Promise<void> => {
    const changed = taken.get('meta');
    if (changed !== 'any' && !changed?.has('lastArchive')) return;
    const last = await storage.getMeta('lastArchive');
    onLastArchive(typeof last === 'string' ? last : null);
  };

  const readAllCards = async (): Promise<void> => {
    const gone = new Set(shelf.cardIds());
    await storage.readSwatchesInParts((cards) => {
      shelf.putCards(cards);
      for (const { id } of cards) gone.delete(id);
    });
    shelf.dropCards(gone);
  };

  const readCards = async (changed: ChangedIds | undefined): Promise<void> => {
    if (changed === undefined) return;
    if (changed === 'any' || changed.size > MOST_BY_ID) return readAllCards();
    const ids = [...changed];
    const cards = await storage.getCards(ids);
    shelf.putCards(cards.filter((card): card is SwatchCard => card !== undefined));
    shelf.dropCards(ids.filter((_, index) => cards[index] === undefined));
  };

  /** Reads what is stale; on a failure it stays stale, so that the next change or look tries again. */
  const readStale = async (): Promise<void> => {
    const taken = new Map(stale);
    stale.clear();
    try {
      await Promise.all([readBelongings(taken), readLastArchive(taken)]);
      await readCards(taken.get('cards'));
      onShelf(true);
    } catch (error) {
      note(taken);
      throw error;
    }
  };

  /** The first screen: the newest swatches and what they refer to; in a small notebook that is all. */
  const begin = async (): Promise<void> => {
    const taken = new Map(stale);
    stale.clear();
    try {
      const [cards] = await Promise.all([
        storage.listNewestSwatches(FIRST_SCREEN),
        readBelongings(taken),
        readLastArchive(taken),
      ]);
      shelf.putCards(cards);
      isBegun = true;
      const isAll = cards.length < FIRST_SCREEN;
      onShelf(isAll);
      if (isAll) return;
      note([['cards', 'any']]);
    } catch (error) {
      note(taken);
      throw error;
    }
    await idle();
  };

  const run = async (): Promise<void> => {
    if (running) return;
    running = true;
    try {
      if (!isBegun) await begin();
      while (lookers > 0 && stale.size > 0) await readStale();
    } catch (error) {
      onFailure(error);
    } finally {
      running = false;
    }
  };

  return () => {
    if (!listening) {
      listening = true;
      storage.onChange(tables, (changes: Changes) => {
        note(changes as ReadonlyMap<Followed, ChangedIds>);
        if (lookers > 0) void run();
      });
    }
    lookers += 1;
    void run();
    let ended = false;
    return () => {
      if (!ended) lookers -= 1;
      ended = true;
    };
  };
};
