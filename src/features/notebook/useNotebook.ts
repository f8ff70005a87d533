import { useEffect } from 'react';
import { useStore } from 'zustand';
import type { Notebook, NotebookState } from '../../store/notebook';

/** A part of the notebook's state; the component draws again only when that part changes. */
export const useNotebook = <T>(notebook: Notebook, select: (state: NotebookState) => T): T =>
  useStore(notebook.store, select);

/** Follows the notebook's changes, in any window, while the component is there. */
export const useFollowing = (notebook: Notebook): void => {
  useEffect(() => notebook.follow(), [notebook]);
};
