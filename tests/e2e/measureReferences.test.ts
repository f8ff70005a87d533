import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { Scene } from '../vision/scaleScenes';
import { type App, inPage, openPage, startApp, stored, valuesIn } from './app';
import {
  alone,
  onMat,
  onPaper,
  onSheet,
  stitchesPerInch,
  withCaliper,
  withCard,
  withCoin,
  withRuler,
} from './referenceScenes';
import { onStage, type Spot } from './stage';

let app: App;
/** All stories of the desk happen on one page, one photo after the other, as on a swatching day: what counts the stitches is loaded once. */
let desk: Awaited<ReturnType<typeof openPage>>;
beforeAll(async () => {
  app = await startApp();
  desk = await openPage(app, { viewport: { width: 1440, height: 900 } });
  desk.page.setDefaultTimeout(patienceMs);
});
afterAll(async () => {
  await app?.close();
});

/** Two cores that draw, decode and count at once are slow; a hang still ends. */
const patienceMs = 180_000;

/**
 * Painted flat, the fabric has no height, while its usual thickness is assumed: the nearer the camera, the more that makes, 1.5 % from 190 mm. Over it 0.4 % for the
 * scale and the stitches themselves.
 */
const flatFabric = 0.019;
/** One length says nothing of how the camera stood, and the height of the thing is assumed too. */
const oneLength = 0.025;

const jpegOf = async ({ work }: Scene): Promise<Buffer> => {
  const { widthPx: width, heightPx: height, data } = work.image;
  return sharp(Buffer.from(data.buffer), { raw: { width, height, channels: 4 } })
    .jpeg({ quality: 92 })
    .toBuffer();
};

const bring = (page: Page, buffer: Buffer): Promise<void> =>
  page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'photo.jpg', mimeType: 'image/jpeg', buffer });

/** What the page says of stitches to the inch, within so much of what was drawn. */
const expectGauge = async (page: Page, within: number): Promise<void> => {
  const line = page.getByTestId('gauge-line');
  await line.waitFor();
  const [stitches = Number.NaN] = valuesIn((await line.textContent()) ?? '');
  expect(Math.abs(stitches / stitchesPerInch - 1)).toBeLessThan(within);
};

const middleOfHandle = async (page: Page, number: number): Promise<Spot> => {
  const box = await page.locator(`[data-handle="reference-${number}"]`).boundingBox();
  if (!box) throw new Error('The handle of the reference is not on screen.');
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
};

const dragHandle = async (page: Page, number: number, to: (from: Spot) => Spot): Promise<void> => {
  const from = await middleOfHandle(page, number);
  const { x, y } = to(from);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(x, y, { steps: 4 });
  await page.mouse.up();
};

/** Puts the first handle some pixels astray and waits until it has found its place again. */
const correctByHand = async (page: Page, dx: number, dy: number): Promise<void> => {
  const before = await middleOfHandle(page, 0);
  await dragHandle(page, 0, ({ x, y }) => ({ x: x + dx, y: y + dy }));
  const away = async (): Promise<number> => {
    const now = await middleOfHandle(page, 0);
    return Math.hypot(now.x - before.x, now.y - before.y);
  };
  await expect.poll(away, { timeout: patienceMs }).toBeLessThan(0.6 * Math.hypot(dx, dy));
};

const tapOn = async (page: Page, scene: Scene, xMm: number, yMm: number, offPx = 0): Promise<void> => {
  const [x, y] = mapPoint(invertHomography(scene.photoToTable), xMm, yMm);
  const spot = await onStage(page, { x: x + offPx, y });
  await page.mouse.click(spot.x, spot.y);
};

const press = (page: Page, name: string | RegExp): Promise<void> =>
  page
    .getByRole('button', typeof name === 'string' ? { name, exact: true } : { name })
    .first()
    .click();

const typeLength = async (page: Page, label: string, text: string): Promise<void> => {
  await page.getByLabel(label, { exact: true }).fill(text);
  await press(page, 'Use this');
};

/** Puts aside the photo of the story before, brings this one, and lets nothing go wrong on the page meanwhile. */
const withPhoto = async (scene: Scene, story: (page: Page) => Promise<void>): Promise<void> => {
  const { page, faults } = desk;
  faults.length = 0;
  const another = page.getByRole('button', { name: 'Another photo' });
  if (await another.isVisible()) await another.click();
  await bring(page, await jpegOf(scene));
  await story(page);
  expect(faults).toEqual([]);
};

