import { useState } from 'react';
import { Link } from 'wouter';
import type { Notebook } from '../../../store/notebook';
import type { NotebookRow } from '../../../store/notebookRows';
import { saveFile } from '../../../ui/saveFile';
import { UndoDelete } from '../UndoDelete';
import { useNotebook } from '../useNotebook';
import { ColourDot } from '../yarn/ColourDot';
import './card.css';
import { type CardFacts, cardFacts } from './cardFacts';
import { drawCard, toPng } from './drawCard';
import { MeasureAgain } from './MeasureAgain';
import { Picture } from './Picture';
import { type CardParts, useCard } from './useCard';

interface PaperProps {
  readonly row: NotebookRow;
  readonly facts: CardFacts;
  readonly parts: CardParts;
}

/** The card itself, as it is on the screen and on paper. */
const Paper = ({ row, facts, parts }: PaperProps) => (
  <article className="card-paper" aria-label={`Card: ${facts.title}`}>
    {parts.picture && (
      <Picture
        canvas={parts.picture}
        className="card-picture"
        label="The counted part of the photo with its lines"
      />
    )}
    <div className="card-words">
      {facts.stitches === null ? (
        <p className="card-gauge">No gauge yet</p>
      ) : (
        <p className="card-gauge">
          <span>{facts.stitches} stitches</span> <span>× {facts.rows} rows</span>{' '}
          <small className="soft">per inch · {facts.per10Cm}</small>
        </p>
      )}
      <h2 className="row">
        {row.yarn?.seenColour && <ColourDot hex={row.yarn.seenColour} />}
        {facts.title}
      </h2>
      {facts.yarnLine && <p className="soft">{facts.yarnLine}</p>}
      <dl>
        {facts.lines.map(([label, text]) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {parts.landmark && (
        <Picture canvas={parts.landmark} className="card-landmark" label="Where the caliper's points go" />
      )}
    </div>
  </article>
);

interface CardProps {
  readonly notebook: Notebook;
  readonly row: NotebookRow;
  readonly rows: readonly NotebookRow[];
}

const Card = ({ notebook, row, rows }: CardProps) => {
  const { parts, problem } = useCard(notebook.storage, row);
  const [failed, setFailed] = useState<string | null>(null);
  if (problem) return <p className="note note--problem">{problem}</p>;
  if (!parts) {
    return (
      <p className="soft notebook-empty" role="status">
        Making the card…
      </p>
    );
  }
  const facts = cardFacts(row, parts.swatch.reading);
  const save = async (): Promise<void> => {
    const { picture: swatch, landmark } = parts;
    const file = await toPng(drawCard({ facts, colour: row.yarn?.seenColour ?? null, swatch, landmark }));
    if (file) saveFile(file, `walewright-card-${row.day}.png`);
    else setFailed('This browser could not make the picture; the printed page shows the same.');
  };
  return (
    <>
      <Paper row={row} facts={facts} parts={parts} />
      <div className="row card-actions">
        <Link className="button" href={`/measure/${row.card.id}`}>
          Open its photo
        </Link>
        <button type="button" className="button" onClick={() => void save()}>
          Save as a picture
        </button>
        <button type="button" className="button" onClick={() => window.print()}>
          Print this card
        </button>
        <Link className="button" href={`/notebook/labels/${row.card.id}`}>
          Label to tie on
        </Link>
      </div>
      <p role="status">{failed}</p>
      {row.card.state === 'saved' && <MeasureAgain notebook={notebook} row={row} rows={rows} />}
      <UndoDelete notebook={notebook} />
    </>
  );
};

/** One swatch on one page, to be printed or given to somebody. */
export const CardPage = ({
  notebook,
  swatchId,
}: {
  readonly notebook: Notebook;
  readonly swatchId: string;
}) => {
  const complete = useNotebook(notebook, (state) => state.complete);
  const rows = useNotebook(notebook, (state) => state.rows);
  const row = rows.find(({ card }) => card.id === swatchId && card.deletedAt === null);
  if (!row) {
    return complete ? (
      <p className="notebook-empty">
        There is no such swatch any more. <Link href="/notebook">All swatches</Link>
      </p>
    ) : null;
  }
  return (
    <div className="notebook-page card-page">
      <p className="card-back">
        <Link href="/notebook">← All swatches</Link>
      </p>
      <Card key={swatchId} notebook={notebook} row={row} rows={rows} />
    </div>
  );
};
