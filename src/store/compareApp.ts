import { appStorage } from '../storage/repository';
import { type Comparison, createComparison } from './compare';
import { furtherSession, sessionWith } from './measureSessionApp';

/** A comparison over the app's own notebook. */
export const newComparison = (): Comparison =>
  createComparison({ storage: appStorage(), newSession: furtherSession, openSession: sessionWith });
