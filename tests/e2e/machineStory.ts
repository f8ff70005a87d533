import type { Locator, Page } from 'playwright-core';
import sharp from 'sharp';
import type { PhotoDot } from '../../src/domain/machineRecords';
import type { Nut } from '../builders/nut';
import { stored, truthOf } from './app';
import type { Hands, PickedFile } from './hands';
import type { Spot } from './stage';

/** What the browser has stored in a table, as what it is. */
export const storedAs = async <T>(page: Page, table: string): Promise<T[]> =>
  (await stored(page, table)) as unknown as T[];

/** The landmarks, and how the reading at each follows from the height that the nut sets. */
export const landmarks = [
  { name: 'cam top to bed plate', jaw: 'Depth rod', growth: 'Grows' },
  { name: 'nut to bracket', jaw: 'Outside jaws', growth: 'Shrinks' },
  { name: 'bracket slot', jaw: 'Inside jaws', growth: 'Not sure' },
] as const;

/** How much wider a stitch gets a millimetre further along the first landmark, mm. */
const SLOPE = 0.45;

/** True relation of the yarn at the first landmark: stitches of 3.10 mm at 28 mm. */
export const pitchAt = (readingMm: number): number => 3.1 + SLOPE * (readingMm - 28);
export const readingFor = (pitchMm: number): number => 28 + (pitchMm - 3.1) / SLOPE;
export const mmOfReading = (mmOfPitch: number): number => mmOfPitch / SLOPE;

export const photoWidthPx = 640;

/** A photo as a phone would bring it, here of nothing but a colour. */
export const plainPhoto = async (name: string): Promise<PickedFile> => ({
  name,
  mimeType: 'image/jpeg',
  buffer: await sharp({ create: { width: photoWidthPx, height: 480, channels: 3, background: '#8a8f94' } })
    .jpeg()
    .toBuffer(),
});

const section = (page: Page): Locator => page.getByRole('navigation', { name: 'This machine' });

/** Opens one of the machine's pages. */
export const openSection = (page: Page, { press }: Hands, name: string): Promise<void> =>
  press(section(page).getByRole('link', { name, exact: true }));

/** The field that opens a photo picker. */
const pickerOf = (page: Page): Locator => page.locator('main input[type=file]');

export const addMachine = async (page: Page, hands: Hands): Promise<void> => {
  const { press, type } = hands;
  await press(page.getByRole('link', { name: 'Machine', exact: true }));
  await press(page.getByRole('link', { name: 'Add your machine' }));
  await type(page.getByLabel('Name of the machine'), 'Loft machine');
  await type(page.getByLabel('Needles'), '72');
  await type(page.getByLabel('Diameter'), '4 1/2 in');
  await hands.bring(pickerOf(page), await plainPhoto('loft machine.jpg'));
  await page.getByRole('button', { name: 'Without a photo' }).waitFor();
  await press(page.getByRole('button', { name: 'Add this machine' }));
  await page.getByRole('heading', { name: 'Loft machine' }).waitFor();
  await page.getByRole('img', { name: 'Loft machine' }).waitFor();
};

/** Puts the two points of a landmark on its photo, in whatever way the hands have. */
export type PutDots = (page: Page) => Promise<void>;

/** Where a share of the landmark's photo lies on the page. */
export const onPhoto = async (page: Page, { x, y }: PhotoDot): Promise<Spot> => {
  const photo = page.getByRole('img', { name: 'The landmark' });
  await photo.scrollIntoViewIfNeeded();
  const box = await photo.boundingBox();
  if (!box) throw new Error('The photo of the landmark is not on screen.');
  return { x: box.x + x * box.width, y: box.y + y * box.height };
};

export const addLandmarks = async (page: Page, hands: Hands, putDots: PutDots): Promise<void> => {
  const { press, type } = hands;
  for (const [index, { name, jaw, growth }] of landmarks.entries()) {
    await openSection(page, hands, 'Landmarks');
    await press(page.getByRole('link', { name: 'Add a landmark' }));
    await type(page.getByLabel('From where to where'), name);
    await press(page.getByRole('button', { name: jaw }));
    await press(page.getByRole('button', { name: growth, exact: true }));
    if (index === 0) {
      await hands.bring(pickerOf(page), await plainPhoto('cam top.jpg'));
      await press(page.getByRole('button', { name: 'Mark the two points' }));
      await putDots(page);
    }
    await press(page.getByRole('button', { name: 'Add this landmark' }));
    await page.getByRole('link', { name: new RegExp(name) }).waitFor();
  }
};

