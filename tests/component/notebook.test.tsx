import 'fake-indexeddb/auto';
import { act, cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it } from 'vitest';
import { Router } from 'wouter';
import { memoryLocation } from 'wouter/memory-location';
import type { Swatch } from '../../src/domain/records';
import { NotebookPages } from '../../src/features/notebook/NotebookScreen';
import { NoticesOf } from '../../src/features/notebook/StorageNotices';
import { blankMachine, blankSwatch, blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createNotices } from '../../src/storage/notices';
import { createStorage, type Storage } from '../../src/storage/repository';
import { createNotebook } from '../../src/store/notebook';

const open: Storage[] = [];
afterEach(async () => {
  cleanup();
  for (const storage of open.splice(0)) await storage.database.delete();
});

/** 8.1 stitches and 11 rows per inch. */
const gauge = {
  walesPerMm: { value: 8.1 / 25.4, plusMinus95: 0.1 / 25.4 },
  coursesPerMm: { value: 11 / 25.4, plusMinus95: 0.1 / 25.4 },
  walesInWindow: 24,
  coursesInWindow: 30,
  status: 'measured',
} as const;

const swatch = (change: Partial<Swatch>): Swatch => ({ ...blankSwatch(), state: 'saved', ...change });

const fill = async (storage: Storage): Promise<void> => {
  await storage.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour', colour: 'slate' });
  await storage.yarns.save({ ...blankYarn('<b>Pebble</b>'), id: 'pebble' });
  await storage.machines.save({ ...blankMachine('Loft machine'), id: 'loft', cylinderNeedles: [72] });
  await storage.saveSwatch(
    swatch({
      id: 'one',
      yarnId: 'harbour',
      machineId: 'loft',
      cylinderNeedles: 72,
      gauge,
      restState: 'rested',
      createdAt: '2026-03-02T12:00:00.000Z',
      reading: { landmarkId: null, unit: 'in', repeats: [{ typed: '0.987', mm: 25.0698 }] },
    }),
  );
  await storage.saveSwatch(swatch({ id: 'two', yarnId: 'pebble', createdAt: '2026-03-01T12:00:00.000Z' }));
  await storage.saveDraft({ ...blankSwatch(), id: 'three', createdAt: '2026-02-01T12:00:00.000Z' });
};

const openNotebook = async (path: string, prepare: (storage: Storage) => Promise<void> = fill) => {
  const storage = createStorage(`notebook-${newId()}`);
  open.push(storage);
  await prepare(storage);
  const location = memoryLocation({ path, record: true });
  render(
    <Router hook={location.hook}>
      <NotebookPages notebook={createNotebook(storage)} />
    </Router>,
  );
  return { storage, location, user: userEvent.setup({ delay: null }) };
};

/** Several swatches are written one after the other. */
const patient = { timeout: 10_000 };

const lines = async (): Promise<string[]> => {
  const list = await screen.findByRole('list', { name: 'Swatches' });
  return within(list)
    .getAllByRole('listitem')
    .map((item) => item.textContent ?? '');
};

