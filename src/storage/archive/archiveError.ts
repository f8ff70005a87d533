/** What is wrong with an archive that was to be read or written. */
export type ArchiveErrorCode =
  | 'notAnArchive'
  | 'cutOff'
  | 'damaged'
  | 'foreign'
  | 'tooNew'
  | 'unsafe'
  | 'tooLarge'
  | 'changedMeanwhile'
  | 'cancelled';

/** An archive that cannot be read or written, with one sentence for the user; nothing was changed. */
export class ArchiveError extends Error {
  readonly code: ArchiveErrorCode;
  readonly sentence: string;

  constructor(code: ArchiveErrorCode, sentence: string, cause?: unknown) {
    super(sentence, { cause });
    this.name = 'ArchiveError';
    this.code = code;
    this.sentence = sentence;
  }
}

/** @throws ArchiveError when the user has cancelled. */
export const stopIfCancelled = (signal: AbortSignal | undefined): void => {
  if (signal?.aborted) throw new ArchiveError('cancelled', 'Cancelled; nothing was changed.');
};
