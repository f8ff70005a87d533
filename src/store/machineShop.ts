import { createStore, type StoreApi } from 'zustand';
import { type MachineRecord, withProfile } from '../domain/machineRecords';
import type { Id } from '../domain/records';
import type { Storage } from '../storage/repository';

/** What may still be taken back: a sentence about what was done, and how to undo it. */
export interface Undoable {
  readonly sentence: string;
  readonly undo: () => Promise<unknown>;
}

export interface MachineShopState {
  /** False until the notebook has been read for the first time. */
  readonly ready: boolean;
  readonly machines: readonly MachineRecord[];
  /** Finished swatches of each machine. */
  readonly swatches: ReadonlyMap<Id, number>;
  readonly undoable: Undoable | null;
  readonly problem: string | null;
}

/** All machines, as their list shows them. */
export interface MachineShop {
  readonly store: StoreApi<MachineShopState>;
  readonly storage: Storage;
  /** Follows the notebook until the returned function is called. */
  readonly follow: () => () => void;
  /** Deletes a machine that no swatch refers to, and offers to take that back. @returns a sentence when it stays. */
  readonly remove: (id: Id) => Promise<string | null>;
  readonly undo: () => Promise<void>;
  readonly forgetUndo: () => void;
  readonly offerUndo: (undoable: Undoable) => void;
}

/** The machines of a notebook as their screens see them. */
export const createMachineShop = (storage: Storage): MachineShop => {
  const store = createStore<MachineShopState>(() => ({
    ready: false,
    machines: [],
    swatches: new Map(),
    undoable: null,
    problem: null,
  }));
  const { getState: get, setState: set } = store;
  return {
    store,
    storage,
    follow: () =>
      storage.watch(
        async () => {
          const machines = await storage.machines.list();
          return { machines, swatches: await storage.countSwatches(machines.map(({ id }) => id)) };
        },
        ({ machines, swatches }) =>
          set({ ready: true, machines: machines.map(withProfile), swatches, problem: null }),
        ({ sentence }) => set({ problem: sentence }),
      ),
    remove: async (id) => {
      const outcome = await storage.machines.remove(id);
      if (outcome?.kind === 'inUse') return outcome.sentence;
      if (outcome) {
        const { was } = outcome;
        set({
          undoable: { sentence: `${was.name} is deleted.`, undo: () => storage.machines.save(was) },
        });
      }
      return null;
    },
    undo: async () => {
      const { undoable } = get();
      await undoable?.undo();
      if (get().undoable === undoable) set({ undoable: null });
    },
    forgetUndo: () => set({ undoable: null }),
    offerUndo: (undoable) => set({ undoable }),
  };
};
