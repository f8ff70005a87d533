import { useEffect, useState } from 'react';
import { Link } from 'wouter';
import { toCsv } from '../../storage/csv';
import type { Room } from '../../storage/persistence';
import type { Notebook } from '../../store/notebook';
import { toTable } from '../../store/notebookTable';
import { saveFile } from '../../ui/saveFile';
import { ArchiveBar } from './ArchiveBar';
import { TakeIn } from './TakeIn';
import { useArchiving } from './useArchiving';
import { useNotebook } from './useNotebook';
import { sizeWords } from './words';

const RoomLine = ({ notebook }: { readonly notebook: Notebook }) => {
  const rows = useNotebook(notebook, (state) => state.rows);
  const [room, setRoom] = useState<Room | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: more or fewer swatches take more or less room.
  useEffect(() => {
    let gone = false;
    void notebook.storage.room().then((found) => {
      if (!gone) setRoom(found);
    });
    return () => {
      gone = true;
    };
  }, [notebook, rows]);
  if (!room || room.usedBytes === null || room.quotaBytes === null) return null;
  return (
    <p className="small soft">
      The notebook takes {sizeWords(room.usedBytes)} of the {sizeWords(room.quotaBytes)} that this browser
      allows.{' '}
      {room.persisted
        ? 'The browser has promised to keep it.'
        : 'The browser may clear it when the device runs short or the page is not used for long: save an archive now and then.'}
    </p>
  );
};

/** Saving the notebook outside the browser and bringing it back. */
export const ArchivePage = ({ notebook }: { readonly notebook: Notebook }) => {
  // Half a list must not go out as if it were all of it.
  const complete = useNotebook(notebook, (state) => state.complete);
  const shown = useNotebook(notebook, (state) => state.shown);
  const { progress, remarks, start, cancel } = useArchiving(notebook);
  const [withoutPlaces, setWithoutPlaces] = useState(true);
  const table = (): void => {
    const { head, rows: lines } = toTable(shown);
    saveFile(new Blob([toCsv(head, lines)], { type: 'text/csv;charset=utf-8' }), 'walewright-swatches.csv');
  };
  return (
    <div className="notebook-page stack">
      <h2>Save it outside this browser</h2>
      <p>
        An archive is one zip file with everything: photos byte for byte as the camera made them, with the
        place where they were taken if it wrote that down; the rest as plain text files.
      </p>
      <ArchiveBar notebook={notebook} />
      <RoomLine notebook={notebook} />
      <h2>Give some of it to somebody</h2>
      <label className="tick">
        <input
          type="checkbox"
          checked={withoutPlaces}
          onChange={(event) => setWithoutPlaces(event.target.checked)}
        />
        <span>Leave out of the photos where they were taken</span>
      </label>
      <div className="row">
        {progress ? (
          <button type="button" className="button" onClick={cancel}>
            Cancel ({progress.done} of {progress.of})
          </button>
        ) : (
          <button
            type="button"
            className="button"
            disabled={!complete || shown.length === 0}
            onClick={() => void start({ swatchIds: shown.map(({ card }) => card.id), withoutPlaces })}
          >
            Archive of the {shown.length} in the list
          </button>
        )}
        <button type="button" className="button" disabled={!complete || shown.length === 0} onClick={table}>
          Table of the {shown.length} in the list (CSV)
        </button>
        {complete && shown.length > 0 && (
          <Link className="button" href="/notebook/labels">
            Labels for the {shown.length} in the list
          </Link>
        )}
      </div>
      {remarks.map((remark) => (
        <p key={remark} className="small">
          {remark}
        </p>
      ))}
      <h2>Bring it back</h2>
      <p>Nothing is changed before you have seen what the archive holds, and then it is all or nothing.</p>
      <TakeIn storage={notebook.storage} />
    </div>
  );
};
