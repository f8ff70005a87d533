import { useState } from 'react';
import { Link } from 'wouter';
import { formatLength } from '../../../domain/units';
import type { Notebook } from '../../../store/notebook';
import type { NotebookRow } from '../../../store/notebookRows';
import { useNotebook } from '../useNotebook';
import './card.css';
import { cardFacts } from './cardFacts';

/** What is printed at once: more would only be cut by mistake. */
const MOST = 120;
const copyCounts = [1, 2, 4, 10] as const;

const Label = ({ row }: { readonly row: NotebookRow }) => {
  const facts = cardFacts(row, null);
  const { card, machine, landmark } = row;
  const setting = [
    machine?.name,
    card.cylinderNeedles !== null && `${card.cylinderNeedles} needles`,
    row.readingMm !== null && `caliper ${formatLength(row.readingMm, card.readingUnit ?? 'mm')}`,
    landmark?.name,
  ].filter(Boolean);
  return (
    <li className="tie-label">
      <span className="tie-label-hole" aria-hidden="true" />
      <strong className="tie-label-yarn">{facts.title}</strong>
      <span className="tie-label-gauge">
        {facts.stitches === null ? 'No gauge yet' : `${facts.stitches} × ${facts.rows} per inch`}
      </span>
      <span>{setting.join(' · ')}</span>
      <span>
        {[facts.lines.find(([name]) => name === 'Fabric')?.[1], row.day].filter(Boolean).join(' · ')}
      </span>
    </li>
  );
};

interface Props {
  readonly notebook: Notebook;
  /** One swatch; null for all in the list. */
  readonly swatchId: string | null;
}

/** Labels to cut out and tie to swatches, many a sheet. */
export const LabelPage = ({ notebook, swatchId }: Props) => {
  const complete = useNotebook(notebook, (state) => state.complete);
  const rows = useNotebook(notebook, (state) => state.rows);
  const shown = useNotebook(notebook, (state) => state.shown);
  const [copies, setCopies] = useState<number>(1);
  const wanted = swatchId === null ? shown : rows.filter(({ card }) => card.id === swatchId);
  const taken = wanted.slice(0, Math.floor(MOST / copies));
  if (!complete && (swatchId === null || wanted.length === 0)) return null;
  const cut = wanted.length - taken.length;
  const numbers = Array.from({ length: copies }, (_, i) => i + 1);
  return (
    <div className="notebook-page stack label-page">
      <div className="stack label-lead">
        <h2>Labels to tie to swatches</h2>
        <p>
          Print them on card, cut along the lines, punch the ring and tie them on with a tail of the yarn.{' '}
          {taken.length * copies === 1 ? 'One label' : `${taken.length * copies} labels`}
          {swatchId === null && ', for the swatches in the list'}.
          {cut > 0 && ` Another ${cut} do not fit: narrow the list down for those.`}
        </p>
        <div className="row">
          <label className="row">
            Copies of each
            <select
              className="input label-copies"
              value={copies}
              onChange={(event) => setCopies(Number(event.target.value))}
            >
              {copyCounts.map((count) => (
                <option key={count} value={count}>
                  {count}
                </option>
              ))}
            </select>
          </label>
          <button
            type="button"
            className="button button--primary"
            disabled={taken.length === 0}
            onClick={() => window.print()}
          >
            Print the labels
          </button>
          <Link className="button" href={swatchId === null ? '/notebook' : `/notebook/card/${swatchId}`}>
            Back
          </Link>
        </div>
      </div>
      <ul className="labels" aria-label="Labels">
        {taken.flatMap((row) =>
          numbers.map((number) => <Label key={`${row.card.id} ${number}`} row={row} />),
        )}
      </ul>
    </div>
  );
};
