import type { Id } from '../domain/records';
import { appStorage } from '../storage/repository';
import { type Comparison, createComparison } from './compare';
import { furtherSession, sessionWith } from './measureSessionApp';

/** A comparison over the app's own notebook. */
export const newComparison = (): Comparison =>
  createComparison({ storage: appStorage(), newSession: furtherSession, openSession: sessionWith });

/** What was picked when the screen was left, to say a scale elsewhere for instance: it is there again on the way back. */
export const lastPicked = (() => {
  let ids: readonly Id[] = [];
  return {
    get: (): readonly Id[] => ids,
    keep: (picked: readonly Id[]): void => {
      ids = picked;
    },
  };
})();
