import { useState } from 'react';
import { useLocation } from 'wouter';
import type { RestState } from '../../../domain/records';
import { formatUncertain, uncertainPerInch } from '../../../domain/units';
import type { Notebook } from '../../../store/notebook';
import type { NotebookRow } from '../../../store/notebookRows';
import { restStateNames } from '../../../store/notebookRows';
import { type ExpectedGauge, expectedLater, measurementsOfPiece } from '../../../store/yarnChanges';
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

/** What this swatch will come to, as the yarn's other pieces did. */
const Expected = ({ expected }: { readonly expected: readonly ExpectedGauge[] }) => (
  <ul className="stack" aria-label="What to expect">
    {expected.map(({ restState, gauge, pieces }) => {
      const [stitches, rows] = [gauge.walesPerMm, gauge.coursesPerMm]
        .map(uncertainPerInch)
        .map(({ value, plusMinus95 }) => formatUncertain(value, plusMinus95));
      return (
        <li key={restState}>
          Once {restStateNames[restState]}: about <strong>{stitches}</strong> stitches ×{' '}
          <strong>{rows}</strong> rows per inch
          <span className="soft small">
            {' '}
            · as {pieces === 1 ? 'another piece' : `${pieces} other pieces`} of this yarn changed
          </span>
        </li>
      );
    })}
  </ul>
);

/** The other measurements of the same piece of fabric, and the way to one more. */
export const MeasureAgain = ({ notebook, row, rows }: Props) => {
  const [, navigate] = useLocation();
  const [busy, setBusy] = useState(false);
  const others = measurementsOfPiece(rows, row.card.pieceId).filter(({ card }) => card.id !== row.card.id);
  const expected = expectedLater(row, rows);
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
      {expected.length > 0 && <Expected expected={expected} />}
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
