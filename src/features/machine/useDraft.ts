import { useState } from 'react';
import { sentenceOf } from '../../ui/sentenceOf';

/** What a draft comes to: the record to keep, or one sentence about what is wrong in it. */
export type DraftOutcome<Made> = { readonly made: Made } | { readonly sentence: string };

/** How saving stands, and the way to save. */
export interface DraftSaving {
  /** One sentence about what is wrong; null when nothing is. */
  readonly problem: string | null;
  /** Whether what the form shows is what the notebook holds since the last save. */
  readonly saved: boolean;
  readonly save: () => Promise<void>;
}

interface Ports<Draft, Made> {
  readonly start: () => Draft;
  readonly outcomeOf: (draft: Draft) => DraftOutcome<Made>;
  readonly keep: (made: Made) => Promise<unknown>;
  readonly onSaved: (made: Made) => void;
}

/** A record as it is being changed in a form. Nothing in the notebook changes until it is saved. */
export const useDraft = <Draft extends object, Made>({
  start,
  outcomeOf,
  keep,
  onSaved,
}: Ports<Draft, Made>): {
  readonly draft: Draft;
  readonly change: (patch: Partial<Draft>) => void;
  readonly saving: DraftSaving;
} => {
  const [draft, setDraft] = useState(start);
  const [problem, setProblem] = useState<string | null>(null);
  const [saved, setSaved] = useState(false);
  const save = async (): Promise<void> => {
    const outcome = outcomeOf(draft);
    if ('sentence' in outcome) {
      setProblem(outcome.sentence);
      return;
    }
    try {
      await keep(outcome.made);
      setProblem(null);
      setSaved(true);
      onSaved(outcome.made);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return {
    draft,
    change: (patch) => {
      setDraft((before) => ({ ...before, ...patch }));
      setProblem(null);
      setSaved(false);
    },
    saving: { problem, saved, save },
  };
};
