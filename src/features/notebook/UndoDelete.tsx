import type { Notebook } from '../../store/notebook';
import { useNotebook } from './useNotebook';

/** After a deletion, the offer to take it back; it stands until it is closed. */
export const UndoDelete = ({ notebook }: { readonly notebook: Notebook }) => {
  const { length: count } = useNotebook(notebook, (state) => state.justDeleted);
  return (
    <div role="status">
      {count > 0 && (
        <div className="undo-bar">
          <span>{count === 1 ? 'The swatch is deleted.' : `${count} swatches are deleted.`}</span>
          <button type="button" className="button" onClick={() => void notebook.undoDelete()}>
            Undo
          </button>
          <button
            type="button"
            className="button button--quiet"
            aria-label="Close this message"
            onClick={notebook.forgetDeleted}
          >
            Close
          </button>
        </div>
      )}
    </div>
  );
};
