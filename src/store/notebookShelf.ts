import type { Id, Landmark, Machine, Yarn } from '../domain/records';
import type { SwatchCard } from '../storage/cards';
import type { ChangedIds } from '../storage/changes';
import { joiner, type NotebookRow, newestFirst } from './notebookRows';

/** What swatches refer to. */
export interface Belongings {
  readonly yarns: readonly Yarn[];
  readonly machines: readonly Machine[];
  readonly landmarks: readonly Landmark[];
}

/** The ids of what changed among the belongings. */
export type ChangedBelongings = Readonly<Record<keyof Belongings, ChangedIds>>;

/** All rows of the notebook in memory. What did not change keeps its row, so that nobody works on it anew. */
export interface NotebookShelf {
  readonly belongings: () => Belongings;
  /** Takes all yarns, machines and landmarks; only the rows that refer to one of the changed ones are joined again. */
  readonly setBelongings: (all: Belongings, changed: ChangedBelongings) => void;
  readonly putCards: (cards: readonly SwatchCard[]) => void;
  readonly dropCards: (ids: Iterable<Id>) => void;
  readonly cardIds: () => Iterable<Id>;
  /** Newest first; the same array for as long as nothing changes. */
  readonly rows: () => readonly NotebookRow[];
}

/** An empty shelf. */
export const createNotebookShelf = (): NotebookShelf => {
  const byId = new Map<Id, NotebookRow>();
  let belongings: Belongings = { yarns: [], machines: [], landmarks: [] };
  let join = joiner([], [], []);
  let sorted: readonly NotebookRow[] | null = [];

  return {
    belongings: () => belongings,
    setBelongings: (all, changed) => {
      belongings = all;
      join = joiner(all.yarns, all.machines, all.landmarks);
      const isAmong = (ids: ChangedIds, id: Id | null): boolean =>
        id !== null && (ids === 'any' || ids.has(id));
      for (const [id, { card }] of byId) {
        if (
          isAmong(changed.yarns, card.yarnId) ||
          isAmong(changed.machines, card.machineId) ||
          isAmong(changed.landmarks, card.landmarkId)
        ) {
          byId.set(id, join(card));
          sorted = null;
        }
      }
    },
    putCards: (cards) => {
      for (const card of cards) byId.set(card.id, join(card));
      if (cards.length > 0) sorted = null;
    },
    dropCards: (ids) => {
      for (const id of ids) if (byId.delete(id)) sorted = null;
    },
    cardIds: () => byId.keys(),
    rows: () => {
      sorted ??= [...byId.values()].sort(newestFirst);
      return sorted;
    },
  };
};
