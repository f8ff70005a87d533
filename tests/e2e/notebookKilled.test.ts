import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { type App, openPage, startApp, stored } from './app';
import { type KillableBrowser, startKillable } from './killable';
import { chooseArchive, measuredArchive, openRecord, takeIn } from './notebookArchive';

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

let profile: string;
const running: KillableBrowser[] = [];
beforeEach(() => {
  profile = mkdtempSync(join(tmpdir(), 'walewright-profile-'));
});
afterEach(async () => {
  for (const browser of running.splice(0)) await browser.kill();
  rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
});
const start = async (): Promise<KillableBrowser> => {
  const browser = await startKillable(profile, app.address);
  running.push(browser);
  return browser;
};

interface Row extends Record<string, unknown> {
  readonly id: string;
  readonly state: string;
  readonly notes: string;
}
const swatches = async (page: Page): Promise<Row[]> => (await stored(page, 'swatches')) as Row[];

const notesOf = async (page: Page, id: string): Promise<string> =>
  (await swatches(page)).find((row) => row.id === id)?.notes ?? '';

/** Reads the stored notes until they are what is expected. */
const untilStored = async (page: Page, id: string, notes: string): Promise<void> => {
  await expect.poll(() => notesOf(page, id), { timeout: 30_000 }).toBe(notes);
};

/** How many photos are stored; their bytes stay where they are. */
const photoCount = (page: Page): Promise<number> =>
  page.evaluate(
    () =>
      new Promise<number>((done, fail) => {
        const open = indexedDB.open('walewright');
        open.onerror = () => fail(open.error);
        open.onsuccess = () => {
          const count = open.result.transaction('photos').objectStore('photos').count();
          count.onerror = () => fail(count.error);
          count.onsuccess = () => {
            open.result.close();
            done(count.result);
          };
        };
      }),
  );

/** Every list line says what its swatch says, and every measurement is there: nothing is half written. */
const expectWhole = async (page: Page): Promise<void> => {
  const rows = await swatches(page);
  const cards = (await stored(page, 'cards')) as Row[];
  const brief = ({ id, state, notes }: Row) => ({ id, state, notes });
  expect(cards.map(brief)).toEqual(rows.map(brief));
  const measured = (await stored(page, 'measurements')).map((row) => row.swatchId);
  expect(measured).toEqual(rows.map((row) => row.id));
};

describe('a browser that is killed', () => {
  it('during an edit has lost nothing that was shown as kept, and nothing is half written', async () => {
    const first = await start();
    await takeIn(first.page, app.address, await measuredArchive(1));
    await openRecord(first.page, app.address, 'swatch-0');
    await first.page.getByLabel('Notes', { exact: true }).fill('a bit loose');
    await untilStored(first.page, 'swatch-0', 'a bit loose');
    await first.page.getByLabel('Notes', { exact: true }).pressSequentially(', knit again');
    await first.kill();

    const second = await start();
    await openRecord(second.page, app.address, 'swatch-0');
    const notes = await second.page.getByLabel('Notes', { exact: true }).inputValue();
    expect('a bit loose, knit again'.startsWith(notes)).toBe(true);
    expect(notes.startsWith('a bit loose')).toBe(true);
    await expectWhole(second.page);
  });

  it('during a save has the swatch as it was or as it was saved', async () => {
    const first = await start();
    await takeIn(first.page, app.address, await measuredArchive(1));
    await openRecord(first.page, app.address, 'swatch-0');
    await first.page.getByLabel('Notes', { exact: true }).fill('final');
    // The click is only sent off; the kill follows while it is at work.
    void first.page
      .getByRole('button', { name: 'Done' })
      .click()
      .catch(() => undefined);
    await first.page.evaluate(() => undefined);
    await first.kill();

    const second = await start();
    await openRecord(second.page, app.address, 'swatch-0');
    expect(['', 'final']).toContain(await second.page.getByLabel('Notes', { exact: true }).inputValue());
    await expectWhole(second.page);
  });

  it('during an import has all of the archive or none of it, and no photo is left over', async () => {
    const first = await start();
    await takeIn(first.page, app.address, await measuredArchive(1, { yarn: { name: 'Mine' } }));
    await chooseArchive(first.page, app.address, await measuredArchive(60, { photoBytes: 60_000 }));
    await first.page.getByRole('button', { name: 'Take it in' }).click();
    await expect.poll(() => photoCount(first.page), { interval: 5 }).toBeGreaterThan(3);
    await first.kill();

    const second = await start();
    // The next start of the app tidies up; its own swatch opens as before.
    await second.page.goto(`${app.address}#/measure`);
    await expect
      .poll(async () => (await photoCount(second.page)) - (await swatches(second.page)).length, {
        timeout: 60_000,
      })
      .toBe(0);
    const rows = await swatches(second.page);
    expect([1, 60]).toContain(rows.length);
    expect(rows.map((row) => row.id)).toContain('swatch-0');
    expect((await stored(second.page, 'yarns')).map((row) => row.name)).toEqual(['Mine']);
    await expectWhole(second.page);
  });
});

describe('a window that is closed in the middle of a word', () => {
  it('has kept every letter', async () => {
    const { page, faults } = await openPage(app, {});
    await takeIn(page, app.address, await measuredArchive(1));
    await openRecord(page, app.address, 'swatch-0');
    await page.getByLabel('Notes', { exact: true }).pressSequentially('loose at the left edge');
    await page.close({ runBeforeUnload: true });

    const again = await page.context().newPage();
    await openRecord(again, app.address, 'swatch-0');
    await untilStored(again, 'swatch-0', 'loose at the left edge');
    expect(faults).toEqual([]);
    await again.context().close();
  });
});

describe('two windows on one swatch', () => {
  it('keep both versions when both change it, and say so', async () => {
    const { page: one, faults } = await openPage(app, {});
    await takeIn(one, app.address, await measuredArchive(1));
    await openRecord(one, app.address, 'swatch-0');
    const two = await one.context().newPage();
    await openRecord(two, app.address, 'swatch-0');

    await one.getByLabel('Notes', { exact: true }).fill('seen in the first window');
    await untilStored(one, 'swatch-0', 'seen in the first window');
    await two.getByLabel('Notes', { exact: true }).fill('seen in the second window');
    await two.getByText(/changed in another window as well; both are kept/).waitFor();
    await expect
      .poll(async () => (await swatches(one)).map((row) => row.notes).sort())
      .toEqual(['seen in the first window', 'seen in the second window']);

    await one.goto(`${app.address}#/notebook`);
    await one.getByText('second version').waitFor();
    expect(await one.getByRole('list', { name: 'Swatches' }).getByRole('listitem').count()).toBe(2);
    expect(faults).toEqual([]);
    await one.context().close();
  });
});
