import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './app/App';
import { beginScreenAt } from './app/screens';
import './app/theme/tokens.css';
import './app/theme/base.css';
import './app/theme/controls.css';

beginScreenAt(location.hash.slice(1) || '/');
const root = document.getElementById('root');
if (!root) throw new Error('The page has no place to show the app in.');
createRoot(root).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
