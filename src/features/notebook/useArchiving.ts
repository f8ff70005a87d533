import { useRef, useState } from 'react';
import type { Id } from '../../domain/records';
import type { Notebook } from '../../store/notebook';
import { saveFile } from '../../ui/saveFile';

/** Swatches to be given to somebody. */
export interface SomeSwatches {
  readonly swatchIds: readonly Id[];
  readonly withoutPlaces: boolean;
}

/** What is known of an archive in the making. */
export interface Archiving {
  readonly progress: { readonly done: number; readonly of: number } | null;
  readonly remarks: readonly string[];
  /** Makes an archive of everything, or of some swatches (then perhaps without the places of photos), and hands it over. */
  readonly start: (some?: SomeSwatches) => Promise<void>;
  readonly cancel: () => void;
}

const sentenceOf = (error: unknown): string =>
  error instanceof Error && 'sentence' in error ? String(error.sentence) : String(error);

/** Making archives, with progress and a way to stop. */
export const useArchiving = (notebook: Notebook): Archiving => {
  const [progress, setProgress] = useState<Archiving['progress']>(null);
  const [remarks, setRemarks] = useState<readonly string[]>([]);
  const running = useRef<AbortController | null>(null);

  const start = async (some?: SomeSwatches): Promise<void> => {
    if (running.current) return;
    const controller = new AbortController();
    running.current = controller;
    setProgress({ done: 0, of: 1 });
    try {
      const { makeArchive, noteArchived } = await import('../../storage/archive/archive');
      const made = await makeArchive(notebook.storage, {
        ...some,
        signal: controller.signal,
        onProgress: (done, of) => setProgress({ done, of }),
      });
      saveFile(made.file, made.fileName);
      setRemarks(made.remarks);
      if (!some) await noteArchived(notebook.storage);
    } catch (error) {
      if (!controller.signal.aborted) notebook.tell(sentenceOf(error));
    } finally {
      running.current = null;
      setProgress(null);
    }
  };
  return { progress, remarks, start, cancel: () => running.current?.abort() };
};
