import { lazy, Suspense, useEffect, useState } from 'react';
import { Link, Route, Router, Switch, useLocation } from 'wouter';
import { useHashLocation } from 'wouter/use-hash-location';
import { ThemeIcon } from '../ui/icons';
import { ErrorBoundary } from './ErrorBoundary';
import { LateScreen } from './LateScreen';
import './shell.css';
import { belongsTo, pages, screens, titleAt } from './screens';
import { applyTheme, storedTheme, type ThemeChoice } from './theme/theme';

const StorageNotices = lazy(() => import('../features/notebook/StorageNotices'));

const nextTheme: Record<ThemeChoice, ThemeChoice> = { system: 'light', light: 'dark', dark: 'system' };
const themeName: Record<ThemeChoice, string> = { system: 'as the system', light: 'light', dark: 'dark' };

const ThemeButton = () => {
  const [choice, setChoice] = useState(storedTheme);
  const next = nextTheme[choice];
  return (
    <button
      type="button"
      className="shell-theme"
      aria-label={`Appearance: ${themeName[choice]}. Change to ${themeName[next]}.`}
      onClick={() => {
        applyTheme(next);
        setChoice(next);
      }}
    >
      <ThemeIcon />
      <span>{choice === 'system' ? 'Auto' : themeName[choice]}</span>
    </button>
  );
};

const Navigation = () => {
  const [location] = useLocation();
  return (
    <nav className="shell-nav" aria-label="Main">
      <p className="shell-mark" aria-hidden="true">
        <svg viewBox="0 0 32 32" width="30" height="30" focusable="false" aria-hidden="true">
          <path
            d="M6 6l10 10L26 6M6 16l10 10 10-10"
            fill="none"
            stroke="currentColor"
            strokeWidth="4"
            strokeLinecap="round"
            strokeLinejoin="round"
          />
        </svg>
      </p>
      <ul>
        {screens.map((screen) => (
          <li key={screen.path}>
            <Link href={screen.path} aria-current={belongsTo(screen, location) ? 'page' : undefined}>
              <screen.Icon />
              <span>{screen.label}</span>
            </Link>
          </li>
        ))}
      </ul>
      <ThemeButton />
    </nav>
  );
};

const Screens = () => {
  const [location] = useLocation();
  useEffect(() => {
    document.title = titleAt(location);
  }, [location]);
  return (
    <ErrorBoundary place={location}>
      <Switch>
        {screens.flatMap(({ routes, files }) =>
          routes.map((route) => (
            <Route key={route} path={route}>
              <LateScreen files={files} />
            </Route>
          )),
        )}
        {pages.map(({ path, files }) => (
          <Route key={path} path={path}>
            <LateScreen files={files} />
          </Route>
        ))}
        <Route>
          <div className="page stack">
            <h1>There is nothing at this address.</h1>
            <p>
              <Link href="/measure" className="button">
                Go to Measure
              </Link>
            </p>
          </div>
        </Route>
      </Switch>
    </ErrorBoundary>
  );
};

/** The frame around every screen: navigation in thumb's reach on a phone, a narrow rail on a desk. */
export const App = () => (
  <Router hook={useHashLocation}>
    <div className="shell">
      <Navigation />
      <main className="shell-main">
        <Screens />
      </main>
      <Suspense fallback={null}>
        <StorageNotices />
      </Suspense>
    </div>
  </Router>
);
