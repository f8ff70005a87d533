import { mkdtempSync, rmSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { chromium } from 'playwright-core';
import { build, preview } from 'vite';
import { browserLaunch } from '../builders/browser';
import { fillNotebook } from './notebookFill';
import { openingTimes, scrollTimes, typingTimes, watchOpening } from './notebookTimes';
import { median } from './summary';
import { table } from './tables';

const sizes = [10, 1_000, 10_000] as const;
const REPEATS = 5;
/** From one hit to nearly all, in the order in which somebody types and takes back. */
const searches = ['h', 'harbour', 'harbour moss', 'number 7', 'rested 72', 'nothing like it', ''];
const ranges = ['7.5', '8', '9.9', '6', ''];

interface Times {
  readonly swatches: number;
  readonly first: number;
  readonly all: number;
  readonly search: number;
  readonly slowestSearch: number;
  readonly filter: number;
  readonly frame: number;
  readonly slowestFrame: number;
}

const root = resolve(import.meta.dirname, '../..');

/** Times in a profile on disk, as a person's browser has one; a private window would keep the notebook in memory. */
const timesOf = async (address: string, swatches: number): Promise<Times> => {
  const profile = mkdtempSync(join(tmpdir(), 'walewright-profile-'));
  const context = await chromium.launchPersistentContext(profile, {
    ...browserLaunch(),
    viewport: { width: 1440, height: 900 },
  });
  try {
    // The runner that strips the types wraps named functions in this; in the page they may stay as they are.
    await context.addInitScript('globalThis.__name ??= (made) => made;');
    const page = await context.newPage();
    page.setDefaultTimeout(120_000);
    await page.goto(`${address}#/notebook`);
    await page.getByText('Nothing is kept here yet').waitFor();
    await fillNotebook(page, swatches);
    process.stderr.write(`${swatches.toLocaleString('en-GB')} swatches are stored; measuring.\n`);
    await page.addInitScript(watchOpening);
    const openings: { first: number; all: number }[] = [];
    // The first time brings the files in; only what follows is counted.
    for (let i = 0; i <= REPEATS; i += 1) {
      await page.reload();
      const times = await openingTimes(page);
      if (i > 0) openings.push(times);
    }
    await typingTimes(page, 'input[type=search]', searches);
    const typed = await typingTimes(page, 'input[type=search]', searches);
    const frames = await scrollTimes(page, 120, 400);
    await page.getByText('Narrow down and sort').click();
    const from = await page.getByLabel('Stitches per inch, from').getAttribute('id');
    const narrowed = await typingTimes(page, `[id="${from}"]`, ranges);
    return {
      swatches,
      first: median(openings.map(({ first }) => first)),
      all: median(openings.map(({ all }) => all)),
      search: median(typed),
      slowestSearch: Math.max(...typed),
      filter: median(narrowed),
      frame: median(frames),
      slowestFrame: Math.max(...frames),
    };
  } finally {
    await context.close();
    rmSync(profile, { recursive: true, force: true });
  }
};

const ms = (value: number): string => value.toFixed(0);

/** What whoever runs it wants said of how, as `--remark "TEXT"`. */
const remarkIn = (words: readonly string[]): string => {
  const at = words.indexOf('--remark');
  return at < 0 ? '' : ` ${words[at + 1] ?? ''}`;
};

const pageOf = (all: readonly Times[], load: number, remark: string): string =>
  [
    '# The notebook at growing size',
    '',
    `Made by \`npm run bench -- --notebook\` in headless Chromium on ${cpus().length} cores, its profile on disk; medians of ${REPEATS} openings of the built app with its files at hand. Processes waiting for the processor at the start: ${load.toFixed(1)}.${remark} Opening counts from asking for the page, searching and filtering from a change of the field to its painting (so one frame, 17 ms, at least). Bars: first screen 500 ms and search 100 ms at 10,000 swatches.`,
    '',
    table(
      [
        'swatches',
        'first screen, ms',
        'all read, ms',
        'search, ms',
        'slowest search, ms',
        'filter, ms',
        'frame while scrolling, ms',
        'slowest frame, ms',
      ],
      all.map((t) => [
        t.swatches.toLocaleString('en-GB'),
        ms(t.first),
        ms(t.all),
        ms(t.search),
        ms(t.slowestSearch),
        ms(t.filter),
        ms(t.frame),
        ms(t.slowestFrame),
      ]),
    ),
    '',
  ].join('\n');

/** Measures how the notebook opens, searches, filters and scrolls as it grows, in a fresh build of the app; lays the page out. */
export const notebookPage = async (words: readonly string[]): Promise<string> => {
  const [load = 0] = loadavg();
  const outDir = mkdtempSync(join(tmpdir(), 'walewright-build-'));
  await build({ root, build: { outDir, emptyOutDir: true }, logLevel: 'error' });
  const server = await preview({
    root,
    build: { outDir },
    logLevel: 'error',
    preview: { port: 0, host: '127.0.0.1', strictPort: false, open: false },
  });
  try {
    const address = server.resolvedUrls?.local[0];
    if (!address) throw new Error('The built app is not being served.');
    const all: Times[] = [];
    for (const size of sizes) all.push(await timesOf(address, size));
    return pageOf(all, load, remarkIn(words));
  } finally {
    await server.close();
    rmSync(outDir, { recursive: true, force: true });
  }
};
