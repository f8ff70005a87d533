import { Link, Route, Switch, useLocation } from 'wouter';
import type { Notebook } from '../../store/notebook';
import { appNotebook } from '../../store/notebookApp';
import { ArchivePage } from './ArchivePage';
import { CardPage } from './card/CardPage';
import { LabelPage } from './card/LabelPage';
import './notebook.css';
import { SwatchList } from './SwatchList';
import { useFollowing, useNotebook } from './useNotebook';
import { daysAgo } from './words';
import { YarnList } from './yarn/YarnList';
import { YarnPage } from './yarn/YarnPage';

const pages = [
  ['/notebook', 'Swatches'],
  ['/notebook/yarns', 'Yarns'],
  ['/notebook/archive', 'Archive'],
] as const;

/** Pages of single swatches, which belong to the list of them. */
const ofSwatches = ['/notebook/card/', '/notebook/labels'];

const Pages = () => {
  const [location] = useLocation();
  const isHere = (path: string): boolean =>
    path === '/notebook'
      ? location === path || ofSwatches.some((start) => location.startsWith(start))
      : location.startsWith(path);
  return (
    <nav className="notebook-pages" aria-label="Notebook">
      {pages.map(([path, name]) => (
        <Link key={path} href={path} aria-current={isHere(path) ? 'page' : undefined}>
          {name}
        </Link>
      ))}
    </nav>
  );
};

/** When the notebook was last saved outside the browser, on the pages that have no room for the button itself. */
const LastArchive = ({ notebook }: { readonly notebook: Notebook }) => {
  const [location] = useLocation();
  const last = useNotebook(notebook, (state) => state.lastArchive);
  const ready = useNotebook(notebook, (state) => state.ready);
  if (!ready || location === '/notebook' || location === '/notebook/archive') return null;
  return (
    <Link className="last-archive small" href="/notebook/archive">
      {last ? `Last archive: ${daysAgo(last)}` : 'No archive yet'}
    </Link>
  );
};

/** The notebook's pages under one heading. */
export const NotebookPages = ({ notebook }: { readonly notebook: Notebook }) => {
  useFollowing(notebook);
  const problem = useNotebook(notebook, (state) => state.problem);
  return (
    <div className="notebook">
      <header className="notebook-head">
        <h1>Notebook</h1>
        <Pages />
        <LastArchive notebook={notebook} />
      </header>
      <div role="alert">
        {problem && (
          <div className="note note--problem">
            <p>{problem}</p>
            <button type="button" className="button" onClick={() => notebook.tell(null)}>
              Close
            </button>
          </div>
        )}
      </div>
      <Switch>
        <Route path="/notebook/yarns">
          <YarnList notebook={notebook} />
        </Route>
        <Route path="/notebook/yarns/:yarnId">
          {({ yarnId }) => <YarnPage key={yarnId} notebook={notebook} yarnId={yarnId} />}
        </Route>
        <Route path="/notebook/card/:swatchId">
          {({ swatchId }) => <CardPage notebook={notebook} swatchId={swatchId} />}
        </Route>
        <Route path="/notebook/labels/:swatchId?">
          {({ swatchId }) => <LabelPage notebook={notebook} swatchId={swatchId ?? null} />}
        </Route>
        <Route path="/notebook/archive">
          <ArchivePage notebook={notebook} />
        </Route>
        <Route>
          <SwatchList notebook={notebook} />
        </Route>
      </Switch>
    </div>
  );
};

const NotebookScreen = () => <NotebookPages notebook={appNotebook()} />;

export default NotebookScreen;
