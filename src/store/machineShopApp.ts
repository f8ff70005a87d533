import { appStorage } from '../storage/repository';
import { createMachineShop, type MachineShop } from './machineShop';

let shared: MachineShop | undefined;

/** The page's one view of the machines: an offer to undo outlives the screen it was made on. */
export const appMachineShop = (): MachineShop => {
  shared ??= createMachineShop(appStorage());
  return shared;
};
