/** Why the notebook could not be read or written. */
export type StorageErrorCode = 'full' | 'blocked' | 'closed' | 'unknown';

const sentences: Record<StorageErrorCode, string> = {
  full: 'This device has no room left, so the last change is not stored yet; it stays on screen: free some space, then save again.',
  blocked:
    'This browser does not let the app store anything here (a private window, or storage switched off): allow storage for this page, then reload it.',
  closed: 'The notebook was closed because the app was updated in another window: reload this page to go on.',
  unknown:
    'The notebook could not be reached; nothing was changed: try again, and reload the page if it keeps happening.',
};

/** A failure of the notebook's storage with one sentence for the user: what is wrong and what to do. */
export class StorageError extends Error {
  readonly code: StorageErrorCode;
  readonly sentence: string;

  constructor(code: StorageErrorCode, cause?: unknown) {
    super(sentences[code], { cause });
    this.name = 'StorageError';
    this.code = code;
    this.sentence = sentences[code];
  }
}

const codeOfName: Readonly<Record<string, StorageErrorCode>> = {
  QuotaExceededError: 'full',
  DatabaseClosedError: 'closed',
  InvalidStateError: 'closed',
  VersionError: 'closed',
  MissingAPIError: 'blocked',
  SecurityError: 'blocked',
  NotAllowedError: 'blocked',
  OpenFailedError: 'blocked',
};

/** The names of an error and of the errors inside it, outermost first. */
const namesOf = (error: unknown): string[] => {
  const names: string[] = [];
  let current: unknown = error;
  while (typeof current === 'object' && current !== null && names.length < 8) {
    const { name, inner, cause } = current as { name?: unknown; inner?: unknown; cause?: unknown };
    if (typeof name === 'string') names.push(name);
    current = inner ?? cause;
  }
  return names;
};

/** True when the browser failed for a reason of its own that a second try often cures (seen in Safari). */
export const isPassing = (error: unknown): boolean => namesOf(error).includes('UnknownError');

/** Any error as a `StorageError`; the innermost known name decides, because the outer ones only wrap it. */
export const toStorageError = (error: unknown): StorageError => {
  if (error instanceof StorageError) return error;
  const known = namesOf(error)
    .reverse()
    .map((name) => codeOfName[name])
    .find((code) => code !== undefined);
  return new StorageError(known ?? 'unknown', error);
};

/**
 * Runs a piece of storage work; a passing failure is tried once more.
 * @throws StorageError whatever went wrong.
 */
export const guarded = async <T>(work: () => PromiseLike<T>): Promise<T> => {
  try {
    return await work();
  } catch (error) {
    if (!isPassing(error)) throw toStorageError(error);
  }
  try {
    return await work();
  } catch (error) {
    throw toStorageError(error);
  }
};
