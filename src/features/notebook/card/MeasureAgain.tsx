import { useState } from 'react';
import { useLocation } from 'wouter';
import type { RestState } from '../../../domain/records';
import type { Notebook } from '../../../store/notebook';
import type { NotebookRow } from '../../../store/notebookRows';
import { measurementsOfPiece } from '../../../store/yarnChanges';
import { SwatchLine } from '../SwatchLine';

interface Props {
  readonly notebook: Notebook;
  readonly row: NotebookRow;
  readonly rows: readonly NotebookRow[];
}

const laterStates: readonly (readonly [RestState, string])[] = [
  ['rested', 'It has rested'],
  ['washedAndDried', 'It is washed and dried'],
  ['worn', 'It has been worn'],
];

/** The other measurements of the same piece of fabric, and the way to one more. */
export const MeasureAgain = ({ notebook, row, rows }: Props) => {
  const [, navigate] = useLocation();
  const [busy, setBusy] = useState(false);
  const others = measurementsOfPiece(rows, row.card.pieceId).filter(({ card }) => card.id !== row.card.id);
  const again = async (restState: RestState): Promise<void> => {
    setBusy(true);
    const id = await notebook.measureAgain(row.card.id, restState);
    setBusy(false);
    if (id !== null) navigate(`/measure/${id}`);
  };
  return (
    <section className="stack card-again" aria-labelledby="measure-again">
      <h2 id="measure-again">Measure this piece again</h2>
      <p className="small soft">
        Yarn, machine and caliper reading come along; the yarn's page then shows how much the fabric changed.
      </p>
      <div className="row">
        {laterStates.map(([state, words]) => (
          <button
            key={state}
            type="button"
            className="button"
            disabled={busy}
            onClick={() => void again(state)}
          >
            {words}
          </button>
        ))}
      </div>
      {others.length > 0 && (
        <ul className="yarn-swatches" aria-label="Other measurements of this piece">
          {others.map((other) => (
            <li key={other.card.id}>
              <SwatchLine
                row={other}
                storage={notebook.storage}
                onDelete={notebook.remove}
                onBringBack={notebook.bringBack}
              />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
};
