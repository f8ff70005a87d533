import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './app/App';
import './app/theme/tokens.css';
import './app/theme/base.css';
import './app/theme/controls.css';

const root = document.getElementById('root');
if (!root) throw new Error('The page has no place to show the app in.');
createRoot(root).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
