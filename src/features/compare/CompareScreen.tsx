import { useEffect } from 'react';
import { useLocation, useParams } from 'wouter';
import type { Id } from '../../domain/records';
import type { SideReading } from '../../store/compareReading';
import type { IncomingPhoto } from '../../store/measureSessionTypes';
import { appNotebook } from '../../store/notebookApp';
import { DropHere } from '../../ui/photoIn/DropHere';
import { incomingFile } from '../../ui/photoIn/incoming';
import { useDropAndPaste } from '../../ui/photoIn/useDropAndPaste';
import { Bench } from './Bench';
import './compare.css';
import { PickPage } from './pick/PickPage';
import { type ReadSide, useComparison, useNewComparison, useSides } from './useComparison';

type OpenSide = ReadSide & { readonly reading: SideReading };

const idsIn = (text: string | undefined): Id[] => (text ?? '').split(',').filter(Boolean);
const addressOf = (ids: readonly Id[]): string => `/compare/${ids.join(',')}`;

/** Two to four swatches side by side. The address names them, so that a reload shows the same. */
const CompareScreen = () => {
  const notebook = appNotebook();
  const [, navigate] = useLocation();
  const { ids: named } = useParams<{ ids?: string }>();
  const comparison = useNewComparison(named !== undefined);
  const sides = useSides(comparison);
  const problem = useComparison(comparison, (state) => state.problem);
  const opening = useComparison(comparison, (state) => state.opening);

  useEffect(() => notebook.follow(), [notebook]);
  useEffect(() => {
    if (named && comparison.ids().join(',') !== named) void comparison.show(idsIn(named));
  }, [comparison, named]);

  const pick = (id: Id): void => {
    const now = comparison.ids();
    void comparison.show(now.includes(id) ? now.filter((other) => other !== id) : [...now, id]);
  };
  const add = (photo: IncomingPhoto): void => {
    if (named) navigate('/compare');
    void comparison.addPhoto(photo);
  };
  const hovering = useDropAndPaste((file) => add(incomingFile(file)), true);

  const open = sides.filter((entry): entry is OpenSide => entry.reading !== null);
  const ready =
    open.length >= 2 && open.length === sides.length && open.every(({ reading }) => reading.compared);
  const lay = (): void => navigate(addressOf(comparison.ids()));
  const makeFirst = (key: string): void => {
    comparison.makeFirst(key);
    lay();
  };
  return (
    <div className="compare">
      {problem && (
        <div className="note note--problem compare-problem" role="alert">
          <p>{problem}</p>
          <button type="button" className="button" onClick={() => comparison.tell(null)}>
            Close
          </button>
        </div>
      )}
      {named && (opening || (sides.length === 0 && !problem)) ? (
        <p className="page soft" role="status">
          Opening…
        </p>
      ) : named && open.length >= 2 ? (
        <Bench sides={open} onFirst={makeFirst} onPick={() => navigate('/compare')} />
      ) : (
        <PickPage
          comparison={comparison}
          notebook={notebook}
          sides={sides}
          onPick={pick}
          onPhoto={add}
          onCompare={ready ? lay : null}
        />
      )}
      {hovering && <DropHere>Let go to put this photo beside the others</DropHere>}
    </div>
  );
};

export default CompareScreen;
