import { useRef, useState } from 'react';
import { Link } from 'wouter';
import type { Notebook } from '../../store/notebook';
import { ArchiveBar } from './ArchiveBar';
import { Filters } from './Filters';
import { Finishing } from './Finishing';
import { NoHits } from './NoHits';
import { SwatchLine } from './SwatchLine';
import { UndoDelete } from './UndoDelete';
import { useNotebook } from './useNotebook';
import { type ListHandle, WindowedList } from './WindowedList';
import { countWords } from './words';

const Empty = () => (
  <div className="stack notebook-empty">
    <p>
      Nothing is kept here yet: measure a swatch, and it will be here with its photo, its yarn and its caliper
      reading.
    </p>
    <p>
      <Link href="/measure" className="button button--primary">
        Measure a swatch
      </Link>
    </p>
  </div>
);

/** All swatches, newest first, with search and filters. */
export const SwatchList = ({ notebook }: { readonly notebook: Notebook }) => {
  const ready = useNotebook(notebook, (state) => state.ready);
  const complete = useNotebook(notebook, (state) => state.complete);
  const rows = useNotebook(notebook, (state) => state.rows);
  const deletedCount = useNotebook(notebook, (state) => state.deletedCount);
  const shown = useNotebook(notebook, (state) => state.shown);
  const filter = useNotebook(notebook, (state) => state.filter);
  const list = useRef<ListHandle>(null);
  const [startAt] = useState(() => notebook.store.getState().scrollTop);
  if (!ready) {
    return (
      <p className="soft notebook-empty" role="status">
        Opening the notebook…
      </p>
    );
  }
  if (rows.length === 0) {
    return (
      <>
        <Empty />
        <ArchiveBar notebook={notebook} />
      </>
    );
  }
  const total = filter.deleted ? deletedCount : rows.length - deletedCount;
  return (
    <>
      <Filters notebook={notebook} onLeaveDown={() => list.current?.focusFirst()} />
      <p className="small soft notebook-count" role="status">
        {!complete && 'Reading on… '}
        {shown.length === total ? countWords(total) : `${shown.length} of ${countWords(total)}`}
        {filter.deleted && ', deleted'}
        <span aria-hidden="true"> · stitches × rows per inch</span>
      </p>
      <Finishing notebook={notebook} />
      {complete && shown.length === 0 && <NoHits notebook={notebook} />}
      <WindowedList
        ref={list}
        label="Swatches"
        count={shown.length}
        rowRem={7}
        keyOf={(index) => shown[index]?.card.id ?? String(index)}
        startAt={startAt}
        resetWith={filter}
        onScroll={notebook.rememberScroll}
        onDelete={(index) => {
          const card = shown[index]?.card;
          if (card?.deletedAt === null) void notebook.remove(card.id);
        }}
      >
        {(index) => {
          const row = shown[index];
          return (
            row && (
              <SwatchLine
                row={row}
                storage={notebook.storage}
                onDelete={notebook.remove}
                onBringBack={notebook.bringBack}
              />
            )
          );
        }}
      </WindowedList>
      <UndoDelete notebook={notebook} />
      <ArchiveBar notebook={notebook} />
    </>
  );
};