describe('the list of swatches', { timeout: 20_000 }, () => {
  it('explains itself in one sentence while it is empty', async () => {
    await openNotebook('/notebook', async () => undefined);
    expect(await screen.findByText(/Nothing is kept here yet: measure a swatch/)).toBeTruthy();
    expect(screen.getByRole('link', { name: 'Measure a swatch' }).getAttribute('href')).toBe('/measure');
  });

  it('shows gauge, yarn, machine, reading, rest state and date of each, newest first', async () => {
    await openNotebook('/notebook');
    const [first, second, third] = await lines();
    expect(first).toContain('8.10 ± 0.10 × 11.00 ± 0.10');
    expect(first).toContain('Harbour sock, slate · Loft machine · 72 needles');
    expect(first).toContain('caliper 0.987 in · rested');
    expect(first).toContain('2026');
    expect(second).toContain('No gauge yet');
    expect(third).toContain('unfinished');
  });

  it('shows a name with markup as text', async () => {
    await openNotebook('/notebook');
    expect((await lines())[1]).toContain('<b>Pebble</b>');
    expect(document.querySelector('b')).toBeNull();
  });

  it('leads from each swatch back to its photo', async () => {
    const { user, location } = await openNotebook('/notebook');
    await user.click(await screen.findByRole('link', { name: /8\.10 ± 0\.10 stitches/ }));
    expect(location.history?.at(-1)).toBe('/measure/one');
  });

  it('is searched word by word, narrowed down, and shown whole again', async () => {
    const { user } = await openNotebook('/notebook');
    await lines();
    await user.type(screen.getByRole('searchbox'), 'SLATE loft');
    expect(await lines()).toHaveLength(1);
    expect(screen.getByText(/^1 of 3 swatches/)).toBeTruthy();
    await user.clear(screen.getByRole('searchbox'));
    await user.selectOptions(screen.getByLabelText('Yarn'), 'pebble');
    expect((await lines())[0]).toContain('Pebble');
    await user.click(screen.getByRole('button', { name: 'Show all again', hidden: true }));
    expect(await lines()).toHaveLength(3);
    await user.type(screen.getByLabelText('Stitches per inch, from'), '8,05');
    expect(await lines()).toHaveLength(1);
  });

  it('says what to do when nothing is found, and shows all again', async () => {
    const { user } = await openNotebook('/notebook');
    await lines();
    await user.click(screen.getByText('Narrow down and sort'));
    await user.type(screen.getByLabelText('Stitches per inch, from'), '8');
    await user.type(screen.getByRole('searchbox'), 'mohair');
    expect((await screen.findByTestId('no-hits')).textContent).toContain('No swatch has all of “mohair”');
    await user.click(screen.getByRole('button', { name: 'Show all swatches' }));
    expect(await lines()).toHaveLength(3);
    expect(screen.getByRole<HTMLInputElement>('searchbox').value).toBe('');
    expect(screen.getByLabelText<HTMLInputElement>('Stitches per inch, from').value).toBe('');
  });

  it('tells finished swatches from unfinished ones, and deletes the unfinished at once and back again', async () => {
    const { user, storage } = await openNotebook('/notebook', async (fresh) => {
      await fill(fresh);
      await fresh.saveDraft({ ...blankSwatch(), id: 'four', createdAt: '2026-02-02T12:00:00.000Z' });
    });
    expect(await lines()).toHaveLength(4);
    await user.click(screen.getByRole('button', { name: 'Finished' }));
    const finished = await lines();
    expect(finished).toHaveLength(2);
    expect(finished.join()).not.toContain('unfinished');
    await user.click(screen.getByRole('button', { name: 'Unfinished' }));
    expect(await lines()).toHaveLength(2);
    await user.click(screen.getByRole('button', { name: 'Delete these 2' }));
    await screen.findByText('2 swatches are deleted.', {}, patient);
    expect((await screen.findByTestId('no-hits')).textContent).toContain('Nothing is unfinished.');
    const inBin = async () =>
      (await storage.listSwatches()).filter(({ deletedAt }) => deletedAt !== null).map(({ id }) => id);
    expect((await inBin()).sort()).toEqual(['four', 'three']);
    await user.click(screen.getByRole('button', { name: 'Undo' }));
    await waitFor(async () => expect(await inBin()).toEqual([]), patient);
    await user.click(screen.getByRole('button', { name: 'All' }));
    await waitFor(async () => expect(await lines()).toHaveLength(4), patient);
  });

  it('gives a deleted swatch back at once or later', async () => {
    const { user, storage } = await openNotebook('/notebook');
    await lines();
    await user.click(screen.getByRole('button', { name: /Delete this swatch: 8\.10/ }));
    await waitFor(async () => expect(await lines()).toHaveLength(2));
    await user.click(await screen.findByRole('button', { name: 'Undo' }));
    await waitFor(async () => expect(await lines()).toHaveLength(3));

    await user.click(screen.getByRole('button', { name: /Delete this swatch: 8\.10/ }));
    await user.click(await screen.findByRole('button', { name: 'Close this message' }));
    await user.click(screen.getByLabelText(/Show the deleted ones/));
    await waitFor(async () => expect(await lines()).toHaveLength(1));
    await user.click(screen.getByRole('button', { name: 'Bring back' }));
    await waitFor(async () =>
      expect((await storage.listSwatches()).every((card) => card.deletedAt === null)).toBe(true),
    );
  });

  it('moves from line to line by the arrow keys, Home and End', async () => {
    const { user } = await openNotebook('/notebook');
    await lines();
    const links = within(screen.getByRole('list', { name: 'Swatches' }))
      .getAllByRole('listitem')
      .map((line) => within(line).getAllByRole('link')[0]);
    links[0]!.focus();
    await user.keyboard('{ArrowDown}');
    expect(document.activeElement).toBe(links[1]);
    await user.keyboard('{End}');
    expect(document.activeElement).toBe(links[2]);
    await user.keyboard('{Home}');
    expect(document.activeElement).toBe(links[0]);
    await user.keyboard('{ArrowUp}');
    expect(document.activeElement).toBe(links[0]);
  });

  it('says where the swatches are when every one is deleted', async () => {
    const { user } = await openNotebook('/notebook', async (storage) => {
      await storage.saveSwatch(swatch({ id: 'one', gauge }));
    });
    await lines();
    await user.click(screen.getByRole('button', { name: /Delete this swatch/ }));
    expect((await screen.findByTestId('no-hits')).textContent).toMatch(/^Every swatch is deleted\./);
    expect(screen.queryByRole('button', { name: 'Show all swatches' })).toBeNull();
  });

  it('goes from the search to the list by the arrow key, deletes by the key and keeps its place', async () => {
    const { user, storage } = await openNotebook('/notebook');
    await lines();
    await user.click(screen.getByRole('searchbox'));
    await user.keyboard('{ArrowDown}');
    const focused = () => document.activeElement?.getAttribute('href');
    expect(focused()).toBe('/measure/one');
    await user.keyboard('{Delete}');
    await waitFor(() => expect(focused()).toBe('/measure/two'));
    expect((await storage.readSwatch('one'))?.deletedAt).not.toBeNull();
    await user.click(screen.getByRole('button', { name: 'Undo' }));
    await waitFor(async () => expect(await lines()).toHaveLength(3));
  });

  it('is narrowed down to days and to a cylinder that no machine has any more', async () => {
    const { user } = await openNotebook('/notebook', async (storage) => {
      await fill(storage);
      await storage.saveSwatch(
        swatch({ id: 'old', cylinderNeedles: 60, createdAt: '2025-06-01T12:00:00.000Z' }),
      );
    });
    await lines();
    await user.click(screen.getByText('Narrow down and sort'));
    await user.type(screen.getByLabelText('Begun on or before'), '2026-02-15');
    await waitFor(async () => expect(await lines()).toHaveLength(2));
    await user.selectOptions(screen.getByLabelText('Cylinder'), '60 needles');
    await waitFor(async () => expect(await lines()).toHaveLength(1));
    await user.click(screen.getByRole('button', { name: 'Show all again' }));
    await waitFor(async () => expect(await lines()).toHaveLength(4));
  });

  it('follows what another window stores', async () => {
    const { storage } = await openNotebook('/notebook');
    await lines();
    const other = createStorage(storage.database.name);
    open.push(other);
    await other.saveSwatch(swatch({ notes: 'from elsewhere' }));
    await waitFor(async () => expect(await lines()).toHaveLength(4));
  });

  it('always says when the last archive was made', async () => {
    const { user } = await openNotebook('/notebook', async (storage) => {
      await fill(storage);
      await storage.setMeta('lastArchive', new Date(Date.now() - 3 * 86_400_000).toISOString());
    });
    expect((await screen.findByTestId('last-archive')).textContent).toBe('Last archive: 3 days ago');
    await user.click(screen.getByRole('link', { name: 'Yarns' }));
    expect(await screen.findByRole('link', { name: 'Last archive: 3 days ago' })).toBeTruthy();
  });
});

