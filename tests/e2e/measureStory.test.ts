import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type App, openPage, startApp, stored, truthOf, valuesIn } from './app';
import { type Spot, shownCount, spotBetweenColumns } from './stage';

const sample = 'oatmeal-inch-mat';
const truth = truthOf(sample);
/** The published bar of the project: within 1 % with nothing touched by hand. */
const ONE_PERCENT = 0.01;

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

const expectTruth = (values: number[]): void => {
  const [stitches = 0, rows = 0] = values;
  expect(Math.abs(stitches / truth.stitchesPerInch - 1)).toBeLessThan(ONE_PERCENT);
  expect(Math.abs(rows / truth.rowsPerInch - 1)).toBeLessThan(ONE_PERCENT);
};

const gaugeLine = async (page: Page): Promise<number[]> =>
  valuesIn((await page.getByTestId('gauge-line').textContent()) ?? '');

/** Types what the caliper showed and who the swatch belongs to, and saves. */
const fillRecord = async (page: Page): Promise<void> => {
  await page.getByLabel('Yarn', { exact: true }).selectOption({ label: 'A new yarn…' });
  await page.getByLabel('Name of the yarn').fill('Haversack oatmeal');
  await page.getByRole('button', { name: 'Add this yarn' }).click();
  await page.getByLabel('The caliper shows').fill('28,91 mm');
  await page.getByLabel('Notes').fill('third try');
  await page.getByRole('button', { name: 'Save in the notebook' }).click();
  await page.getByText('Saved in the notebook.').waitFor();
};

/** Presses Tab until the thing of that name has the keyboard. */
const tabTo = async (page: Page, name: RegExp): Promise<void> => {
  for (let presses = 0; presses < 80; presses += 1) {
    await page.keyboard.press('Tab');
    const here = await page.evaluate(() => {
      const element = document.activeElement;
      const label =
        element instanceof HTMLInputElement ||
        element instanceof HTMLSelectElement ||
        element instanceof HTMLTextAreaElement
          ? element.labels?.[0]?.textContent
          : null;
      return (element?.getAttribute('aria-label') ?? label ?? element?.textContent ?? '').trim();
    });
    if (name.test(here)) return;
  }
  throw new Error(`Tab never reaches ${name}.`);
};

/** The same record as `fillRecord` makes, without a pointer. */
const fillRecordByKeys = async (page: Page): Promise<void> => {
  await page.getByLabel('Yarn', { exact: true }).waitFor();
  await tabTo(page, /^Yarn$/);
  await page.keyboard.press('End');
  await tabTo(page, /^Name of the yarn$/);
  await page.keyboard.type('Haversack oatmeal');
  await page.keyboard.press('Enter');
  await page.getByText('Haversack oatmeal').first().waitFor({ state: 'attached' });
  await tabTo(page, /^The caliper shows$/);
  await page.keyboard.type('28,91 mm');
  await page.keyboard.press('Enter');
  await tabTo(page, /^Notes$/);
  await page.keyboard.type('third try');
  await tabTo(page, /^Save in the notebook$/);
  await page.keyboard.press('Enter');
  await page.getByText('Saved in the notebook.').waitFor();
};

interface Row {
  readonly state: string;
  readonly notes: string;
  readonly edits: { kind: string }[];
  readonly gauge: { walesPerMm: { value: number }; coursesPerMm: { value: number } } | null;
  readonly reading: { unit: string; repeats: { typed: string; mm: number }[] } | null;
  readonly yarnId: string | null;
  readonly photoId: string;
}

const expectRecord = async (page: Page): Promise<void> => {
  const [row] = (await stored(page, 'swatches')) as unknown as Row[];
  expect(row?.state).toBe('saved');
  expect(row?.notes).toBe('third try');
  expect(row?.reading?.repeats).toMatchObject([{ mm: 28.91 }]);
  expectTruth([(row?.gauge?.walesPerMm.value ?? 0) * 25.4, (row?.gauge?.coursesPerMm.value ?? 0) * 25.4]);
  const yarns = await stored(page, 'yarns');
  expect(yarns).toMatchObject([{ id: row?.yarnId, name: 'Haversack oatmeal' }]);
  const photos = await stored(page, 'photos');
  expect(photos).toMatchObject([{ id: row?.photoId, fileName: `${sample}.jpg` }]);
};

/** From the first screen to the marked stitches, by whatever way `press` presses a button. */
const toStitches = async (page: Page, press: (name: RegExp) => Promise<void>): Promise<void> => {
  await press(/^Oatmeal yarn, plain/);
  await page.getByText('How far apart are the heavy lines of this mat?').waitFor();
  expect(await page.getByTestId('gauge-line').count()).toBe(0);
  await press(/^1 inch$/);
  await page.getByTestId('gauge-line').waitFor();
};

