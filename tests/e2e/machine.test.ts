import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CamLog, LandmarkRecord, MachineRecord } from '../../src/domain/machineRecords';
import { loftSwatch, readingOf } from '../builders/machine-book';
import { createNut, type Nut } from '../builders/nut';
import { archiveOf, json } from '../unit/archiveMaking';
import { type App, openPage, startApp, stored } from './app';

let app: App;
beforeAll(async () => {
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
});

const storedAs = async <T>(page: Page, table: string): Promise<T[]> =>
  (await stored(page, table)) as unknown as T[];

type Press = (target: Locator) => Promise<void>;

/** The landmarks, and how the reading at each follows from the height that the nut sets. */
const landmarks = [
  { name: 'cam top to bed plate', jaw: 'Depth rod', growth: 'Grows' },
  { name: 'nut to bracket', jaw: 'Outside jaws', growth: 'Shrinks' },
  { name: 'bracket slot', jaw: 'Inside jaws', growth: 'Not sure' },
] as const;

/** True relation of the yarn: stitches of 3.10 mm at 28 mm, 0.45 mm wider a millimetre further. */
const pitchAt = (readingMm: number): number => 3.1 + 0.45 * (readingMm - 28);

const addMachine = async (page: Page, press: Press): Promise<void> => {
  await press(page.getByRole('link', { name: 'Machine', exact: true }));
  await press(page.getByRole('link', { name: 'Add your machine' }));
  await page.getByLabel('Name of the machine').fill('Loft machine');
  await page.getByLabel('Needles').fill('72');
  await page.getByLabel('Diameter').fill('4 1/2 in');
  await press(page.getByRole('button', { name: 'Add this machine' }));
  await page.getByRole('heading', { name: 'Loft machine' }).waitFor();
};

const addLandmarks = async (page: Page, press: Press): Promise<void> => {
  const section = page.getByRole('navigation', { name: 'This machine' });
  for (const { name, jaw, growth } of landmarks) {
    await press(section.getByRole('link', { name: 'Landmarks' }));
    await press(page.getByRole('link', { name: 'Add a landmark' }));
    await page.getByLabel('From where to where').fill(name);
    await press(page.getByRole('button', { name: jaw }));
    await press(page.getByRole('button', { name: growth, exact: true }));
    await press(page.getByRole('button', { name: 'Add this landmark' }));
    await page.getByRole('link', { name: new RegExp(name) }).waitFor();
  }
};

/** Types three repeats of what the caliper shows at the nut's present height. */
const read = async (page: Page, label: string, nut: Nut): Promise<void> => {
  await page.getByLabel(label, { exact: true }).fill(nut.reading().toFixed(2));
  await page.keyboard.press('Enter');
  for (const number of [2, 3]) {
    await page.getByLabel(`Measured again, number ${number}`).fill(nut.reading().toFixed(2));
    await page.keyboard.press('Enter');
  }
};

const calibrate = async (page: Page, press: Press, nut: Nut): Promise<void> => {
  const section = page.getByRole('navigation', { name: 'This machine' });
  await press(section.getByRole('link', { name: 'Turns' }));
  nut.turn('clockwise', 0.5);
  await press(page.getByRole('button', { name: /^Clockwise/ }));
  await read(page, 'The caliper shows', nut);
  await press(page.getByRole('button', { name: 'Now count turns' }));
  const moves = [
    ['clockwise', '1'],
    ['clockwise', '1 1/4'],
    ['anticlockwise', '1'],
    ['anticlockwise', '1'],
  ] as const;
  for (const [direction, turns] of moves) {
    await page.getByLabel('The caliper shows now', { exact: true }).waitFor();
    await press(page.getByRole('button', { name: new RegExp(`^${direction}`, 'i') }));
    await page.getByLabel('How many turns').fill(turns);
    nut.turn(direction, turns === '1' ? 1 : 1.25);
    await read(page, 'The caliper shows now', nut);
    await press(page.getByRole('button', { name: 'Keep this move' }));
  }
  await press(page.getByRole('button', { name: 'That is all' }));
};

