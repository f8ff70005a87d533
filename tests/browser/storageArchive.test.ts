import { Dexie } from 'dexie';
import { afterEach, describe, expect, it } from 'vitest';
import { makeArchive, openArchive, takeIn } from '../../src/storage/archive/archive';
import { blankSwatch, blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';

const open: Storage[] = [];
const notebook = (name = `test-${newId()}`): Storage => {
  const storage = createStorage(name);
  open.push(storage);
  return storage;
};

afterEach(async () => {
  const done = open.splice(0);
  for (const storage of done) storage.close();
  for (const storage of done) await Dexie.delete(storage.database.name);
});

/** A notebook with three swatches, each with a photo of its own, and its archive. */
const archiveOfThree = async (): Promise<Blob> => {
  const storage = notebook();
  const yarn = await storage.yarns.save(blankYarn('Harbour sock'));
  for (const i of [1, 2, 3]) {
    const photo = {
      id: `photo-${i}`,
      fileName: `${i}.jpg`,
      mime: 'image/jpeg',
      bytes: new Uint8Array(200_000).fill(i).buffer,
      thumbnail: { mime: 'image/webp', bytes: Uint8Array.of(i).buffer },
      createdAt: '2026-01-01T00:00:00.000Z',
    };
    await storage.savePhoto(photo);
    await storage.saveSwatch({ ...blankSwatch(), photoId: photo.id, yarnId: yarn.id });
  }
  return (await makeArchive(storage)).file;
};

const counts = async ({ database }: Storage): Promise<Record<string, number>> => ({
  yarns: await database.yarns.count(),
  swatches: await database.swatches.count(),
  cards: await database.cards.count(),
  photos: await database.photos.count(),
  thumbnails: await database.thumbnails.count(),
});
const nothing = { yarns: 0, swatches: 0, cards: 0, photos: 0, thumbnails: 0 };
const everything = { yarns: 1, swatches: 3, cards: 3, photos: 3, thumbnails: 3 };

describe('taking an archive in, in a real browser', () => {
  it('brings everything, photos byte for byte', async () => {
    const file = await archiveOfThree();
    const storage = notebook();
    const result = await takeIn(storage, await openArchive(storage, file), { decide: () => 'keepHere' });
    expect(result).toEqual({ added: 4, replaced: 0, copied: 0, leftAlone: 0 });
    expect(await counts(storage)).toEqual(everything);
    const photo = await storage.getPhoto('photo-2');
    expect(new Uint8Array(photo!.bytes)).toEqual(new Uint8Array(200_000).fill(2));
  });

  it('leaves nothing behind when it is killed half way, and works when it is tried again', async () => {
    const file = await archiveOfThree();
    const name = `test-${newId()}`;
    const worker = new Worker(new URL('./storageImportWorker.ts', import.meta.url), { type: 'module' });
    const halfWay = new Promise((resolve, reject) => {
      worker.onmessage = resolve;
      worker.onerror = reject;
    });
    worker.postMessage({ name, file, stopAt: 3 });
    await halfWay;
    const other = notebook(name);
    expect(await counts(other)).toMatchObject({ swatches: 0, photos: 2 });
    worker.terminate();

    const again = notebook(name);
    // The browser lets go of the killed worker's lock in its own time; asking for it waits until then.
    await navigator.locks.request(`${name}.import`, () => undefined);
    await again.openDraft();
    expect(await counts(again)).toEqual(nothing);
    await takeIn(again, await openArchive(again, file), { decide: () => 'keepHere' });
    expect(await counts(again)).toEqual(everything);
  });

  it('leaves a running import alone when another window starts', async () => {
    const file = await archiveOfThree();
    const name = `test-${newId()}`;
    const worker = new Worker(new URL('./storageImportWorker.ts', import.meta.url), { type: 'module' });
    const halfWay = new Promise((resolve) => {
      worker.onmessage = resolve;
    });
    worker.postMessage({ name, file, stopAt: 3 });
    await halfWay;
    const other = notebook(name);
    await other.openDraft();
    expect(await counts(other)).toMatchObject({ photos: 2 });
    worker.terminate();
  });

  it('takes its photos out again when it is cancelled or fails', async () => {
    const file = await archiveOfThree();
    const storage = notebook();
    const plan = await openArchive(storage, file);
    const cancel = new AbortController();
    const cancelled = takeIn(storage, plan, {
      decide: () => 'keepHere',
      signal: cancel.signal,
      onProgress: (done) => {
        if (done === 2) cancel.abort();
      },
    });
    await expect(cancelled).rejects.toMatchObject({ code: 'cancelled' });
    expect(await counts(storage)).toEqual(nothing);

    const broken = {
      ...plan.contents,
      readPhoto: () => Promise.reject(new Error('The card was pulled out.')),
    };
    const failed = takeIn(storage, { ...plan, contents: broken }, { decide: () => 'keepHere' });
    await expect(failed).rejects.toMatchObject({ code: 'unknown' });
    expect(await counts(storage)).toEqual(nothing);
  });
});
