import type { Notebook } from '../../store/notebook';
import type { NotebookFilter } from '../../store/notebookRows';
import { useNotebook } from './useNotebook';

const choices: readonly (readonly [NotebookFilter['state'], string])[] = [
  [null, 'All'],
  ['saved', 'Finished'],
  ['draft', 'Unfinished'],
];

/**
 * Tells finished swatches from photos that were only opened, and clears the latter away at once; nothing while there is nothing to tell
 * apart.
 */
export const Finishing = ({ notebook }: { readonly notebook: Notebook }) => {
  const state = useNotebook(notebook, (all) => all.filter.state);
  const deleted = useNotebook(notebook, (all) => all.filter.deleted);
  const shown = useNotebook(notebook, (all) => all.shown);
  const hasDrafts = useNotebook(notebook, ({ rows }) =>
    rows.some(({ card }) => card.state === 'draft' && card.deletedAt === null),
  );
  if (!hasDrafts && state === null) return null;
  return (
    <div className="finishing">
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset would need a legend in sight, and the buttons say enough. */}
      <div className="choices" role="group" aria-label="Finished or not">
        {choices.map(([value, name]) => (
          <button
            key={name}
            type="button"
            aria-pressed={value === state}
            onClick={() => notebook.narrow({ state: value })}
          >
            {name}
          </button>
        ))}
      </div>
      {state === 'draft' && !deleted && shown.length > 1 && (
        <button
          type="button"
          className="button"
          onClick={() => void notebook.removeAll(shown.map(({ card }) => card.id))}
        >
          Delete these {shown.length}
        </button>
      )}
    </div>
  );
};
