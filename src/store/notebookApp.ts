import { appStorage } from '../storage/repository';
import { createNotebook, type Notebook } from './notebook';

let shared: Notebook | undefined;

/** The page's one notebook: search, order and place in the list outlive the screen. */
export const appNotebook = (): Notebook => {
  shared ??= createNotebook(appStorage());
  return shared;
};