describe('the yarns', { timeout: 20_000 }, () => {
  it('are listed with their swatches, and lead to a page of their own', async () => {
    const { user } = await openNotebook('/notebook/yarns');
    const yarn = await screen.findByRole('link', { name: /Harbour sock/ });
    expect(yarn.textContent).toContain('slate · 1 swatch');
    await user.click(yarn);
    const own = await screen.findByRole('list', { name: 'Swatches of this yarn' });
    expect(within(own).getAllByRole('listitem')).toHaveLength(1);
  });

  it('are added and changed', async () => {
    const { user, storage } = await openNotebook('/notebook/yarns/new');
    await user.type(await screen.findByLabelText('Maker'), 'Tern & Tide');
    await user.click(screen.getByRole('button', { name: 'Save the yarn' }));
    expect(await screen.findByText(/A yarn needs a name/)).toBeTruthy();
    await user.type(screen.getByLabelText('Name of the yarn'), 'Dune');
    await user.click(screen.getByRole('button', { name: 'Save the yarn' }));
    await waitFor(async () =>
      expect(await storage.yarns.list()).toContainEqual(
        expect.objectContaining({ name: 'Dune', maker: 'Tern & Tide' }),
      ),
    );
    expect(await screen.findByRole('heading', { name: 'Dune' })).toBeTruthy();
    expect(screen.getByText('Saved.')).toBeTruthy();
    expect(screen.queryByText(/There is no such yarn/)).toBeNull();
    await user.type(screen.getByLabelText('Maker'), ' yarns');
    expect(screen.queryByText('Saved.')).toBeNull();
  });

  it('are not deleted while a swatch uses them, and come back when the deletion is undone', async () => {
    const { user, storage } = await openNotebook('/notebook/yarns/harbour');
    await user.click(await screen.findByRole('button', { name: 'Delete the yarn' }));
    expect(await screen.findByText(/belongs to a swatch/)).toBeTruthy();
    await storage.saveSwatch({ ...(await storage.openSwatch('one'))!, yarnId: null });
    await user.click(screen.getByRole('button', { name: 'Delete the yarn' }));
    await waitFor(async () => expect(await storage.yarns.get('harbour')).toBeUndefined());
    await user.click(await screen.findByRole('button', { name: /Undo/ }));
    await waitFor(async () => expect(await storage.yarns.get('harbour')).toMatchObject({ colour: 'slate' }));
  });
});

describe('what the storage has to say', () => {
  it('is shown on any screen until it is closed, the newest of each kind', async () => {
    const { subscribe, tell } = createNotices();
    render(<NoticesOf storage={{ onNotice: subscribe }} />);
    act(() => {
      tell({ kind: 'keptBoth', sentence: 'First.' });
      tell({ kind: 'keptBoth', sentence: 'Second.' });
      tell({ kind: 'reloadNeeded', sentence: 'Reload this page to go on.' });
    });
    expect(screen.queryByText('First.')).toBeNull();
    expect(screen.getByText('Second.')).toBeTruthy();
    expect(screen.getAllByRole('button', { name: 'Reload' })).toHaveLength(1);
    await userEvent.click(screen.getAllByRole('button', { name: 'Close' })[0]!);
    expect(screen.queryByText('Second.')).toBeNull();
    expect(screen.getByText('Reload this page to go on.')).toBeTruthy();
  });
});
