import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { build, preview } from 'vite';
import { browserLaunch } from '../builders/browser';
import { median } from './summary';

/** What a correction costs the page, ms. */
export interface EditingTimes {
  /** From the key to the numbers and the page's elements being up to date. */
  readonly scriptMs: number;
  /** The same and the drawing of the lines that follows; waiting for the screen's next frame is left out. */
  readonly redrawnMs: number;
  /** 95 of 100 corrections are redrawn within this. */
  readonly slowMs: number;
}

const EDITS = 60;
/** The first ones warm the page up. */
const WARM_UP = 10;

/** Splits the marked column and takes that back, in turns; a text, because the page must get it as it stands. */
const EDIT = `(async () => {
  const stage = document.querySelector('[role=application]');
  const frame = () => new Promise((done) => requestAnimationFrame(() => {
    const begins = performance.now();
    const channel = new MessageChannel();
    channel.port1.onmessage = () => done(performance.now() - begins);
    channel.port2.postMessage(0);
  }));
  const times = [];
  for (let i = 0; i < ${EDITS}; i += 1) {
    // Storing the version before has to be over.
    await new Promise((done) => setTimeout(done, 150));
    await frame();
    const back = i % 2 === 1;
    const begins = performance.now();
    stage.dispatchEvent(new KeyboardEvent('keydown', {
      key: back ? 'z' : 's', ctrlKey: back, bubbles: true, cancelable: true,
    }));
    await Promise.resolve();
    const script = performance.now() - begins;
    times.push([script, script + await frame()]);
  }
  return times;
})()`;

const toLines = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: /^Oatmeal yarn, plain/ }).click();
  await page.getByRole('button', { name: '1 inch', exact: true }).click();
  await page.getByTestId('gauge-line').waitFor();
  await page.getByText('Kept', { exact: true }).waitFor();
  await page.locator('[role=application]').focus();
  await page.keyboard.press('ArrowRight');
};

/** Corrects the lines of a sample in the built app, in a browser window of 1440 × 900, and times it. */
export const editingTimes = async (root: string): Promise<EditingTimes> => {
  const outDir = mkdtempSync(join(tmpdir(), 'walewright-'));
  await build({ root, logLevel: 'error', build: { outDir, emptyOutDir: true } });
  const server = await preview({
    root,
    build: { outDir },
    logLevel: 'error',
    preview: { port: 0, host: '127.0.0.1', strictPort: false, open: false },
  });
  const browser = await chromium.launch(browserLaunch());
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.setDefaultTimeout(120_000);
    await page.goto(String(server.resolvedUrls?.local[0]));
    await toLines(page);
    const times = ((await page.evaluate(EDIT)) as [number, number][]).slice(WARM_UP);
    const redrawn = times.map(([, ms]) => ms).sort((a, b) => a - b);
    return {
      scriptMs: median(times.map(([ms]) => ms)),
      redrawnMs: median(redrawn),
      slowMs: redrawn[Math.ceil(0.95 * redrawn.length) - 1] ?? Number.NaN,
    };
  } finally {
    await browser.close();
    await server.close();
    rmSync(outDir, { recursive: true, force: true });
  }
};
