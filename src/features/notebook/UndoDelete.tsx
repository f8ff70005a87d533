import type { Notebook } from '../../store/notebook';
import { useNotebook } from './useNotebook';

/** After a deletion, the offer to take it back; it stands until it is closed. */
export const UndoDelete = ({ notebook }: { readonly notebook: Notebook }) => {
  const id = useNotebook(notebook, (state) => state.justDeleted);
  return (
    <div role="status">
      {id !== null && (
        <div className="undo-bar">
          <span>The swatch is deleted.</span>
          <button type="button" className="button" onClick={() => void notebook.bringBack(id)}>
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
