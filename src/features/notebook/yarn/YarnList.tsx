import { Link } from 'wouter';
import type { Notebook } from '../../../store/notebook';
import { useNotebook } from '../useNotebook';
import { countWords, yarnFacts } from '../words';
import { ColourDot } from './ColourDot';

/** All yarns by name, with how many swatches each has. */
export const YarnList = ({ notebook }: { readonly notebook: Notebook }) => {
  const ready = useNotebook(notebook, (state) => state.ready);
  const complete = useNotebook(notebook, (state) => state.complete);
  const yarns = useNotebook(notebook, (state) => state.yarns);
  const rows = useNotebook(notebook, (state) => state.rows);
  const counts = new Map<string, number>();
  for (const { card } of rows) {
    if (card.yarnId === null || card.deletedAt !== null) continue;
    counts.set(card.yarnId, (counts.get(card.yarnId) ?? 0) + 1);
  }
  if (!ready) return null;
  return (
    <div className="notebook-page stack">
      <p>
        <Link href="/notebook/yarns/new" className="button">
          Add a yarn
        </Link>
      </p>
      {yarns.length === 0 ? (
        <p className="notebook-empty">No yarn yet: add one here, or name it when you save a swatch.</p>
      ) : (
        <ul className="yarn-list" aria-label="Yarns">
          {yarns.map((yarn) => (
            <li key={yarn.id}>
              <Link href={`/notebook/yarns/${yarn.id}`}>
                <strong className="row">
                  {yarn.name}
                  {yarn.seenColour && <ColourDot hex={yarn.seenColour} />}
                </strong>
                <span className="small soft">
                  {[yarnFacts(yarn), complete && countWords(counts.get(yarn.id) ?? 0)]
                    .filter(Boolean)
                    .join(' · ')}
                </span>
              </Link>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
};
