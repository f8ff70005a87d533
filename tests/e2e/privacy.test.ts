import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type App, openPage, startApp } from './app';
import { measuredArchive, openRecord, plainPicture, takeIn } from './notebookArchive';

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

const photo = resolve(import.meta.dirname, '../../sample-images/oatmeal-inch-mat.jpg');

/** Every request of the page and its workers from now on, as "METHOD address"; ones that never leave the page are left out. */
const requestsOf = (page: Page): string[] => {
  const seen: string[] = [];
  page.context().on('request', (request) => {
    if (!/^(blob|data):/.test(request.url())) seen.push(`${request.method()} ${request.url()}`);
  });
  return seen;
};

const toRecord = async (page: Page): Promise<void> => {
  await page
    .getByRole('navigation', { name: 'Steps' })
    .getByRole('button', { name: /Record/ })
    .click();
  await page.getByLabel('Notes', { exact: true }).waitFor();
};

const visitAll = async (page: Page): Promise<void> => {
  for (const path of ['notebook', 'notebook/yarns', 'notebook/archive', 'machine', 'measure']) {
    await page.goto(`${app.address}#/${path}`);
    await page.getByRole('main').locator('h1, h2').first().waitFor();
  }
};

describe('what leaves the device', () => {
  it('is nothing: a photo is measured, written down and found again without one request', async () => {
    const { page, faults } = await openPage(app, {});
    const all = requestsOf(page);
    await visitAll(page);
    await page.locator('input[type=file]').first().setInputFiles(photo);
    await page.getByText('How far apart are the heavy lines of this mat?').waitFor();
    await toRecord(page);
    // All that was ever asked for came from the app's own place, and nothing was sent along.
    expect(all.filter((line) => !line.startsWith(`GET ${app.address}`))).toEqual([]);
    expect(all.filter((line) => line.includes('?'))).toEqual([]);

    // Every part of the app is here now: from here on the network may be gone.
    await page.waitForLoadState('networkidle');
    await page.context().setOffline(true);
    const later = requestsOf(page);
    await page.getByLabel('Notes', { exact: true }).fill('written without a network');
    await page.getByRole('button', { name: 'Save in the notebook' }).click();
    await page.getByText('Saved in the notebook.').waitFor();
    await page.getByRole('link', { name: 'Notebook', exact: true }).click();
    await page.getByRole('searchbox').fill('without a network');
    await page.getByRole('listitem').first().waitFor();
    expect(later).toEqual([]);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});

describe('a card made of a photo that knows its place', () => {
  it('knows nothing of it, also where the photo is AVIF', async () => {
    const place = 'LOFT BEHIND THE HARBOUR';
    const bytes = await plainPicture()
      .withExif({
        IFD0: { ImageDescription: place },
        IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '54/1 19/1 33/1' },
      })
      .avif({ effort: 0 })
      .toBuffer();
    expect(bytes.includes(place)).toBe(true);
    const { page, faults } = await openPage(app, { acceptDownloads: true });
    await takeIn(
      page,
      app.address,
      await measuredArchive(1, { photo: { bytes: new Uint8Array(bytes), mime: 'image/avif' } }),
    );
    await page.goto(`${app.address}#/notebook/card/swatch-0`);
    // The picture on the card shows that the browser did open the photo.
    await page.getByRole('img', { name: /counted part/ }).waitFor();
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a picture' }).click();
    const card = readFileSync(await (await coming).path());
    expect(card.subarray(1, 4).toString('latin1')).toBe('PNG');
    expect(card.includes(place)).toBe(false);
    for (const chunk of ['eXIf', 'tEXt', 'iTXt', 'zTXt', 'tIME']) expect(card.includes(chunk)).toBe(false);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});

describe('the policy of the page', () => {
  it('lets no script in that did not come with it, and no address but its own be called', async () => {
    const { page } = await openPage(app, {});
    const outcome = await page.evaluate(async () => {
      const broken: string[] = [];
      Object.assign(window, { broken });
      document.addEventListener('securitypolicyviolation', (event) => broken.push(event.effectiveDirective));
      const script = document.createElement('script');
      script.textContent = 'window.wasRun = true;';
      document.body.append(script);
      const holder = document.createElement('div');
      holder.innerHTML = '<img src="x" onerror="window.wasRun = true">';
      document.body.append(holder);
      const frame = document.createElement('iframe');
      frame.src = 'https://example.invalid/';
      document.body.append(frame);
      const called = await fetch('https://example.invalid/collect').then(
        () => true,
        () => false,
      );
      // In a task of the page's own: what a debugger evaluates directly is let through.
      const made = await new Promise<boolean>((done) =>
        setTimeout(() => {
          try {
            done(new Function('return true')() as boolean);
          } catch {
            done(false);
          }
        }),
      );
      return { called, made };
    });
    expect(outcome).toEqual({ called: false, made: false });
    const broken = () => page.evaluate(() => (window as unknown as { broken: string[] }).broken);
    await expect
      .poll(broken)
      .toEqual(
        expect.arrayContaining([
          'connect-src',
          'frame-src',
          'script-src',
          'script-src-attr',
          'script-src-elem',
        ]),
      );
    expect(await page.evaluate(() => 'wasRun' in window)).toBe(false);
    await page.context().close();
  });
});

describe('a name with markup in it', () => {
  it('is text on every screen that shows it', async () => {
    const name = '<img src=x onerror="window.wasRun=true"><script>window.wasRun=true</script>';
    const { page, faults } = await openPage(app, {});
    await takeIn(page, app.address, await measuredArchive(1, { yarn: { name, colour: name, notes: name } }));
    const shows = async (path: string): Promise<void> => {
      await page.goto(`${app.address}#/${path}`);
      await page.getByText(name, { exact: false }).first().waitFor({ state: 'attached' });
    };
    await shows('notebook');
    await shows('notebook/yarns');
    await shows('notebook/yarns/harbour');
    await shows('notebook/card/swatch-0');
    await shows('notebook/labels/swatch-0');
    await openRecord(page, app.address, 'swatch-0');
    await page.getByRole('option', { name }).waitFor({ state: 'attached' });
    expect(await page.evaluate(() => 'wasRun' in window)).toBe(false);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});
