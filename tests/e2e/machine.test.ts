import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CamLog, LandmarkRecord, MachineRecord } from '../../src/domain/machineRecords';
import type { Photo } from '../../src/domain/records';
import { createNut, type Nut } from '../builders/nut';
import { type App, inPage, startApp, stored } from './app';
import { finger, type Hands, keyboard, mouse, tabOnTo } from './hands';
import {
  addLandmarks,
  addMachine,
  calibrate,
  mmOfReading,
  onPhoto,
  openSection,
  type PutDots,
  photoWidthPx,
  pitchAt,
  read,
  readingFor,
  recordSwatches,
  storedAs,
} from './machineStory';

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

/** A number in the first words that the element shows. */
const numberIn = async (locator: Locator): Promise<number> =>
  Number.parseFloat((await locator.textContent()) ?? '');

/** Does what the advice says, as she would, and measures again, until it says that she is there. */
const followAdvice = async (page: Page, hands: Hands, nut: Nut): Promise<number> => {
  for (let rounds = 1; rounds <= 6; rounds += 1) {
    const advice = page.getByTestId('advice');
    await advice.waitFor();
    if (await advice.getByText('You are there.').isVisible()) return rounds;
    const steps = (await storedAs<CamLog>(page, 'camLogs'))[0]?.steps ?? [];
    const last = steps.at(-1);
    if (!last?.direction) throw new Error('The log does not hold what is advised.');
    expect(await advice.textContent()).toContain(last.direction);
    nut.turn(last.direction, last.turns + last.pastTurns);
    if (last.pastTurns > 0) {
      nut.turn(last.direction === 'clockwise' ? 'anticlockwise' : 'clockwise', last.pastTurns);
    }
    await read(page, hands, 'The caliper shows now', nut);
    await hands.press(page.getByRole('button', { name: 'Where am I now?' }));
    await page.getByRole('list', { name: 'Steps so far' }).getByRole('listitem').nth(steps.length).waitFor();
  }
  throw new Error('The guide leads nowhere.');
};

/** Where the two points of the landmark's photo are put, as shares of it. */
const wantedDots = [
  { x: 0.25, y: 0.4 },
  { x: 0.7, y: 0.75 },
] as const;

/** Photos of machine and landmark are kept, with the points where they were put. */
const expectPhotos = async (page: Page): Promise<void> => {
  const [machine] = await storedAs<MachineRecord>(page, 'machines');
  const [landmark] = await storedAs<LandmarkRecord>(page, 'landmarks').then((all) =>
    all.filter(({ photoId }) => photoId !== null),
  );
  const photos = await storedAs<Photo>(page, 'photos');
  expect(photos.find(({ id }) => id === machine?.photoId)?.fileName).toBe('loft machine.jpg');
  expect(photos.find(({ id }) => id === landmark?.photoId)?.fileName).toBe('cam top.jpg');
  expect(landmark?.dots).toHaveLength(2);
  for (const [index, { x, y }] of wantedDots.entries()) {
    expect(Math.abs((landmark?.dots[index]?.x ?? 0) - x)).toBeLessThan(0.02);
    expect(Math.abs((landmark?.dots[index]?.y ?? 0) - y)).toBeLessThan(0.02);
  }
};

