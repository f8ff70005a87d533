import { type Stage, VisionFailure } from '../../workers/contract';
import type { Working } from './measureSessionState';
import type { OnProgress } from './visionClient';

/** What each stage of the vision code is called where a person waits for it. */
const stageSentences: Record<Stage, string> = {
  load: 'Getting the tools ready…',
  decode: 'Opening the photo…',
  reference: 'Looking for the mat or another thing of known length…',
  pitch: 'Looking for the stitches…',
  template: 'Learning what your stitch looks like…',
  grid: 'Following columns and rows across the swatch…',
  confidence: 'Checking how sure this is…',
};

/** How a piece of work ended. */
export type JobEnd = 'done' | 'cancelled' | 'failed';

export interface JobPorts {
  readonly show: (working: Working | null) => void;
  readonly fail: (sentence: string) => void;
}

const sentenceOf = (cause: unknown): string => {
  if (cause instanceof VisionFailure) return cause.message;
  if (cause instanceof Error && 'sentence' in cause && typeof cause.sentence === 'string')
    return cause.sentence;
  const detail = cause instanceof Error ? cause.message : String(cause);
  return `That did not work because of a fault in the program (${detail}). Nothing was changed; try again.`;
};

/**
 * Runs one piece of cancellable work at a time; a new one cancels the one before. Progress is shown in words, a failure
 * becomes one sentence, and after a cancellation nothing has changed.
 */
export const createJobs = ({ show, fail }: JobPorts) => {
  let current: AbortController | null = null;

  const run = async (
    first: Stage,
    work: (signal: AbortSignal, onProgress: OnProgress) => Promise<void>,
  ): Promise<JobEnd> => {
    current?.abort();
    const control = new AbortController();
    current = control;
    const cancel = (): void => control.abort();
    const onProgress: OnProgress = (stage, share) => {
      if (current === control) show({ sentence: stageSentences[stage], share, cancel });
    };
    onProgress(first, 0);
    try {
      await work(control.signal, onProgress);
      return 'done';
    } catch (cause) {
      if (control.signal.aborted) return 'cancelled';
      fail(sentenceOf(cause));
      return 'failed';
    } finally {
      if (current === control) {
        current = null;
        show(null);
      }
    }
  };

  return { run, cancel: () => current?.abort() };
};