/** Types three repeats of what the caliper shows at the nut's present height. */
export const read = async (page: Page, { type }: Hands, label: string, nut: Nut): Promise<void> => {
  for (const name of [label, 'Measured again, number 2', 'Measured again, number 3']) {
    await type(page.getByLabel(name, { exact: true }), nut.reading().toFixed(2));
    await page.keyboard.press('Enter');
  }
};

export const calibrate = async (page: Page, hands: Hands, nut: Nut): Promise<void> => {
  const { press, type } = hands;
  await openSection(page, hands, 'Turns');
  nut.turn('clockwise', 0.5);
  await press(page.getByRole('button', { name: /^Clockwise/ }));
  await read(page, hands, 'The caliper shows', nut);
  await press(page.getByRole('button', { name: 'Now count turns' }));
  const moves = [
    ['clockwise', '1', 1],
    ['clockwise', '1 1/4', 1.25],
    ['anticlockwise', '1', 1],
    ['anticlockwise', '1', 1],
  ] as const;
  for (const [direction, words, turns] of moves) {
    await page.getByLabel('The caliper shows now', { exact: true }).waitFor();
    await press(page.getByRole('button', { name: new RegExp(`^${direction}`, 'i') }));
    await type(page.getByLabel('How many turns'), words);
    nut.turn(direction, turns);
    await read(page, hands, 'The caliper shows now', nut);
    await press(page.getByRole('button', { name: 'Keep this move' }));
  }
  await press(page.getByRole('button', { name: 'That is all' }));
};

/** Three swatches of one yarn, by the samples that show them and the words on their cards. */
const samples = [
  ['oatmeal-inch-mat', /^Oatmeal yarn, plain/],
  ['oatmeal-looser-inch-mat', /oatmeal yarn.*looser/],
  ['oatmeal-tighter-inch-mat', /oatmeal yarn.*tighter/],
] as const;

const sayYarn = async (page: Page, { type, choose, press }: Hands, isNew: boolean): Promise<void> => {
  await choose(page.getByLabel('Yarn', { exact: true }), isNew ? 'A new yarn…' : 'Harbour sock');
  if (!isNew) return;
  await type(page.getByLabel('Name of the yarn'), 'Harbour sock');
  await press(page.getByRole('button', { name: 'Add this yarn' }));
  await page.getByLabel('Name of the yarn').waitFor({ state: 'detached' });
};

/**
 * Measures three swatches from their photos and writes each down with its yarn, machine and the reading at which a cam of the
 * true relation knits that fabric.
 */
export const recordSwatches = async (page: Page, hands: Hands): Promise<void> => {
  const { press, type, choose } = hands;
  await press(page.getByRole('link', { name: 'Measure', exact: true }));
  for (const [index, [sample, card]] of samples.entries()) {
    await press(page.getByRole('button', { name: card }));
    await page.getByText('How far apart are the heavy lines of this mat?').waitFor();
    await press(page.getByRole('button', { name: '1 inch', exact: true }));
    await press(page.getByRole('button', { name: 'The lines are right' }));
    await press(page.getByRole('button', { name: 'Write it down' }));
    await sayYarn(page, hands, index === 0);
    await choose(page.getByLabel('Machine', { exact: true }), 'Loft machine');
    await choose(page.getByLabel('Measured between'), `${landmarks[0].name} (depth rod)`);
    await page.getByRole('img', { name: `Where to measure: ${landmarks[0].name}` }).waitFor();
    const reading = readingFor(25.4 / truthOf(sample).stitchesPerInch);
    await type(page.getByLabel('The caliper shows', { exact: true }), `${reading.toFixed(2)} mm`);
    await page.keyboard.press('Enter');
    await press(page.getByLabel('Just off the machine'));
    await press(page.getByRole('button', { name: 'Save in the notebook' }));
    await page.getByText('Saved in the notebook.').waitFor();
    await press(page.getByRole('button', { name: 'Another photo' }));
  }
};