/** Marks a column twice, reloads, and taps the one too many away; `tap` is a finger or a mouse. */
const correctByTapping = async (page: Page, tap: (spot: Spot) => Promise<void>): Promise<void> => {
  const counted = await shownCount(page, 'columns');
  const before = await gaugeLine(page);
  const [from, to] = [4, 6];
  await tap(await spotBetweenColumns(page, from, to, 0.25));
  await tap(await centreOf(page, 'Add a column here'));
  expect(await shownCount(page, 'columns')).toBe(counted + 1);
  expect((await gaugeLine(page))[0]).toBeGreaterThan((before[0] ?? 0) * 1.02);
  await page.getByText('Kept', { exact: true }).waitFor();

  await page.reload();
  await page.getByTestId('gauge-line').waitFor();
  expect(await shownCount(page, 'columns')).toBe(counted + 1);
  // With one column too many, numbers 4, 5 and 6 now stand where 4, the double and 5 are.
  await tap(await spotBetweenColumns(page, from, to, 0.5));
  await page.getByText('Column 5', { exact: true }).first().waitFor();
  await tap(await centreOf(page, 'Remove'));
  expect(await shownCount(page, 'columns')).toBe(counted);
  expect((await gaugeLine(page))[0]).toBeCloseTo(before[0] ?? 0, 2);
};

const centreOf = async (page: Page, button: string): Promise<Spot> => {
  const target = page.getByRole('button', { name: button, exact: true });
  await target.scrollIntoViewIfNeeded();
  const box = await target.boundingBox();
  if (!box) throw new Error(`The button "${button}" is not on screen.`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
};

describe('from a photo of a swatch on a cutting mat to a saved record', () => {
  it('works with the mouse on a desk', async () => {
    const { page, faults } = await openPage(app, { viewport: { width: 1440, height: 900 } });
    await toStitches(page, (name) => page.getByRole('button', { name }).first().click());
    expectTruth(await gaugeLine(page));
    await correctByTapping(page, ({ x, y }) => page.mouse.click(x, y));

    await page.getByRole('button', { name: 'The lines are right' }).click();
    await page.getByText('stitches per inch', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Write it down' }).click();
    await fillRecord(page);
    await page.reload();
    await expectRecord(page);
    await page.getByRole('link', { name: 'Notebook' }).click();
    await page.getByRole('link', { name: /Haversack oatmeal/ }).waitFor();
    expect(faults).toEqual([]);
    await page.context().close();
  });

  it('works with a finger on a phone', async () => {
    const { page, faults } = await openPage(app, {
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
      deviceScaleFactor: 2,
    });
    await toStitches(page, (name) => page.getByRole('button', { name }).first().tap());
    expectTruth(await gaugeLine(page));
    await correctByTapping(page, ({ x, y }) => page.touchscreen.tap(x, y));

    await page.getByRole('button', { name: 'The lines are right' }).tap();
    await page.getByRole('button', { name: 'Write it down' }).tap();
    await fillRecord(page);
    await page.reload();
    await expectRecord(page);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  it('works with the keyboard alone', async () => {
    const { page, faults } = await openPage(app, { viewport: { width: 1440, height: 900 } });
    const goTo = (name: RegExp): Promise<void> => tabTo(page, name);
    await page.getByText('Or try one of these').waitFor();
    await toStitches(page, async (name) => {
      await goTo(name);
      await page.keyboard.press('Enter');
    });
    expectTruth(await gaugeLine(page));
    const counted = await shownCount(page, 'columns');
    const before = await gaugeLine(page);

    await goTo(/^Photo with columns and rows/);
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('s');
    expect(await shownCount(page, 'columns')).toBe(counted + 1);
    await page.keyboard.press('Delete');
    expect(await shownCount(page, 'columns')).toBe(counted);
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    expect(await gaugeLine(page)).toEqual(before);
    await page.keyboard.press('Control+Shift+z');
    await page.keyboard.press('+');
    await page.keyboard.press('Control+z');
    expect(await gaugeLine(page)).toEqual(before);
    await page.keyboard.press('w');
    for (let i = 0; i < 6; i += 1) await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Escape');
    expect(await gaugeLine(page)).toEqual(before);

    await goTo(/^The lines are right$/);
    await page.keyboard.press('Enter');
    await goTo(/^Write it down$/);
    await page.keyboard.press('Enter');
    await fillRecordByKeys(page);
    await page.reload();
    await expectRecord(page);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});
