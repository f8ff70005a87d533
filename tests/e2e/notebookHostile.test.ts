import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hostileArchives } from '../unit/archiveHostileKinds';
import { type App, openPage, startApp, stored } from './app';
import { measuredArchive, takeIn } from './notebookArchive';

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

const tables = ['yarns', 'machines', 'landmarks', 'swatches', 'cards', 'measurements', 'meta'] as const;

/** All records of the notebook and the names of its photos, as the browser has them stored. */
const contentsOf = async (page: Page): Promise<object> => {
  const all: Record<string, unknown> = {};
  for (const table of tables) all[table] = await stored(page, table);
  all.photos = (await stored(page, 'thumbnails')).map((row) => row.photoId);
  return all;
};

describe('archives that are cut off, damaged, foreign or hostile', () => {
  it('are each refused in the page with one sentence, and the notebook stays as it was', async () => {
    expect(hostileArchives.length).toBeGreaterThanOrEqual(30);
    const { page, faults } = await openPage(app, {});
    await takeIn(page, app.address, await measuredArchive(2));
    const before = await contentsOf(page);
    const chooser = page.getByLabel('Archive to take in');
    const refused: string[] = [];
    for (const [what, , bytes] of hostileArchives) {
      await chooser.setInputFiles({
        name: 'notebook.zip',
        mimeType: 'application/zip',
        buffer: Buffer.from(bytes()),
      });
      const refusal = page.locator('.note--problem:not([data-read])');
      await refusal.waitFor();
      const sentence = (await refusal.textContent()) ?? '';
      expect(sentence, what).toMatch(/^[A-Z][^\n]*nothing was (changed|taken)[^\n]*\.$/);
      refused.push(what);
      // Marked, so that it is not taken for the refusal of the next one.
      await refusal.evaluate((note) => note.setAttribute('data-read', ''));
    }
    expect(refused).toHaveLength(hostileArchives.length);
    expect(await contentsOf(page)).toEqual(before);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});
