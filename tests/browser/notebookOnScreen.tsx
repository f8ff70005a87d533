import { cleanup, render } from '@testing-library/react';
import { Dexie } from 'dexie';
import { afterEach } from 'vitest';
import { Router } from 'wouter';
import { memoryLocation } from 'wouter/memory-location';
import '../../src/app/theme/base.css';
import '../../src/app/theme/controls.css';
import '../../src/app/theme/tokens.css';
import { NotebookPages } from '../../src/features/notebook/NotebookScreen';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { createNotebook } from '../../src/store/notebook';

const open: Storage[] = [];

/** A fresh notebook in the real browser, gone after the test. */
export const freshStorage = (): Storage => {
  const storage = createStorage(`test-${newId()}`);
  open.push(storage);
  return storage;
};

afterEach(async () => {
  cleanup();
  const done = open.splice(0);
  for (const storage of done) storage.close();
  for (const storage of done) await Dexie.delete(storage.database.name);
});

/** Draws the notebook's pages as high as the screen. @returns where they are and were. */
export const showNotebook = (storage: Storage, path: string) => {
  const location = memoryLocation({ path, record: true });
  render(
    <div style={{ height: '100vh' }}>
      <Router hook={location.hook}>
        <NotebookPages notebook={createNotebook(storage)} />
      </Router>
    </div>,
  );
  return location;
};

/** The next file that the page hands over to be saved. */
export const nextDownload = (): Promise<{ name: string; file: Blob }> =>
  new Promise((resolve, reject) => {
    const onClick = (event: MouseEvent): void => {
      const link = event.target;
      if (!(link instanceof HTMLAnchorElement) || !link.download) return;
      event.preventDefault();
      document.removeEventListener('click', onClick, true);
      fetch(link.href)
        .then(async (response) => resolve({ name: link.download, file: await response.blob() }))
        .catch(reject);
    };
    document.addEventListener('click', onClick, true);
  });

/** A screen is no wider than it may be, and everything on it is large enough for a thumb. */
export const expectFits = (width: number): void => {
  const { scrollWidth } = document.documentElement;
  if (scrollWidth > width) throw new Error(`The page is ${scrollWidth} px wide on a screen of ${width} px.`);
  for (const target of document.querySelectorAll('.notebook a, .notebook button, .notebook summary')) {
    const { height } = target.getBoundingClientRect();
    if (target.getClientRects().length > 0 && height < 44)
      throw new Error(`"${target.textContent}" is only ${height} px high.`);
  }
};
