import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import sharp from 'sharp';
import { build, preview } from 'vite';
import { relativeDifference } from '../../src/domain/compareViewTable';
import { browserLaunch } from '../builders/browser';
import { seeded } from '../builders/random';
import { type Errors, pairOf } from '../unit/comparePairs';
import { median } from './summary';
import { table } from './tables';

const TRIALS = 4000;
const DIFFERENCES = [0, 0.01, 0.02, 0.03];

/** Two usual ways to photograph a swatch: relative standard uncertainties as the app states them. */
const KINDS: readonly {
  readonly name: string;
  readonly errors: Errors;
  readonly sameMat: boolean;
}[] = [
  {
    name: 'three inches counted, one mat known by name',
    errors: { counting: 0.0008, edges: 0.001, scale: 0.001, height: 0.004 },
    sameMat: true,
  },
  {
    name: 'three inches counted, two mats',
    errors: { counting: 0.0008, edges: 0.001, scale: 0.001, height: 0.004 },
    sameMat: false,
  },
  {
    name: 'one inch counted, two mats',
    errors: { counting: 0.003, edges: 0.004, scale: 0.002, height: 0.004, degreesOfFreedom: 20 },
    sameMat: false,
  },
];

const shareCalledReal = (kind: (typeof KINDS)[number], trueDifference: number): number => {
  const random = seeded(1000 * trueDifference + 7);
  let real = 0;
  for (let i = 0; i < TRIALS; i += 1) {
    const [a, b] = pairOf(random, { ...kind, walesPerInch: 8, trueDifference });
    if (relativeDifference('stitches', a, b)?.real) real += 1;
  }
  return real / TRIALS;
};

const powerTable = (): string =>
  table(
    ['called a real difference, % of pairs', ...DIFFERENCES.map((d) => (d === 0 ? 'none' : `${100 * d} %`))],
    KINDS.map((kind) => [
      kind.name,
      ...DIFFERENCES.map((difference) => (100 * shareCalledReal(kind, difference)).toFixed(1)),
    ]),
  );

interface TraceEvent {
  readonly name: string;
  readonly ts: number;
}

/** How the pictures moved, by the browser's own trace. */
interface Panning {
  readonly framesPerSecond: number;
  readonly medianMs: number;
  /** Longest time without a new picture, ms. */
  readonly longestMs: number;
  readonly dropped: number;
}

const PAN_SECONDS = 4;

/** Moves a finger about on picture A, one sample a frame; a text, because the page must get it as it stands. */
const PAN = `(async () => {
  const pane = document.querySelector('[data-pane="A"]');
  const box = pane.getBoundingClientRect();
  const [x, y] = [box.x + box.width / 2, box.y + box.height * 0.8];
  const send = (type, dx, dy) =>
    pane.dispatchEvent(new PointerEvent(type, {
      bubbles: true, pointerId: 1, pointerType: 'touch', isPrimary: true, button: 0,
      clientX: x + dx, clientY: y + dy,
    }));
  pane.setPointerCapture = () => undefined;
  send('pointerdown', 0, 0);
  const start = performance.now();
  performance.mark('pan begins');
  await new Promise((done) => {
    const step = () => {
      const t = (performance.now() - start) / 1000;
      if (t > ${PAN_SECONDS}) { done(); return; }
      send('pointermove', 140 * Math.sin(3 * t), 90 * Math.sin(4.3 * t));
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  });
  performance.mark('pan ends');
  send('pointerup', 0, 0);
})()`;

/** Draws the pictures about for some seconds, one sample a frame as a hand would, and reads the trace of it. */
const panned = async (page: Page): Promise<Panning> => {
  const browser = page.context().browser();
  if (!browser) throw new Error('The pictures are not on screen.');
  await browser.startTracing(page, {
    categories: ['disabled-by-default-devtools.timeline.frame', 'blink.user_timing'],
  });
  await page.evaluate(PAN);
  const trace = JSON.parse((await browser.stopTracing()).toString()) as { traceEvents: TraceEvent[] };
  return readTrace(trace.traceEvents);
};

