import { createStore, type StoreApi } from 'zustand';
import type { Id, Yarn } from '../domain/records';
import type { MachineContents } from '../storage/machineShelf';
import type { Storage } from '../storage/repository';
import { knowledgeOf, type MachineKnowledge } from './machineKnowledge';

export interface MachineBookState {
  /** Null until it has been read for the first time. */
  readonly status: 'opening' | 'open' | 'missing';
  readonly contents: MachineContents | null;
  readonly yarns: readonly Yarn[];
  readonly knowledge: MachineKnowledge | null;
  readonly problem: string | null;
}

/** One machine with all that belongs to it, as its screens see it. */
export interface MachineBook {
  readonly store: StoreApi<MachineBookState>;
  /** Follows the notebook until the returned function is called. */
  readonly follow: () => () => void;
}

/** One machine of a notebook. */
export const createMachineBook = (storage: Storage, machineId: Id): MachineBook => {
  const store = createStore<MachineBookState>(() => ({
    status: 'opening',
    contents: null,
    yarns: [],
    knowledge: null,
    problem: null,
  }));
  return {
    store,
    follow: () =>
      storage.watch(
        async () => ({
          contents: await storage.readMachine(machineId),
          yarns: await storage.yarns.list(),
        }),
        ({ contents, yarns }) =>
          store.setState({
            status: contents ? 'open' : 'missing',
            contents: contents ?? store.getState().contents,
            yarns,
            knowledge: contents ? knowledgeOf(contents) : store.getState().knowledge,
            problem: null,
          }),
        ({ sentence }) => store.setState({ problem: sentence }),
      ),
  };
};