/** Three swatches of one yarn at the first landmark, brought in the way a user would: in an archive. */
const takeInSwatches = async (page: Page, press: Press): Promise<void> => {
  const [machine] = await storedAs<MachineRecord>(page, 'machines');
  const at = (await storedAs<LandmarkRecord>(page, 'landmarks')).find(
    ({ name }) => name === landmarks[0].name,
  );
  const machineId = String(machine?.id);
  const landmarkId = String(at?.id);
  const swatches = [27.2, 28.1, 29.1].map((mm, i) =>
    loftSwatch(`swatch-${i}`, mm, 25.4 / (pitchAt(mm) * (1 + [0.0008, -0.001, 0.0004][i]!)), {
      machineId,
      reading: readingOf(landmarkId, mm - 0.02, mm, mm + 0.02),
    }),
  );
  const moment = '2026-01-02T08:00:00.000Z';
  const yarn = {
    id: 'harbour',
    name: 'Harbour sock',
    maker: '',
    fibre: 'wool',
    colour: 'slate',
    lot: '',
    tex: 238,
    notes: '',
    createdAt: moment,
    updatedAt: moment,
  };
  const archive = archiveOf({
    'README.txt': new TextEncoder().encode('Swatches of the loft machine.'),
    'yarns.json': json([yarn]),
    'machines.json': json([]),
    'landmarks.json': json([]),
    'references.json': json([]),
    'photos.json': json([]),
    ...Object.fromEntries(swatches.map((swatch) => [`swatches/${swatch.id}.json`, json(swatch)])),
  });
  await press(page.getByRole('link', { name: 'Notebook', exact: true }));
  await press(page.getByRole('link', { name: 'Archive' }));
  await page
    .getByLabel('Archive to take in')
    .setInputFiles({ name: 'swatches.zip', mimeType: 'application/zip', buffer: Buffer.from(archive) });
  await press(page.getByRole('button', { name: 'Take it in' }));
  await page.getByText(/^Taken in: 4 new/).waitFor();
};

/** A number in the first words that the element shows. */
const numberIn = async (locator: Locator): Promise<number> =>
  Number.parseFloat((await locator.textContent()) ?? '');

/** Does what the advice says, as she would, and measures again, until it says that she is there. */
const followAdvice = async (page: Page, press: Press, nut: Nut): Promise<number> => {
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
    await read(page, 'The caliper shows now', nut);
    await press(page.getByRole('button', { name: 'Where am I now?' }));
    await page.getByRole('list', { name: 'Steps so far' }).getByRole('listitem').nth(steps.length).waitFor();
  }
  throw new Error('The guide leads nowhere.');
};

const tellStory = async (page: Page, press: Press): Promise<void> => {
  const nut = createNut({ startMm: 27.6, travelMm: 0.8, playTurns: 0.12, seed: 7 });
  await addMachine(page, press);
  await addLandmarks(page, press);
  await calibrate(page, press, nut);
  const travel = page.getByTestId('travel');
  expect(Math.abs((await numberIn(travel)) - 0.8)).toBeLessThan(0.03);
  expect(await travel.textContent()).toContain('clockwise makes the reading larger');
  expect(await travel.textContent()).toMatch(/0\.1\d? ± [\d.]+ turn/);

  await takeInSwatches(page, press);
  await press(page.getByRole('link', { name: 'Machine', exact: true }));
  await press(page.getByRole('link', { name: /Loft machine/ }));
  await press(page.getByRole('navigation', { name: 'This machine' }).getByRole('link', { name: 'Gauge' }));
  expect(await page.getByRole('link', { name: /^Swatch at/ }).count()).toBe(3);

  const wantedPerInch = 8.1;
  const trueReading = 28 + (25.4 / wantedPerInch - 3.1) / 0.45;
  await page.getByLabel('Wanted stitches').fill(String(wantedPerInch));
  const advised = await numberIn(page.getByTestId('wish-reading'));
  expect(Math.abs(advised - trueReading)).toBeLessThan(0.05);
  await page.getByTestId('chart-wish').waitFor();

  await press(page.getByRole('button', { name: 'Set the cam to it' }));
  await press(page.getByRole('button', { name: /^Anticlockwise/ }));
  await read(page, 'The caliper shows', nut);
  await press(page.getByRole('button', { name: 'Show the way' }));
  expect(await followAdvice(page, press, nut)).toBeLessThanOrEqual(3);

  // Where the nut really stands now gives the wanted stitches to within 1 %, and the reload keeps all of it.
  expect(Math.abs(25.4 / pitchAt(nut.trueMm()) / wantedPerInch - 1)).toBeLessThan(0.01);
  await page.reload();
  await page.getByText('You are there.').waitFor();
  expect(await stored(page, 'camLogs')).toMatchObject([
    { wantedNeedles: 72, finishedAt: expect.any(String) },
  ]);
};

describe('the machine', () => {
  it('leads from an empty notebook to a setting, on a desk', async () => {
    const { page, faults } = await openPage(app, { viewport: { width: 1440, height: 900 } });
    await tellStory(page, (target) => target.click());
    expect(faults).toEqual([]);
    await page.context().close();
  });

  it('does the same by finger on a phone, and nothing is wider than the screen', async () => {
    const { page, faults } = await openPage(app, {
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    await tellStory(page, (target) => target.tap());
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(width).toBeLessThanOrEqual(390);
    expect(faults).toEqual([]);
    await page.context().close();
  });
});
