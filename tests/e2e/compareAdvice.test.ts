import type { BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type KnownSwatch, machineArchive } from '../builders/machine-shelf';
import { type App, openPage, startApp } from './app';
import { finger, type Hands, mouse } from './hands';
import { plainPicture, takeIn } from './notebookArchive';

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

/** Settings and stitches of one yarn: about a line of 3.10 mm at 28 mm and 0.45 mm a millimetre, off it by up to 0.5 %. */
const harbour: readonly KnownSwatch[] = [
  [27.2, 0.004],
  [27.8, -0.003],
  [28.4, 0.001],
  [29, -0.005],
  [29.6, 0.003],
].map(([readingMm = 0, off = 0], i) => ({
  id: `harbour-${i}`,
  yarn: 'Harbour sock',
  readingMm,
  walePitchMm: (3.1 + 0.45 * (readingMm - 28)) * (1 + off),
  coursePitchMm: (2.3 + 0.3 * (readingMm - 28)) * (1 - off),
}));
/** The swatch that the other yarn shall come out like. */
const wanted: KnownSwatch = {
  id: 'moor',
  yarn: 'Moor twist',
  readingMm: 28.1,
  walePitchMm: 3.3,
  coursePitchMm: 2.3,
};
/** The one to change: its setting is where the nut stands. */
const present = harbour[1] as KnownSwatch;

/** A turn of the nut, mm of the reading, as the machine's counted turns have it. */
const TRAVEL_MM = 0.8;
/** Student's t for 3 degrees of freedom, two-sided 95 % (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2). */
const T_3 = 3.182;

/** Ordinary least squares as in any textbook: y = level + slope · (x − mean), with the scatter about it. */
const lineThrough = (points: readonly (readonly [number, number])[]) => {
  const n = points.length;
  const meanX = points.reduce((sum, [x]) => sum + x, 0) / n;
  const level = points.reduce((sum, [, y]) => sum + y, 0) / n;
  const sxx = points.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0);
  const slope = points.reduce((sum, [x, y]) => sum + (x - meanX) * (y - level), 0) / sxx;
  const rest = points.reduce((sum, [x, y]) => sum + (y - level - slope * (x - meanX)) ** 2, 0);
  const scatter = Math.sqrt(rest / (n - 2));
  return {
    at: (x: number): number => level + slope * (x - meanX),
    where: (y: number): number => meanX + (y - level) / slope,
    slope,
    /** Half the range that holds a new one at x in 95 of 100 cases. */
    reach: (x: number): number => T_3 * scatter * Math.sqrt(1 + 1 / n + (x - meanX) ** 2 / sxx),
  };
};

const columns = lineThrough(harbour.map((s) => [s.readingMm, s.walePitchMm]));
const rows = lineThrough(harbour.map((s) => [s.readingMm, s.coursePitchMm]));

/** Weights differ a little from point to point in the app, and not at all above: 1 % of the way to the wanted stitch. */
const NEAR_MM = 0.02;

const numbersIn = (text: string): number[] => (text.match(/\d+(\.\d+)?/g) ?? []).map(Number);

/** Checks every number and word of the advice against the line through the known swatches. */
const expectAdvice = async (page: Page): Promise<void> => {
  const advice = page.getByTestId('advice');
  await advice.waitFor();
  const [first = '', turning = '', rowsText = ''] = await advice.locator('p').allTextContents();
  const readingMm = columns.where(wanted.walePitchMm);

  expect(first).toMatch(
    /^To make B like A: set “cam top to plate” to [\d.]+ ± [\d.]+ mm; expected [\d.]+ ± [\d.]+ stitches per inch\.$/,
  );
  const [shownMm = 0, shownPlusMinusMm = 0, perInch = 0, plusMinusPerInch = 0] = numbersIn(first);
  expect(Math.abs(shownMm - readingMm)).toBeLessThan(NEAR_MM);
  const reachMm = columns.reach(readingMm);
  expect(shownPlusMinusMm / (reachMm / columns.slope)).toBeGreaterThan(0.8);
  expect(shownPlusMinusMm / (reachMm / columns.slope)).toBeLessThan(1.25);
  expect(Math.abs(perInch - 25.4 / wanted.walePitchMm)).toBeLessThan(0.01);
  const reachPerInch = (25.4 * reachMm) / wanted.walePitchMm ** 2;
  expect(plusMinusPerInch / reachPerInch).toBeGreaterThan(0.8);
  expect(plusMinusPerInch / reachPerInch).toBeLessThan(1.25);

  // Looser is clockwise on this machine, and ends by coming back, so that play is always taken up on the tighter side.
  const turns = Math.round((4 * (readingMm - present.readingMm)) / TRAVEL_MM) / 4;
  expect(turns).toBe(0.75);
  expect(turning).toMatch(/^¾ turn clockwise, looser; go ¼ past and come back\. Then measure again: /);
  const [, expectedMm = 0] = /again: ([\d.]+) ± [\d.]+ mm is expected\.$/.exec(turning)?.map(Number) ?? [];
  expect(Math.abs(expectedMm - (present.readingMm + turns * TRAVEL_MM))).toBeLessThan(NEAR_MM);

  const rowsMore = wanted.coursePitchMm / rows.at(readingMm) - 1;
  expect(rowsMore).toBeLessThan(-0.02);
  expect(rowsText).toMatch(
    /^Columns and rows cannot both be met: with the stitches right, B will have [\d.]+ % ± [\d.]+ % fewer rows than A\.$/,
  );
  const [rowsPercent = 0] = numbersIn(rowsText);
  expect(Math.abs(rowsPercent - 100 * -rowsMore)).toBeLessThan(0.3);
};

const tellStory = async (page: Page, hands: Hands): Promise<void> => {
  const picture = await plainPicture().jpeg().toBuffer();
  await takeIn(page, app.address, machineArchive([wanted, ...harbour], picture));
  await hands.press(page.getByRole('link', { name: 'Compare', exact: true }));
  await hands.press(page.getByRole('button', { name: /Moor twist/ }));
  const perInch = (25.4 / present.walePitchMm).toFixed(2);
  await hands.press(page.getByRole('button', { name: /Harbour sock/ }).filter({ hasText: perInch }));
  await hands.press(page.getByRole('button', { name: 'Lay them side by side' }));
  await expectAdvice(page);
};

const phone: BrowserContextOptions = {
  viewport: { width: 390, height: 844 },
  hasTouch: true,
  isMobile: true,
};

describe('advice to make one swatch like another', () => {
  it('says reading, turns, stitches and rows as the line through the machine’s swatches has them, on a desk', async () => {
    const { page, faults } = await openPage(app, { viewport: { width: 1440, height: 900 } });
    await tellStory(page, mouse(page));
    expect(faults).toEqual([]);
    await page.context().close();
  });

  it('says the same on a phone', async () => {
    const { page, faults } = await openPage(app, phone);
    await tellStory(page, finger(page));
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});