const tellStory = async (page: Page, hands: Hands, putDots: PutDots): Promise<void> => {
  const { press, type } = hands;
  const nut = createNut({ startMm: 27.6, travelMm: 0.8, playTurns: 0.12, seed: 7 });
  await addMachine(page, hands);
  await addLandmarks(page, hands, putDots);
  await expectPhotos(page);
  await calibrate(page, hands, nut);
  const travel = page.getByTestId('travel');
  expect(Math.abs((await numberIn(travel)) - 0.8)).toBeLessThan(0.03);
  expect(await travel.textContent()).toContain('clockwise makes the reading larger');
  expect(await travel.textContent()).toMatch(/0\.1\d? ± [\d.]+ turn/);

  await recordSwatches(page, hands);
  await press(page.getByRole('link', { name: 'Machine', exact: true }));
  await press(page.getByRole('link', { name: /Loft machine/ }));
  await openSection(page, hands, 'Gauge');
  expect(await page.getByRole('link', { name: /^Swatch at/ }).count()).toBe(3);

  const wantedPerInch = 7.8;
  const wantedMm = 25.4 / wantedPerInch;
  // A photo is good to 1 % of the stitches, and so is the line through three of them, at the least.
  const onePerCent = mmOfReading(0.01 * wantedMm);
  await type(page.getByLabel('Wanted stitches'), String(wantedPerInch));
  const advised = await numberIn(page.getByTestId('wish-reading'));
  expect(Math.abs(advised - readingFor(wantedMm))).toBeLessThan(onePerCent);
  await page.getByTestId('chart-wish').waitFor();

  await press(page.getByRole('button', { name: 'Set the cam to it' }));
  await press(page.getByRole('button', { name: /^Anticlockwise/ }));
  const shown = page.getByRole('img', { name: 'Where to measure: cam top to bed plate' });
  await shown.waitFor();
  expect(await shown.evaluate((image) => (image as HTMLImageElement).naturalWidth)).toBe(photoWidthPx);
  expect(await page.locator('.photo-dots--shown .photo-dot').count()).toBe(2);
  await read(page, hands, 'The caliper shows', nut);
  await press(page.getByRole('button', { name: 'Show the way' }));
  expect(await followAdvice(page, hands, nut)).toBeLessThanOrEqual(3);

  // Where the nut really stands now gives the wanted stitches, within what a photo and the tolerance leave open, 1 % each.
  expect(Math.abs(25.4 / pitchAt(nut.trueMm()) / wantedPerInch - 1)).toBeLessThan(0.02);
  await page.reload();
  await page.getByText('You are there.').waitFor();
  expect(await stored(page, 'camLogs')).toMatchObject([
    { wantedNeedles: 72, finishedAt: expect.any(String) },
  ]);
};

/** Drags each point from where it stands to where it belongs. */
const dragDots: PutDots = async (page) => {
  for (const [index, dot] of wantedDots.entries()) {
    const box = await page.getByRole('button', { name: new RegExp(`^Point ${index + 1}`) }).boundingBox();
    if (!box) throw new Error('The point is not on screen.');
    const to = await onPhoto(page, dot);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 4 });
    await page.mouse.up();
  }
};

/** Taps where each point belongs: the nearer one goes there. */
const tapDots: PutDots = async (page) => {
  for (const dot of wantedDots) {
    const { x, y } = await onPhoto(page, dot);
    await page.touchscreen.tap(x, y);
  }
};

/** Moves each point with the arrow keys from where it is put first: 0.35 and 0.65 across, half way down. */
const keyDots: PutDots = async (page) => {
  const moves = [
    ['ArrowLeft', 10, 'ArrowUp', 10],
    ['ArrowRight', 5, 'ArrowDown', 25],
  ] as const;
  for (const [index, [sideways, across, upright, along]] of moves.entries()) {
    await tabOnTo(page, page.getByRole('button', { name: new RegExp(`^Point ${index + 1}`) }));
    for (let i = 0; i < across; i += 1) await page.keyboard.press(sideways);
    for (let i = 0; i < along; i += 1) await page.keyboard.press(upright);
  }
};

const desk = { viewport: { width: 1440, height: 900 } };
const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };

describe('the machine', () => {
  it('leads from an empty notebook to a setting, on a desk', () =>
    inPage(app, desk, (page) => tellStory(page, mouse(page), dragDots)));

  it('does the same by finger on a phone, and nothing is wider than the screen', () =>
    inPage(app, phone, async (page) => {
      await tellStory(page, finger(page), tapDots);
      const width = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(width).toBeLessThanOrEqual(390);
    }));

  it('does the same with the keyboard alone', () =>
    inPage(app, desk, (page) => tellStory(page, keyboard(page), keyDots)));
});
