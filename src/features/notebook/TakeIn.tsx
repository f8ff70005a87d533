import { useId, useRef, useState } from 'react';
import type { Decision, ImportResult } from '../../storage/archive/apply';
import type { ImportItem, ImportPlan } from '../../storage/archive/plan';
import type { Storage } from '../../storage/repository';
import { ImportQuestions } from './ImportQuestions';

type Stage =
  | { readonly at: 'waiting' }
  | { readonly at: 'working'; readonly what: string; readonly done: number; readonly of: number }
  | { readonly at: 'asking'; readonly plan: ImportPlan }
  | { readonly at: 'done'; readonly sentence: string }
  | { readonly at: 'refused'; readonly sentence: string };

const resultSentence = ({ added, replaced, copied, leftAlone }: ImportResult): string =>
  added + replaced + copied === 0
    ? 'Nothing was changed: all of it was here already, or you kept what is here.'
    : `Taken in: ${added} new, ${replaced} replaced, ${copied} kept as a second version; ${leftAlone} left as they were.`;

const sentenceOf = (error: unknown): string =>
  error instanceof Error && 'sentence' in error ? String(error.sentence) : String(error);

/** Takes an archive in: choose a file, see what it would change, decide. */
export const TakeIn = ({ storage }: { readonly storage: Storage }) => {
  const inputId = useId();
  const [stage, setStage] = useState<Stage>({ at: 'waiting' });
  const running = useRef<AbortController | null>(null);

  const run = async (what: string, work: (controller: AbortController) => Promise<Stage>): Promise<void> => {
    const controller = new AbortController();
    running.current = controller;
    setStage({ at: 'working', what, done: 0, of: 1 });
    try {
      setStage(await work(controller));
    } catch (error) {
      setStage({ at: 'refused', sentence: sentenceOf(error) });
    } finally {
      running.current = null;
    }
  };
  const showing =
    (what: string) =>
    (done: number, of: number): void =>
      setStage({ at: 'working', what, done, of });

  const look = (file: File): Promise<void> =>
    run('Checking the archive', async ({ signal }) => {
      const { openArchive } = await import('../../storage/archive/archive');
      const plan = await openArchive(storage, file, { signal, onProgress: showing('Checking the archive') });
      return { at: 'asking', plan };
    });
  const take = (plan: ImportPlan, decide: (item: ImportItem) => Decision): Promise<void> =>
    run('Taking it in', async ({ signal }) => {
      const { takeIn } = await import('../../storage/archive/archive');
      const result = await takeIn(storage, plan, { decide, signal, onProgress: showing('Taking it in') });
      return { at: 'done', sentence: resultSentence(result) };
    });

  return (
    <div className="stack">
      {stage.at !== 'working' && stage.at !== 'asking' && (
        <div className="field">
          <label htmlFor={inputId}>Archive to take in</label>
          <input
            id={inputId}
            type="file"
            accept=".zip,application/zip"
            onChange={(event) => {
              const [file] = event.target.files ?? [];
              event.target.value = '';
              if (file) void look(file);
            }}
          />
        </div>
      )}
      {stage.at === 'working' && (
        <div className="row">
          <progress max={stage.of} value={stage.done} aria-label={stage.what} />
          <span>{stage.what}…</span>
          <button type="button" className="button" onClick={() => running.current?.abort()}>
            Cancel
          </button>
        </div>
      )}
      {stage.at === 'asking' && (
        <ImportQuestions
          plan={stage.plan}
          onTake={(decide) => void take(stage.plan, decide)}
          onLeave={() => setStage({ at: 'waiting' })}
        />
      )}
      <div aria-live="polite">
        {stage.at === 'done' && <p className="note note--sure">{stage.sentence}</p>}
        {stage.at === 'refused' && <p className="note note--problem">{stage.sentence}</p>}
      </div>
    </div>
  );
};
