import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import sharp from 'sharp';
import { build, preview } from 'vite';
import { browserLaunch } from '../builders/browser';
import { median } from './summary';

interface TraceEvent {
  readonly name: string;
  /** Microseconds, as all times of a trace. */
  readonly ts: number;
  /** Processor time. */
  readonly tdur?: number;
}

/** How the pictures moved, by the browser's own trace, from the first picture that had moved to the last. */
export interface Panning {
  readonly framesPerSecond: number;
  /** Pictures that were put on the screen, and how many times the screen was ready for one. */
  readonly shown: number;
  readonly ticks: number;
  /** From the first event of the hand to the first picture that has moved, ms. */
  readonly firstMs: number;
  readonly medianMs: number;
  /** Longest time without a new picture, ms. */
  readonly longestMs: number;
  readonly dropped: number;
  /** Pieces of picture that were painted again. */
  readonly rasters: number;
  /** Processor time that the page takes for a frame, median, ms. */
  readonly pageMs: number;
  /** Processor time that it takes to put a frame on the screen, median, ms. */
  readonly screenMs: number;
}

export const PAN_SECONDS = 4;

/** Calls `move` once a frame with a place to go to, as a hand would; a text, because the page must get it as it stands. */
const ALONG = `async (move) => {
  const start = performance.now();
  performance.mark('pan begins');
  await new Promise((done) => {
    const step = () => {
      const t = (performance.now() - start) / 1000;
      if (t > ${PAN_SECONDS}) { done(); return; }
      move(140 * Math.sin(3 * t), 90 * Math.sin(4.3 * t));
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  });
  performance.mark('pan ends');
}`;

/** Moves a finger about on picture A. */
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
  await (${ALONG})((dx, dy) => send('pointermove', dx, dy));
  send('pointerup', 0, 0);
})()`;

/** Moves the two drawings of the empty page. */
const MOVE = `(${ALONG})((dx, dy) => {
  for (const drawing of document.querySelectorAll('canvas'))
    drawing.style.transform = 'translate(' + Math.round(dx) + 'px, ' + Math.round(dy) + 'px)';
})`;

/** Half a second of frames: starting the trace holds the page up, and is not its doing. */
const SETTLE = `new Promise((done) => {
  let left = 30;
  const step = () => (left-- > 0 ? requestAnimationFrame(step) : done());
  step();
})`;

/** Runs one of the above and reads the trace of it. */
const traced = async (page: Page, script: string): Promise<Panning> => {
  const browser = page.context().browser();
  if (!browser) throw new Error('The pictures are not on screen.');
  // What came before, such as laying photos flat, must not linger in the measurement.
  await page.evaluate(`new Promise((done) => requestIdleCallback(() => requestIdleCallback(done)))`);
  await browser.startTracing(page, {
    categories: [
      'disabled-by-default-devtools.timeline.frame',
      'devtools.timeline',
      'blink.user_timing',
      'cc',
      'viz',
    ],
  });
  await page.evaluate(SETTLE);
  await page.evaluate(script);
  const trace = JSON.parse((await browser.stopTracing()).toString()) as { traceEvents: TraceEvent[] };
  return readTrace(trace.traceEvents);
};

const readTrace = (events: readonly TraceEvent[]): Panning => {
  const at = (mark: string): number => events.find(({ name }) => name === mark)?.ts ?? Number.NaN;
  const [begins, ends] = [at('pan begins'), at('pan ends')];
  const during = events.filter(({ ts }) => ts >= begins && ts <= ends);
  const named = (name: string): TraceEvent[] => during.filter((event) => event.name === name);
  const drawn = named('DrawFrame')
    .map(({ ts }) => ts)
    .sort((a, b) => a - b);
  const [first = Number.NaN, last = Number.NaN] = [drawn[0], drawn.at(-1)];
  const gaps = drawn.slice(1).map((ts, i) => (ts - (drawn[i] ?? ts)) / 1000);
  const work = (name: string): number =>
    median(named(name).flatMap(({ tdur }) => (tdur === undefined ? [] : [tdur / 1000])));
  return {
    framesPerSecond: gaps.length / ((last - first) / 1e6),
    shown: drawn.length,
    // The tick of the first picture came just before it.
    ticks: 1 + named('BeginFrame').filter(({ ts }) => ts > first && ts <= last).length,
    firstMs: (first - begins) / 1000,
    medianMs: median(gaps),
    longestMs: Math.max(...gaps),
    dropped: named('DroppedFrame').filter(({ ts }) => ts > first && ts <= last).length,
    rasters: named('RasterTask').length,
    pageMs: work('ProxyMain::BeginMainFrame'),
    screenMs: work('Display::DrawAndSwap'),
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

const settled = (page: Page): Promise<unknown> =>
  page.waitForFunction(() => document.querySelectorAll('[data-pane][data-settled="true"]').length === 2);

const layOut = async (page: Page, photos: readonly string[]): Promise<void> => {
  for (const photo of photos) {
    await page.locator('input[type="file"]').first().setInputFiles(photo);
    await page.getByRole('button', { name: '1 inch' }).click();
  }
  await page.getByRole('button', { name: 'Lay them side by side' }).click();
  await settled(page);
};

interface Field {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** Where the panes are on the page, CSS px. */
const fieldsOf = (page: Page): Promise<Field[]> =>
  page.locator('[data-pane]').evaluateAll((panes) =>
    panes.map((pane) => {
      const { left, top, width, height } = pane.getBoundingClientRect();
      return {
        left: Math.round(left),
        top: Math.round(top),
        width: Math.round(width),
        height: Math.round(height),
      };
    }),
  );

/** A page with nothing on it but drawings of twice the size of these fields, as the panes have them. */
const emptyPage = (fields: readonly Field[]): string =>
  `<!doctype html><body>${fields
    .map(
      ({ left, top, width, height }) =>
        `<div style="position:fixed;overflow:hidden;left:${left}px;top:${top}px;width:${width}px;height:${height}px">
         <canvas width="${2 * width}" height="${2 * height}"
           style="position:absolute;left:${-width / 2}px;top:${-height / 2}px;will-change:transform"></canvas></div>`,
    )
    .join('')}
  <script>
    for (const canvas of document.querySelectorAll('canvas')) {
      const drawn = new OffscreenCanvas(canvas.width, canvas.height);
      const context = drawn.getContext('2d', { alpha: false });
      for (let x = 0; x < canvas.width; x += 7) {
        context.fillStyle = 'hsl(' + (x % 360) + ' 60% 50%)';
        context.fillRect(x, 0, 5, canvas.height);
      }
      canvas.getContext('bitmaprenderer', { alpha: false }).transferFromImageBitmap(drawn.transferToImageBitmap());
    }
  </script>`;

/** Two photos of 12 megapixels moved about in the built app, and what an empty page does at best. */
export const panningRows = async (
  root: string,
): Promise<readonly { readonly name: string; readonly pan: Panning }[]> => {
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
    const fields = await fieldsOf(page);
    const bare = await traced(page, PAN);
    await page.getByRole('button', { name: 'Lines', exact: true }).click();
    await settled(page);
    const withLines = await traced(page, PAN);
    await page.close();
    const empty = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await empty.setContent(emptyPage(fields));
    const ceiling = await traced(empty, MOVE);
    return [
      { name: 'two photos of 12 megapixels', pan: bare },
      { name: 'two photos of 12 megapixels, lines shown', pan: withLines },
      { name: 'an empty page with two drawings', pan: ceiling },
    ];
  } finally {
    await browser.close();
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  }
};
