import { useEffect, useMemo } from 'react';
import { useStore } from 'zustand';
import type { Id, Yarn } from '../../domain/records';
import type { MachineContents } from '../../storage/machineShelf';
import type { Storage } from '../../storage/repository';
import { createMachineBook, type MachineBookState } from '../../store/machineBook';
import type { MachineKnowledge } from '../../store/machineKnowledge';
import type { MachineShop, MachineShopState } from '../../store/machineShop';

/** An open machine: its records, what follows from them, and where to put new ones. */
export interface OpenMachine extends MachineContents {
  readonly shop: MachineShop;
  readonly storage: Storage;
  readonly yarns: readonly Yarn[];
  readonly knowledge: MachineKnowledge;
}

/** A part of the shop's state. */
export const useShop = <T>(shop: MachineShop, select: (state: MachineShopState) => T): T =>
  useStore(shop.store, select);

/** Follows one machine while the component is there. */
export const useBook = (storage: Storage, machineId: Id): MachineBookState => {
  const book = useMemo(() => createMachineBook(storage, machineId), [storage, machineId]);
  useEffect(() => book.follow(), [book]);
  return useStore(book.store);
};

/** Where a machine's pages live. */
export const machinePath = (machineId: Id, page = ''): string => `/machine/${machineId}${page && '/'}${page}`;
