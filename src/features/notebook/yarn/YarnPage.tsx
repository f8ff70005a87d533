import { type FormEvent, useEffect, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { Id, Yarn } from '../../../domain/records';
import { blankYarn } from '../../../storage/blank';
import type { Notebook } from '../../../store/notebook';
import type { NotebookRow } from '../../../store/notebookRows';
import { YarnFields } from '../../../ui/fields/YarnFields';
import { PhotoField } from '../../../ui/photoIn/PhotoField';
import { sentenceOf } from '../../../ui/sentenceOf';
import { SwatchLine } from '../SwatchLine';
import { UndoDelete } from '../UndoDelete';
import { useNotebook } from '../useNotebook';
import { ColourFromPhoto } from './ColourFromPhoto';
import { YarnChanges } from './YarnChanges';

interface Props {
  readonly notebook: Notebook;
  /** `new` for one that is not stored yet. */
  readonly yarnId: string;
}

/** Swatches that can show the yarn's colour, newest first. */
const newestWithPhoto = (rows: readonly NotebookRow[]): Id[] =>
  rows
    .filter(({ card }) => card.photoId !== null && card.gauge !== null)
    .sort((a, b) => b.card.createdAt.localeCompare(a.card.createdAt))
    .map(({ card }) => card.id);

interface FormProps {
  readonly notebook: Notebook;
  readonly stored: Yarn | null;
  readonly own: readonly NotebookRow[];
}

const YarnForm = ({ notebook, stored, own }: FormProps) => {
  const [yarn, setYarn] = useState<Yarn>(() => stored ?? blankYarn(''));
  const justAdded = useNotebook(notebook, (state) => state.justAdded);
  const [message, setMessage] = useState<string | null>(justAdded === yarn.id ? 'Saved.' : null);
  // Said once: who comes back to the page later has not just saved anything.
  const isStored = stored !== null;
  useEffect(() => (isStored ? () => notebook.noteAdded(null) : undefined), [notebook, isStored]);
  const [removed, setRemoved] = useState(false);
  const [, navigate] = useLocation();
  const { yarns } = notebook.storage;

  const attempt = async (work: () => Promise<string | null>): Promise<void> => {
    try {
      setMessage(await work());
    } catch (error) {
      setMessage(sentenceOf(error));
    }
  };
  const change = (fields: Partial<Yarn>): void => {
    setMessage(null);
    setYarn((before) => ({ ...before, ...fields }));
  };
  const save = (): Promise<void> =>
    attempt(async () => {
      if (yarn.name.trim() === '')
        return 'A yarn needs a name: type what its band says, or what you call it.';
      await yarns.save({ ...yarn, name: yarn.name.trim() });
      setRemoved(false);
      if (!stored) {
        notebook.noteAdded(yarn.id);
        navigate(`/notebook/yarns/${yarn.id}`, { replace: true });
      }
      return 'Saved.';
    });
  const remove = (): Promise<void> =>
    attempt(async () => {
      const outcome = await yarns.remove(yarn.id);
      if (outcome?.kind === 'inUse') return outcome.sentence;
      setRemoved(true);
      return 'The yarn is deleted.';
    });

  return (
    <form
      className="stack"
      noValidate
      onSubmit={(event: FormEvent) => {
        event.preventDefault();
        void save();
      }}
    >
      <ColourFromPhoto
        storage={notebook.storage}
        swatchIds={newestWithPhoto(own)}
        yarn={yarn}
        onTaken={(seenColour) => {
          change({ seenColour });
          // Kept by itself, with what is stored: what she is typing is saved by her button alone.
          if (stored) void attempt(() => yarns.save({ ...stored, seenColour }).then(() => null));
        }}
        onWithout={() => change({ seenColour: null })}
      />
      <YarnFields yarn={yarn} all onChange={change} />
      <PhotoField
        storage={notebook.storage}
        label="Photo of the band"
        photoId={yarn.photoId ?? null}
        onChange={(photoId) => change({ photoId })}
      />
      <div className="row">
        <button type="submit" className="button button--primary">
          {removed ? 'Undo: bring it back' : 'Save the yarn'}
        </button>
        {stored && !removed && (
          <button type="button" className="button" onClick={() => void remove()}>
            Delete the yarn
          </button>
        )}
      </div>
      <p role="status">{message}</p>
    </form>
  );
};

/** One yarn: what is known of it, and its swatches. */
export const YarnPage = ({ notebook, yarnId }: Props) => {
  const ready = useNotebook(notebook, (state) => state.ready);
  const complete = useNotebook(notebook, (state) => state.complete);
  const yarns = useNotebook(notebook, (state) => state.yarns);
  const rows = useNotebook(notebook, (state) => state.rows);
  const isComing = useNotebook(notebook, (state) => state.justAdded === yarnId);
  // What was on the page when it opened stays in the form; it must not vanish when the yarn is deleted.
  const [opened, setOpened] = useState<Yarn | null>(null);
  const stored = yarns.find((yarn) => yarn.id === yarnId) ?? opened;
  if (stored && !opened) setOpened(stored);
  if (!ready || (!stored && isComing)) return null;
  if (!stored && yarnId !== 'new') {
    return (
      <p className="notebook-empty">
        There is no such yarn any more. <Link href="/notebook/yarns">All yarns</Link>
      </p>
    );
  }
  const own = rows.filter(({ card }) => card.yarnId === yarnId && card.deletedAt === null);
  return (
    <div className="notebook-page stack">
      <h2>{stored?.name ?? 'A new yarn'}</h2>
      <YarnForm key={stored?.id ?? 'new'} notebook={notebook} stored={stored} own={own} />
      {stored && (
        <>
          {complete && <YarnChanges rows={own} />}
          <h2>Its swatches</h2>
          {own.length === 0 && <p>{complete ? 'None yet.' : 'Looking for them…'}</p>}
          <ul className="yarn-swatches" aria-label="Swatches of this yarn">
            {own.map((row) => (
              <li key={row.card.id}>
                <SwatchLine
                  row={row}
                  storage={notebook.storage}
                  onDelete={notebook.remove}
                  onBringBack={notebook.bringBack}
                />
              </li>
            ))}
          </ul>
          <UndoDelete notebook={notebook} />
        </>
      )}
    </div>
  );
};
