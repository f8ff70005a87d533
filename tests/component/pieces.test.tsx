import 'fake-indexeddb/auto';
import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it } from 'vitest';
import { Router } from 'wouter';
import { memoryLocation } from 'wouter/memory-location';
import type { GaugeSummary, RestState, Swatch } from '../../src/domain/records';
import { NotebookPages } from '../../src/features/notebook/NotebookScreen';
import { blankSwatch, blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { createNotebook } from '../../src/store/notebook';
import { flatMeasurement } from '../builders/flatMeasurement';
import { answeringVision, sessionOn } from '../builders/flatSession';

const open: Storage[] = [];
const freshStorage = (): Storage => {
  const storage = createStorage(`pieces-${newId()}`);
  open.push(storage);
  return storage;
};
afterEach(async () => {
  cleanup();
  for (const storage of open.splice(0)) await storage.database.delete();
});

const gaugeOf = (stitches: number, rows: number): GaugeSummary => ({
  walesPerMm: { value: stitches / 25.4, plusMinus95: 0.04 / 25.4 },
  coursesPerMm: { value: rows / 25.4, plusMinus95: 0.05 / 25.4 },
  walesInWindow: 24,
  coursesInWindow: 30,
  status: 'measured',
});

const reading = { landmarkId: null, unit: 'mm', repeats: [{ typed: '28.91', mm: 28.91 }] } as const;

const first = (): Swatch => ({
  ...blankSwatch(),
  id: 'first',
  state: 'saved',
  yarnId: 'harbour',
  cylinderNeedles: 72,
  layers: 2,
  reading,
  restState: 'offMachine',
  gauge: gaugeOf(8, 11),
  notes: 'a bit loose',
});

describe('measuring a piece of fabric again', () => {
  it('carries over what resting and washing leave as it is, and takes the next photo into that draft', async () => {
    const storage = freshStorage();
    await storage.saveSwatch(first());
    const id = await createNotebook(storage).measureAgain('first', 'washedAndDried');
    const session = sessionOn(storage, answeringVision(flatMeasurement()));
    await session.start(id);
    expect(session.store.getState()).toMatchObject({ phase: 'empty', swatch: null, problem: null });
    expect(session.store.getState().awaiting).toMatchObject({ id, restState: 'washedAndDried' });

    await session.openPhoto({ name: 'again.jpg', mime: 'image/jpeg', read: async () => new ArrayBuffer(4) });
    expect(session.store.getState().awaiting).toBeNull();
    await storage.flush();
    expect(await storage.readSwatch(id!)).toMatchObject({
      state: 'draft',
      pieceId: 'first',
      yarnId: 'harbour',
      cylinderNeedles: 72,
      layers: 2,
      reading,
      restState: 'washedAndDried',
      notes: '',
      edits: [],
    });
    expect((await storage.readSwatch('first'))?.notes).toBe('a bit loose');
    expect((await storage.listSwatches()).map((card) => card.pieceId)).toEqual(['first', 'first']);
  });

  it('finds the waiting draft again after the page was loaded anew', async () => {
    const storage = freshStorage();
    await storage.saveSwatch(first());
    const id = await createNotebook(storage).measureAgain('first', 'rested');
    const session = sessionOn(storage, answeringVision(flatMeasurement()));
    await session.start(null);
    expect(session.store.getState()).toMatchObject({ phase: 'empty', awaiting: { id } });
  });

  it('lets go of the waiting draft for something else, which then is a piece of its own', async () => {
    const storage = freshStorage();
    await storage.saveSwatch(first());
    const id = await createNotebook(storage).measureAgain('first', 'rested');
    const session = sessionOn(storage, answeringVision(flatMeasurement()));
    await session.start(id);
    session.close();
    await session.openPhoto({ name: 'other.jpg', mime: 'image/jpeg', read: async () => new ArrayBuffer(4) });
    const { swatch } = session.store.getState();
    expect(swatch?.id).not.toBe(id);
    expect(swatch?.pieceId).toBeUndefined();
  });

  it('says so when the swatch is gone, and begins nothing', async () => {
    const storage = freshStorage();
    const notebook = createNotebook(storage);
    expect(await notebook.measureAgain('nowhere', 'worn')).toBeNull();
    expect(notebook.store.getState().problem).toMatch(/not in the notebook any more/);
    expect(await storage.listSwatches()).toEqual([]);
  });
});

const show = (storage: Storage, path: string) => {
  const location = memoryLocation({ path, record: true });
  render(
    <Router hook={location.hook}>
      <NotebookPages notebook={createNotebook(storage)} />
    </Router>,
  );
  return userEvent.setup({ delay: null });
};

describe('the page of a yarn', { timeout: 20_000 }, () => {
  const later = (id: string, restState: RestState, gauge: GaugeSummary): Swatch => ({
    ...first(),
    id,
    pieceId: 'first',
    restState,
    gauge,
    createdAt: '2099-01-01T00:00:00.000Z',
  });

  it('shows shrinkage with its ±, and what it makes of a gauge off the machine', async () => {
    const storage = freshStorage();
    await storage.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
    await storage.saveSwatch(first());
    await storage.saveSwatch(later('washed', 'washedAndDried', gaugeOf(8.4, 12)));
    // A second version of the same measurement is no further evidence.
    await storage.saveSwatch({ ...later('copy', 'worn', gaugeOf(9, 13)), copiedFrom: 'washed' });
    show(storage, '/notebook/yarns/harbour');
    const section = await screen.findByRole('region', { name: 'How its fabric changes' });
    await waitFor(() => expect(within(section).getAllByRole('listitem')).toHaveLength(1));
    // 8 / 8.4 − 1 = −4.76 %; ± by √(0.5² + 0.476²) % × 0.952 = 0.66 %. 11 / 12 − 1 = −8.3 %.
    expect(section.textContent).toContain('Off the machine → washed and dried');
    expect(section.textContent).toContain('4.8 % ± 0.7 % narrower');
    expect(section.textContent).toContain('8.3 % ± 0.6 % shorter');
    expect(section.textContent).toMatch(/8\.00 ± 0\.04 × 11\.00 ± 0\.05 .* before come to 8\.40 ± /);
  });

  it('tells what another piece will come to, until that is measured', async () => {
    const storage = freshStorage();
    await storage.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
    await storage.saveSwatch(first());
    await storage.saveSwatch(later('washed', 'washedAndDried', gaugeOf(8.4, 12)));
    const second = { ...first(), id: 'second', gauge: gaugeOf(8.2, 11.2) };
    await storage.saveSwatch(second);
    show(storage, '/notebook/card/second');
    const expected = await screen.findByRole('list', { name: 'What to expect' });
    // 8.2 · 8.4 / 8 = 8.61 and 11.2 · 12 / 11 = 12.22.
    expect(expected.textContent).toMatch(
      /Once washed and dried: about 8\.61 ± 0\.0\d stitches × 12\.22 ± 0\.\d+ rows .* another piece of this yarn/,
    );
    await storage.saveSwatch({
      ...later('second washed', 'washedAndDried', gaugeOf(8.6, 12.2)),
      pieceId: 'second',
    });
    await waitFor(() => expect(screen.queryByRole('list', { name: 'What to expect' })).toBeNull());
  });

  it('does not call a change smaller than its ± one', async () => {
    const storage = freshStorage();
    await storage.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
    await storage.saveSwatch(first());
    await storage.saveSwatch(later('rested', 'rested', gaugeOf(8.02, 10)));
    show(storage, '/notebook/yarns/harbour');
    const section = await screen.findByRole('region', { name: 'How its fabric changes' });
    await waitFor(() => expect(section.textContent).toContain('as wide within 0.7 %'));
    expect(section.textContent).toMatch(/10\.0 % ± 0\.7 % longer/);
  });

  it('takes Nm and Ne for the weight, and turns wraps into a hint only', async () => {
    const storage = freshStorage();
    const user = show(storage, '/notebook/yarns/new');
    await user.type(await screen.findByLabelText('Name of the yarn'), 'Pebble');
    await user.type(screen.getByLabelText('Nm (m per g)'), '50');
    // 20 tex = 29.525 Ne = 50 Nm (GATE TF 1992).
    expect(screen.getByLabelText<HTMLInputElement>('Ne (cotton count)').value).toBe('29.5');
    expect(screen.getByLabelText<HTMLInputElement>('Tex (g per km)').value).toBe('20.0');
    await user.clear(screen.getByLabelText('Nm (m per g)'));
    await user.type(screen.getByLabelText(/Wraps per inch/), '16');
    expect(screen.getByText(/hints at 200 to 400 tex, 250 to 510 m in 100 g/)).toBeTruthy();
    await user.click(screen.getByRole('button', { name: 'Save the yarn' }));
    await screen.findByRole('heading', { name: 'Pebble' });
    expect(await storage.yarns.list()).toMatchObject([{ name: 'Pebble', tex: null, wrapsPerInch: 16 }]);
  });
});
