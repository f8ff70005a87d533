import type { Notebook } from '../../store/notebook';
import { useArchiving } from './useArchiving';
import { useNotebook } from './useNotebook';
import { daysAgo } from './words';

/** Always in sight: when the notebook was last saved outside the browser, and one tap to do it now. */
export const ArchiveBar = ({ notebook }: { readonly notebook: Notebook }) => {
  const last = useNotebook(notebook, (state) => state.lastArchive);
  const isEmpty = useNotebook(notebook, (state) => state.rows.length === 0 && state.yarns.length === 0);
  const { progress, remarks, start, cancel } = useArchiving(notebook);
  return (
    <div className="archive-bar">
      <p className="small" data-testid="last-archive">
        {last ? (
          <>
            Last archive: <time dateTime={last}>{daysAgo(last)}</time>
          </>
        ) : (
          'No archive yet: everything is in this browser only'
        )}
        {remarks.map((remark) => (
          <span key={remark}> {remark}</span>
        ))}
      </p>
      {progress ? (
        <>
          <progress max={progress.of} value={progress.done} aria-label="Making the archive" />
          <button type="button" className="button" onClick={cancel}>
            Cancel
          </button>
        </>
      ) : (
        <button type="button" className="button" disabled={isEmpty} onClick={() => void start()}>
          Save an archive
        </button>
      )}
    </div>
  );
};