const readTrace = (events: readonly TraceEvent[]): Panning => {
  const at = (mark: string): number => events.find(({ name }) => name === mark)?.ts ?? Number.NaN;
  const [begins, ends] = [at('pan begins'), at('pan ends')];
  const during = events.filter(({ ts }) => ts >= begins && ts <= ends);
  const drawn = during
    .filter(({ name }) => name === 'DrawFrame')
    .map(({ ts }) => ts)
    .sort((a, b) => a - b);
  const gaps = drawn.slice(1).map((ts, i) => (ts - (drawn[i] ?? ts)) / 1000);
  const seconds = ((drawn.at(-1) ?? 0) - (drawn[0] ?? 0)) / 1e6;
  return {
    framesPerSecond: gaps.length / seconds,
    medianMs: median(gaps),
    longestMs: Math.max(...gaps),
    dropped: during.filter(({ name }) => name === 'DroppedFrame').length,
  };
};

/** The sample photos enlarged to 12 megapixels, as a phone would give them. */
const largePhotos = async (root: string, folder: string): Promise<string[]> =>
  Promise.all(
    ['oatmeal-inch-mat', 'oatmeal-tighter-inch-mat'].map(async (name) => {
      const path = join(folder, `${name}.jpg`);
      const source = join(root, 'sample-images', `${name}.jpg`);
      writeFileSync(path, await sharp(source).resize(4000, 3000).jpeg({ quality: 90 }).toBuffer());
      return path;
    }),
  );

const layOut = async (page: Page, photos: readonly string[]): Promise<void> => {
  for (const photo of photos) {
    await page.locator('input[type="file"]').first().setInputFiles(photo);
    await page.getByRole('button', { name: '1 inch' }).click();
  }
  await page.getByRole('button', { name: 'Lay them side by side' }).click();
  await page.waitForFunction(() => document.querySelectorAll('canvas.flat-photo').length === 2);
  await page.waitForTimeout(1000);
};

const panningTable = async (root: string): Promise<string> => {
  const folder = mkdtempSync(join(tmpdir(), 'side-by-side-'));
  const outDir = join(folder, 'app');
  await build({ root, logLevel: 'error', build: { outDir } });
  const server = await preview({
    root,
    logLevel: 'error',
    build: { outDir },
    preview: { port: 0, host: '127.0.0.1', open: false },
  });
  const browser = await chromium.launch(browserLaunch());
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.setDefaultTimeout(180_000);
    await page.goto(`${server.resolvedUrls?.local[0] ?? ''}#/compare`);
    await layOut(page, await largePhotos(root, folder));
    const rows: string[][] = [];
    for (const lines of [false, true]) {
      if (lines) await page.getByRole('button', { name: 'Lines', exact: true }).click();
      await page.waitForTimeout(500);
      const pan = await panned(page);
      rows.push([
        lines ? 'two photos of 12 megapixels, lines shown' : 'two photos of 12 megapixels',
        pan.framesPerSecond.toFixed(1),
        pan.medianMs.toFixed(1),
        pan.longestMs.toFixed(0),
        String(pan.dropped),
      ]);
    }
    return table(['panning in step', 'frames a second', 'median, ms', 'longest, ms', 'dropped'], rows);
  } finally {
    await browser.close();
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  }
};

/** How often a difference is found, and how smoothly two large photos move in step, as a page of Markdown. */
export const comparingPage = async (root: string): Promise<string> => {
  const power = powerTable();
  const panning = await panningTable(root);
  const load = (loadavg()[0] ?? 0).toFixed(1);
  return [
    '# Side by side',
    '',
    `Simulated pairs of swatches, ${TRIALS} each, at the 5 % level; the errors are those that the app states for itself.`,
    '',
    power,
    '',
    `Traced in Chromium without a graphics processor on ${cpus().length} cores (load ${load} when it ended), ${PAN_SECONDS} seconds each; frames are the trace's DrawFrame events.`,
    '',
    panning,
    '',
  ].join('\n');
};
