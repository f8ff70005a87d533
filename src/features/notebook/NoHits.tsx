import type { Notebook } from '../../store/notebook';
import { type NotebookFilter, wholeNotebook } from '../../store/notebookRows';
import { useNotebook } from './useNotebook';

/** Whether nothing narrows the list down but the words, the state and the choice of the deleted ones. */
const isPlain = (filter: NotebookFilter): boolean => {
  const { words, state, deleted, order } = filter;
  const plain = { ...wholeNotebook, words, state, deleted, order };
  return (Object.keys(plain) as (keyof NotebookFilter)[]).every((name) => plain[name] === filter[name]);
};

/** Why the list is empty and what to do about it. */
const sentenceFor = (filter: NotebookFilter): string => {
  const typed = filter.words.trim();
  if (typed) {
    const where = filter.deleted ? ' among the deleted ones' : '';
    return `No swatch has all of “${typed}” in its yarn, machine or notes${where}. Try fewer words or part of one, or look at all.`;
  }
  if (isPlain(filter)) {
    if (filter.deleted) return 'Nothing like that is deleted.';
    if (filter.state === 'draft') return 'Nothing is unfinished.';
    if (filter.state === 'saved') return 'Nothing is finished yet.';
    return 'Every swatch is deleted. “Narrow down and sort” shows the deleted ones, to bring them back.';
  }
  return 'No swatch is like that. Take a filter away, or look at all.';
};

/** What stands in place of the list when search and filters leave nothing. */
export const NoHits = ({ notebook }: { readonly notebook: Notebook }) => {
  const filter = useNotebook(notebook, (state) => state.filter);
  const { words, state, deleted, order } = filter;
  const canWiden = !isPlain(filter) || words !== '' || state !== null || deleted;
  return (
    <div className="stack notebook-empty" data-testid="no-hits">
      <p>{sentenceFor(filter)}</p>
      {canWiden && (
        <p>
          <button
            type="button"
            className="button button--primary"
            onClick={() => notebook.narrow({ ...wholeNotebook, order })}
          >
            Show all swatches
          </button>
        </p>
      )}
    </div>
  );
};
