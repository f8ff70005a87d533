import { resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { type App, openPage, startApp } from '../e2e/app';

const sizes = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
  desk: { viewport: { width: 1440, height: 900 }, deviceScaleFactor: 1 },
} as const;

const save = async (page: Page, size: string, name: string): Promise<void> => {
  await page.waitForLoadState('networkidle');
  const path = resolve(import.meta.dirname, `${size}-${name}.jpg`);
  await page.screenshot({ path, type: 'jpeg', quality: 82 });
  console.log(path);
};

/** Takes a sample from its card to the gauge step. */
const measure = async (page: Page, card: RegExp, size: string | null): Promise<void> => {
  await page.getByRole('button', { name: card }).click();
  await page.getByText('How far apart are the heavy lines of this mat?').waitFor();
  if (size) await save(page, size, 'scale');
  await page.getByRole('button', { name: '1 inch', exact: true }).click();
  await page.getByTestId('gauge-line').waitFor();
  if (size) await save(page, size, 'stitches');
  await page.getByRole('button', { name: 'The lines are right' }).click();
  await page.getByText('stitches per inch').first().waitFor();
  if (size) await save(page, size, 'gauge');
};

const record = async (page: Page, yarn: string, reading: string, size: string | null): Promise<void> => {
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByLabel('Yarn', { exact: true }).selectOption({ label: 'A new yarn…' });
  await page.getByLabel('Name of the yarn').fill(yarn);
  await page.getByRole('button', { name: 'Add this yarn' }).click();
  await page.getByLabel('The caliper shows').fill(reading);
  await page.getByRole('button', { name: 'Save in the notebook' }).click();
  await page.getByText('Saved in the notebook.').waitFor();
  if (size) await save(page, size, 'record');
  await page.getByRole('button', { name: 'Another photo' }).click();
};

const walk = async (app: App, size: keyof typeof sizes): Promise<void> => {
  const { page } = await openPage(app, sizes[size]);
  await page.getByRole('button', { name: /^Oatmeal yarn, plain/ }).waitFor();
  await save(page, size, 'first');
  await measure(page, /^Oatmeal yarn, plain/, size);
  await record(page, 'Haversack oatmeal', '28.91 mm', size);
  await measure(page, /^The same oatmeal yarn with the cam set tighter/, null);
  await record(page, 'Haversack oatmeal, tighter', '28.40 mm', null);
  await page.getByRole('link', { name: 'Notebook' }).click();
  await page
    .getByRole('main')
    .getByText('Haversack oatmeal, tighter')
    .filter({ visible: true })
    .first()
    .waitFor();
  await save(page, size, 'notebook');
  await page.context().close();
};

/** Takes the pictures that the README shows, from the built app at both sizes. */
const app = await startApp();
try {
  for (const size of ['desk', 'phone'] as const) await walk(app, size);
} finally {
  await app.close();
}
