import { cpus, loadavg } from 'node:os';
import { type App, startApp } from '../e2e/app';
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

const timesOf = async (app: App, swatches: number): Promise<Times> => {
  const context = await app.browser.newContext({ viewport: { width: 1440, height: 900 } });
  try {
    // The runner that strips the types wraps named functions in this; in the page they may stay as they are.
    await context.addInitScript('globalThis.__name ??= (made) => made;');
    const page = await context.newPage();
    page.setDefaultTimeout(120_000);
    await page.goto(`${app.address}#/notebook`);
    await page.getByText('Nothing is kept here yet').waitFor();
    await fillNotebook(page, swatches);
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
  }
};

const ms = (value: number): string => value.toFixed(0);

const pageOf = (all: readonly Times[], load: number, command: string): string =>
  [
    '# The notebook at growing size',
    '',
    `Made by \`${command}\` in headless Chromium on ${cpus().length} cores; medians of ${REPEATS} openings of the built app with its files at hand. Processes waiting for the processor at the start: ${load.toFixed(1)}. Opening counts from asking for the page, searching and filtering from a change of the field to its painting (so one frame, 17 ms, at least). Bars: first screen 500 ms and search 100 ms at 10,000 swatches.`,
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

/** Measures how the notebook opens, searches, filters and scrolls as it grows, and lays the page out. */
export const notebookPage = async (command: string): Promise<string> => {
  const [load = 0] = loadavg();
  const app = await startApp();
  try {
    const all: Times[] = [];
    for (const size of sizes) all.push(await timesOf(app, size));
    return pageOf(all, load, command);
  } finally {
    await app.close();
  }
};
