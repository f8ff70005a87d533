import { memo } from 'react';
import { Link } from 'wouter';
import type { Id } from '../../domain/records';
import type { NotebookRow } from '../../store/notebookRows';
import { belongings, circumstances, gaugeSpoken, gaugeWords } from '../../ui/swatchWords';
import { type PictureSource, useListPicture } from './listPictures';

interface Props {
  readonly row: NotebookRow;
  readonly storage: PictureSource;
  readonly onDelete: (id: Id) => Promise<void>;
  readonly onBringBack: (id: Id) => Promise<void>;
}

/** A bin with its lid, on the same field and with the same pen as the other drawings. */
const DeleteDrawing = () => (
  <svg width="24" height="24" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
    <path
      d="M4.5 6.5h15M9.5 6V3.5h5V6M6.5 6.5l1 14h9l1-14M10 10.5v6M14 10.5v6"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.8"
      strokeLinecap="round"
      strokeLinejoin="round"
    />
  </svg>
);

/** A card with a hole and a string, on the same field. */
const CardDrawing = () => (
  <svg width="24" height="24" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
    <path
      d="M4 8.5h16v12H4zM12 8.5V6a2.5 2.5 0 1 1 2.5-2.5M8 13h8M8 16.5h5"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.8"
      strokeLinecap="round"
      strokeLinejoin="round"
    />
  </svg>
);

/**
 * One swatch in a list: its picture, its gauge, what it is made of and when; the whole line opens it. Drawn again only when its row
 * changes, so the functions must stay the same.
 */
export const SwatchLine = memo(({ row, storage, onDelete, onBringBack }: Props) => {
  const { card } = row;
  const thumbnail = useListPicture(storage, card.photoId);
  const content = (
    <>
      <span className={`swatch-picture${card.gauge ? '' : ' swatch-picture--uncounted'}`}>
        {thumbnail && <img src={thumbnail} alt="" />}
      </span>
      <span className="swatch-facts">
        <span className={`swatch-gauge${card.gauge ? '' : ' swatch-gauge--none'}`}>
          <span aria-hidden="true">{gaugeWords(card.gauge)}</span>
          <span className="visually-hidden">{gaugeSpoken(card.gauge)}</span>
          {card.state === 'draft' && <span className="tag">unfinished</span>}
          {card.copiedFrom && <span className="tag">second version</span>}
        </span>
        <span className="swatch-line-text">{belongings(row)}</span>
        <span className="swatch-line-text soft small">{circumstances(row)}</span>
      </span>
    </>
  );
  if (card.deletedAt !== null) {
    return (
      <div className="swatch-line">
        <div className="swatch-open">{content}</div>
        <button type="button" className="button" onClick={() => void onBringBack(card.id)}>
          Bring back
        </button>
      </div>
    );
  }
  return (
    <div className="swatch-line">
      <Link className="swatch-open" href={`/measure/${card.id}`}>
        {content}
      </Link>
      <div className="swatch-actions">
        <Link
          className="button button--quiet button--icon"
          href={`/notebook/card/${card.id}`}
          title="Its card"
          aria-label="Its card"
        >
          <CardDrawing />
        </Link>
        <button
          type="button"
          className="button button--quiet button--icon"
          title="Delete"
          aria-label={`Delete this swatch: ${gaugeSpoken(card.gauge)}, ${belongings(row)}`}
          onClick={() => void onDelete(card.id)}
        >
          <DeleteDrawing />
        </button>
      </div>
    </div>
  );
});
