import { useId, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import type { Id } from '../../../domain/records';
import type { Notebook } from '../../../store/notebook';
import { folded, type NotebookRow } from '../../../store/notebookRows';
import { belongings, circumstances, gaugeSpoken, gaugeWords } from '../../../ui/swatchWords';
import { useThumbnail } from '../../../ui/useThumbnail';

interface Props {
  readonly notebook: Notebook;
  /** Ids that are picked, in order; their letters stand on the lines. */
  readonly picked: readonly Id[];
  readonly full: boolean;
  readonly onPick: (id: Id) => void;
}

/** So many lines are shown; the search finds the rest. */
const MOST_SHOWN = 60;

const Line = ({
  row,
  notebook,
  letter,
  full,
  onPick,
}: {
  readonly row: NotebookRow;
  readonly notebook: Notebook;
  readonly letter: string | null;
  readonly full: boolean;
  readonly onPick: (id: Id) => void;
}) => {
  const { card } = row;
  const thumbnail = useThumbnail(notebook.storage, card.photoId);
  return (
    <li>
      <button
        type="button"
        className="pick-line"
        aria-pressed={letter !== null}
        disabled={full && letter === null}
        onClick={() => onPick(card.id)}
      >
        <span className="pick-picture">{thumbnail && <img src={thumbnail} alt="" />}</span>
        <span className="pick-facts">
          <span className="pick-gauge">
            <span aria-hidden="true" className={card.gauge ? undefined : 'soft'}>
              {gaugeWords(card.gauge)}
            </span>
            <span className="visually-hidden">{gaugeSpoken(card.gauge)}</span>
            {card.state === 'draft' && <span className="tag">unfinished</span>}
          </span>
          <span>{belongings(row)}</span>
          <span className="soft small">{circumstances(row)}</span>
        </span>
        <span className={`letter${letter ? '' : ' letter--open'}`} aria-hidden="true">
          {letter ?? '+'}
        </span>
      </button>
    </li>
  );
};

/** The swatches of the notebook, to be picked from. */
export const PickList = ({ notebook, picked, full, onPick }: Props) => {
  const rows = useStore(notebook.store, (state) => state.rows);
  const [words, setWords] = useState('');
  const [uncounted, setUncounted] = useState(false);
  const tickId = useId();
  const found = useMemo(() => {
    const wanted = folded(words).split(/\s+/).filter(Boolean);
    return rows
      .filter(({ card }) => card.deletedAt === null && card.photoId !== null)
      .filter(({ searchText }) => wanted.every((word) => searchText.includes(word)))
      .sort((a, b) => b.card.createdAt.localeCompare(a.card.createdAt));
  }, [rows, words]);
  const counted = useMemo(() => found.filter(({ card }) => card.gauge !== null), [found]);
  // Photos that were only opened would bury what can be compared at once.
  const canHide = counted.length > 0 && counted.length < found.length;
  const listed =
    canHide && !uncounted
      ? found.filter(({ card }) => card.gauge !== null || picked.includes(card.id))
      : found;
  if (rows.length === 0)
    return (
      <p className="soft">The notebook is still empty. Bring two photos here, or measure a swatch first.</p>
    );
  return (
    <div className="stack">
      <input
        className="input"
        type="search"
        aria-label="Search the notebook"
        placeholder="Search: yarn, colour, machine, notes…"
        value={words}
        onChange={(event) => setWords(event.target.value)}
      />
      {canHide && (
        <label className="tick" htmlFor={tickId}>
          <input
            id={tickId}
            type="checkbox"
            checked={uncounted}
            onChange={(event) => setUncounted(event.target.checked)}
          />
          <span>Also the {found.length - counted.length} without a gauge</span>
        </label>
      )}
      <ul className="pick-list">
        {listed.slice(0, MOST_SHOWN).map((row) => {
          const place = picked.indexOf(row.card.id);
          return (
            <Line
              key={row.card.id}
              row={row}
              notebook={notebook}
              letter={place < 0 ? null : 'ABCD'.charAt(place)}
              full={full}
              onPick={onPick}
            />
          );
        })}
      </ul>
      {listed.length > MOST_SHOWN && (
        <p className="small soft">{listed.length - MOST_SHOWN} more: type a word to find them.</p>
      )}
      {found.length === 0 && <p className="soft">Nothing in the notebook has these words.</p>}
    </div>
  );
};
