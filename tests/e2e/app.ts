import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { build, type PreviewServer, preview } from 'vite';
import { browserLaunch } from '../builders/browser';

const root = resolve(import.meta.dirname, '../..');

export interface App {
  readonly address: string;
  readonly browser: Browser;
  readonly close: () => Promise<void>;
}

/** Serves the built app on a free port and starts a browser; builds it first when there is no build yet. */
export const startApp = async (): Promise<App> => {
  if (!existsSync(resolve(root, 'dist/index.html'))) await build({ root, logLevel: 'error' });
  // A copy of its own, so that a build made meanwhile does not pull files away from under the open page.
  const outDir = mkdtempSync(join(tmpdir(), 'walewright-'));
  cpSync(resolve(root, 'dist'), outDir, { recursive: true });
  const server: PreviewServer = await preview({
    root,
    build: { outDir },
    logLevel: 'error',
    preview: { port: 0, host: '127.0.0.1', strictPort: false, open: false },
  });
  const address = server.resolvedUrls?.local[0];
  if (!address) throw new Error('The built app is not being served.');
  const browser = await chromium.launch(browserLaunch());
  return {
    address,
    browser,
    close: async () => {
      await browser.close();
      await server.close();
      rmSync(outDir, { recursive: true, force: true });
    },
  };
};

/** A fresh profile with the app open in it. Anything that the page reports as an error fails the test at its end. */
export const openPage = async (
  app: App,
  options: BrowserContextOptions,
): Promise<{ page: Page; faults: string[] }> => {
  const context = await app.browser.newContext({ locale: 'en-GB', ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  await page.goto(app.address);
  return { page, faults };
};

/** One story in a fresh profile; nothing may have gone wrong on the page meanwhile. */
export const inPage = async (
  app: App,
  options: BrowserContextOptions,
  story: (page: Page) => Promise<void>,
): Promise<void> => {
  const { page, faults } = await openPage(app, options);
  try {
    await story(page);
    if (faults.length > 0) throw new Error(`The page reported: ${faults.join('; ')}`);
  } finally {
    await page.context().close();
  }
};

/** Where a sample photo lies. */
export const samplePath = (name: string): string => resolve(root, 'sample-images', `${name}.jpg`);

/** The exact gauge of a sample photo, from the file that came with it. */
export const truthOf = (name: string): { stitchesPerInch: number; rowsPerInch: number } => {
  const text = readFileSync(resolve(root, 'sample-images', `${name}.truth.json`), 'utf8');
  const { gauge } = JSON.parse(text) as {
    gauge: { stitches_per_inch: number; rows_per_inch: number };
  };
  return { stitchesPerInch: gauge.stitches_per_inch, rowsPerInch: gauge.rows_per_inch };
};

/** Numbers that stand on the page, such as "8.07 ± 0.07": the value of each. */
export const valuesIn = (text: string): number[] =>
  [...text.matchAll(/(\d+(?:\.\d+)?) ±/g)].map((match) => Number(match[1]));

/** What the browser has stored in one of the notebook's tables. */
export const stored = (page: Page, table: string): Promise<Record<string, unknown>[]> =>
  page.evaluate(
    (name) =>
      new Promise<Record<string, unknown>[]>((done, fail) => {
        const open = indexedDB.open('walewright');
        open.onerror = () => fail(open.error);
        open.onsuccess = () => {
          const all = open.result.transaction(name).objectStore(name).getAll();
          all.onerror = () => fail(all.error);
          all.onsuccess = () => {
            open.result.close();
            done(all.result as Record<string, unknown>[]);
          };
        };
      }),
    table,
  );

/** Where two whole inches of a sample photo's ruler lie in the photo, px. */
export const pointsOnRuler = (
  name: string,
  from: number,
  to: number,
): readonly { readonly x: number; readonly y: number }[] => {
  const text = readFileSync(resolve(root, 'sample-images', `${name}.truth.json`), 'utf8');
  const { reference } = JSON.parse(text) as { reference: { ticks: { mm: number; px: [number, number] }[] } };
  return [from, to].map((inch) => {
    const tick = reference.ticks.find(({ mm }) => Math.abs(mm - inch * 25.4) < 1e-6);
    if (!tick) throw new Error(`The ruler has no mark at ${inch} inches.`);
    return { x: tick.px[0], y: tick.px[1] };
  });
};
