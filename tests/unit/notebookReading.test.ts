import 'fake-indexeddb/auto';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Swatch } from '../../src/domain/records';
import { blankSwatch, blankYarn } from '../../src/storage/blank';
import { toCard } from '../../src/storage/cards';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { createNotebook, type Notebook } from '../../src/store/notebook';

const open: Storage[] = [];
afterEach(async () => {
  for (const storage of open.splice(0)) await storage.database.delete();
});

const swatch = (id: string, change: Partial<Swatch> = {}): Swatch => ({
  ...blankSwatch(),
  id,
  state: 'saved',
  ...change,
});

const earlier = '2026-01-01T00:00:00.000Z';

/** A notebook of two yarns with one swatch each, whose readings are counted. */
const countedNotebook = async () => {
  const storage = createStorage(`reading-${newId()}`);
  open.push(storage);
  for (const name of ['harbour', 'pebble']) {
    await storage.yarns.save({ ...blankYarn(name), id: name });
    await storage.saveSwatch(swatch(`of ${name}`, { yarnId: name }));
  }
  // More than a first screen, so that the rest is read after it.
  const cards = Array.from({ length: 60 }, (_, i) => toCard(swatch(`older ${i}`, { createdAt: earlier })));
  await storage.database.cards.bulkAdd(cards);
  const whole = vi.fn(storage.readSwatchesInParts);
  const some = vi.fn(storage.getCards);
  const notebook = createNotebook({ ...storage, readSwatchesInParts: whole, getCards: some });
  return { storage, notebook, whole, some };
};

const rowOf = (notebook: Notebook, id: string) =>
  notebook.store.getState().rows.find(({ card }) => card.id === id);

const isComplete = (notebook: Notebook) =>
  vi.waitFor(() => expect(notebook.store.getState().complete).toBe(true));

describe('following the notebook', () => {
  it('reads all of it once, and then only what changed', async () => {
    const { storage, notebook, whole, some } = await countedNotebook();
    const end = notebook.follow();
    await isComplete(notebook);
    await vi.waitFor(() => expect(whole).toHaveBeenCalledTimes(1));
    const untouched = rowOf(notebook, 'of harbour');

    await storage.saveSwatch(swatch('new', { notes: 'just now' }));
    await vi.waitFor(() => expect(rowOf(notebook, 'new')?.card.notes).toBe('just now'));
    await storage.deleteSwatch('of pebble');
    await vi.waitFor(() => expect(notebook.store.getState().deletedCount).toBe(1));
    await storage.database.cards.delete('of pebble');
    await vi.waitFor(() => expect(rowOf(notebook, 'of pebble')).toBeUndefined());

    expect(whole).toHaveBeenCalledTimes(1);
    expect(some.mock.calls).toEqual([[['new']], [['of pebble']], [['of pebble']]]);
    expect(rowOf(notebook, 'of harbour')).toBe(untouched);
    end();
  });

  it('reads a small notebook in one go', async () => {
    const storage = createStorage(`reading-${newId()}`);
    open.push(storage);
    await storage.saveSwatch(swatch('only'));
    const whole = vi.fn(storage.readSwatchesInParts);
    const notebook = createNotebook({ ...storage, readSwatchesInParts: whole });
    const end = notebook.follow();
    await isComplete(notebook);
    await storage.saveSwatch(swatch('second'));
    await vi.waitFor(() => expect(rowOf(notebook, 'second')).toBeDefined());
    expect(notebook.store.getState().rows).toHaveLength(2);
    expect(whole).not.toHaveBeenCalled();
    end();
  });

  it('joins only the swatches of a yarn that was renamed anew', async () => {
    const { storage, notebook, some } = await countedNotebook();
    const end = notebook.follow();
    await isComplete(notebook);
    const untouched = rowOf(notebook, 'of pebble');
    await storage.yarns.save({ ...blankYarn('Harbour, second lot'), id: 'harbour' });
    await vi.waitFor(() => expect(rowOf(notebook, 'of harbour')?.yarn?.name).toBe('Harbour, second lot'));
    expect(rowOf(notebook, 'of pebble')).toBe(untouched);
    expect(some).not.toHaveBeenCalled();
    notebook.narrow({ words: 'second lot' });
    expect(notebook.store.getState().shown.map(({ card }) => card.id)).toEqual(['of harbour']);
    end();
  });

  it('reads nothing while nobody looks, and what was missed when somebody does', async () => {
    const { storage, notebook, whole, some } = await countedNotebook();
    const end = notebook.follow();
    await isComplete(notebook);
    await vi.waitFor(() => expect(whole).toHaveBeenCalledTimes(1));
    end();
    await storage.saveSwatch(swatch('missed'));
    await storage.saveSwatch(swatch('missed', { notes: 'twice' }));
    expect(some).not.toHaveBeenCalled();
    expect(rowOf(notebook, 'missed')).toBeUndefined();
    const endAgain = notebook.follow();
    await vi.waitFor(() => expect(rowOf(notebook, 'missed')?.card.notes).toBe('twice'));
    expect(some.mock.calls).toEqual([[['missed']]]);
    expect(whole).toHaveBeenCalledTimes(1);
    endAgain();
  });

  it('says when it cannot be read, and reads it when it can be again', async () => {
    const { notebook, whole } = await countedNotebook();
    whole.mockRejectedValueOnce(new DOMException('The disk is gone.', 'UnknownError'));
    const end = notebook.follow();
    await vi.waitFor(() => expect(notebook.store.getState().problem).toMatch(/\.$/));
    expect(notebook.store.getState().complete).toBe(false);
    end();
    const endAgain = notebook.follow();
    await isComplete(notebook);
    await vi.waitFor(() => expect(notebook.store.getState().rows).toHaveLength(62));
    endAgain();
  });
});