describe('a thing of known length is found, corrected by hand and confirmed', () => {
  it('when it is a cutting mat: asked once how far apart its heavy lines are', () =>
    withPhoto(onMat(), async (page) => {
      await page.getByText('How far apart are the heavy lines of this mat?').waitFor();
      await correctByHand(page, 5, 5);
      await press(page, '1 inch');
      await expectGauge(page, flatFabric);
    }));

  it('when it is a ruler: asked once how far apart its marks are', () =>
    withPhoto(withRuler(), async (page) => {
      await page.getByText('How far apart are the marks of this ruler?').waitFor();
      await page.getByText(/Every 16th mark is longer/).waitFor();
      // Along the ruler: it goes back to the first mark.
      await correctByHand(page, 20, 0);
      await press(page, '1/16 inch');
      await expectGauge(page, flatFabric);
    }));

  it('when it is a card: asked nothing', () =>
    withPhoto(withCard(), async (page) => {
      await page.getByRole('button', { name: 'Yes, measure by this' }).waitFor();
      await correctByHand(page, 4, 4);
      await press(page, 'Yes, measure by this');
      await expectGauge(page, flatFabric);
    }));

  it('when it is a sheet of paper: asked once for its size', () =>
    withPhoto(onPaper(), async (page) => {
      await page.getByText('Which size is this sheet of paper?').waitFor();
      await correctByHand(page, 4, 4);
      await press(page, /^A5/);
      await expectGauge(page, oneLength);
    }));

  it('when it is a coin: asked once which it is', () =>
    withPhoto(withCoin(), async (page) => {
      await page.getByText('Which coin is it?').waitFor();
      await correctByHand(page, 3, 3);
      await page.getByLabel('Country or name of the coin').fill('2 euro');
      await press(page, /^2 euro, Euro area/);
      await expectGauge(page, 0.03);
    }));
});

describe('a printed sheet', () => {
  it('is saved as a file, found in a photo, corrected by hand, and its print is asked for only once', () =>
    inPage(app, { viewport: { width: 390, height: 844 } }, async (page) => {
      page.setDefaultTimeout(patienceMs);
      await page.getByRole('link', { name: /reference sheet that you print/ }).click();
      const saving = page.waitForEvent('download');
      await page.getByRole('link', { name: 'Save the PDF' }).click();
      const file = await saving;
      expect(file.suggestedFilename()).toBe('walewright-sheet-a4.pdf');
      expect(readFileSync(await file.path(), 'latin1').slice(0, 8)).toBe('%PDF-1.7');
      await page.getByRole('link', { name: 'Go to Measure' }).click();

      const photo = await jpegOf(onSheet());
      await bring(page, photo);
      await page.getByText(/The printed sheet was found/).waitFor();
      await correctByHand(page, 2, 2);
      await page.getByLabel('Check ruler across').fill('138.6 mm');
      await page.getByLabel('Check ruler along').fill('138.6');
      await press(page, 'Use what I measured');
      await expectGauge(page, flatFabric);
      expect(await stored(page, 'namedReferences')).toMatchObject([
        { kind: 'sheet', name: 'my printed sheet', printScale: { across: expect.closeTo(0.99, 6) } },
      ]);

      await press(page, 'Another photo');
      await bring(page, photo);
      await press(page, /It is my printed sheet: 138\.6 × 138\.6 mm/);
      await page.getByTestId('gauge-line').waitFor();
    }));
});

describe('a length that is pointed out', () => {
  it('by one tap near each jaw of a caliper is found, corrected by hand and read from the caliper', () => {
    const scene = withCaliper();
    return withPhoto(scene, async (page) => {
      await press(page, 'Use an opened caliper');
      await tapOn(page, scene, -25, -60, 4);
      await tapOn(page, scene, 25, -58, 4);
      await page.getByText('What does the caliper read?').waitFor();
      // Across the jaw: it goes back to its edge, along which any place is right.
      await correctByHand(page, 5, 0);
      await typeLength(page, 'Length', '50 mm');
      await expectGauge(page, oneLength);
    });
  });

  it('between two points is corrected by hand and taken as typed', () => {
    const scene = alone();
    return withPhoto(scene, async (page) => {
      await press(page, 'Use two points of known distance');
      await tapOn(page, scene, -48, 0, 60);
      await tapOn(page, scene, 48, 0);
      await page.getByText('How far apart are the two points?').waitFor();
      const [x, y] = mapPoint(invertHomography(scene.photoToTable), -48, 0);
      const right = await onStage(page, { x, y });
      await dragHandle(page, 0, () => right);
      await typeLength(page, 'Length', '96 mm');
      await expectGauge(page, oneLength);
      await press(page, /^1?\s*Scale/);
      // Two points tell nothing of the tilt; the stitches beside them do, where they are even enough.
      await page.getByText(/Camera tilted by/).waitFor();
    });
  });
});
