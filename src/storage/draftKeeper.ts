import type { Id, Swatch } from '../domain/records';
import type { Journal } from './journal';
import type { WriteOutcome } from './swatches';

export interface DraftKeeper {
  /**
   * Starts storing at once; versions that arrive while one is being written are merged into the newest. Resolves when this
   * version or a newer one is stored.
   */
  readonly save: (swatch: Swatch) => Promise<WriteOutcome>;
  /** Tries again whatever is not stored yet; resolves when nothing is left or it failed again. */
  readonly flush: () => Promise<void>;
  /** Leaves what is not stored yet in the journal; synchronous, for a page that is going away. */
  readonly leaveBehind: () => void;
  /** Takes note of the revision that an editor starts from. */
  readonly opened: (swatchId: Id, revision: number) => void;
  /** True while something is not stored yet. */
  readonly hasUnsaved: () => boolean;
}

/** Keeps drafts: at most one write at a time, always of the newest version. */
export const createDraftKeeper = (
  write: (swatch: Swatch, knownRevision: number | undefined) => Promise<WriteOutcome>,
  journal: Journal,
): DraftKeeper => {
  const unsaved = new Map<Id, Swatch>();
  const revisions = new Map<Id, number>();
  const outcomes = new Map<Id, WriteOutcome>();
  /** Where the versions of a swatch go since it was split off as a copy. */
  const movedTo = new Map<Id, Id>();
  let queue: Promise<unknown> = Promise.resolve();

  const addressed = (swatch: Swatch): Swatch => {
    const id = movedTo.get(swatch.id);
    return id === undefined ? swatch : { ...swatch, id, copiedFrom: swatch.id };
  };

  const writeNewest = async (id: Id): Promise<WriteOutcome> => {
    const newest = unsaved.get(id);
    const earlier = outcomes.get(id);
    if (newest === undefined && earlier !== undefined) return earlier;
    if (newest === undefined) throw new RangeError('There is no such draft to store.');
    const swatch = addressed(newest);
    const outcome = await write(swatch, revisions.get(swatch.id));
    if (outcome.kind === 'copied') movedTo.set(id, outcome.swatch.id);
    revisions.set(outcome.swatch.id, outcome.revision);
    outcomes.set(id, outcome);
    if (unsaved.get(id) === newest) {
      unsaved.delete(id);
      journal.clear(swatch.id);
    }
    return outcome;
  };

  const enqueue = (id: Id): Promise<WriteOutcome> => {
    const written = queue.then(() => writeNewest(id));
    queue = written.catch(() => undefined);
    return written;
  };

  return {
    save: (swatch) => {
      unsaved.set(swatch.id, swatch);
      return enqueue(swatch.id);
    },
    flush: async () => {
      await Promise.allSettled([...unsaved.keys()].map(enqueue));
      await queue;
    },
    leaveBehind: () => {
      for (const swatch of unsaved.values()) {
        const target = addressed(swatch);
        journal.put(target, revisions.get(target.id));
      }
    },
    opened: (swatchId, revision) => {
      revisions.set(swatchId, revision);
      movedTo.delete(swatchId);
    },
    hasUnsaved: () => unsaved.size > 0,
  };
};
