import { Dexie } from 'dexie';
import { afterEach, expect, it } from 'vitest';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { camTop, loftMachine } from '../builders/machine-book';

const open: Storage[] = [];
const notebook = (name: string): Storage => {
  const storage = createStorage(name);
  open.push(storage);
  return storage;
};
afterEach(async () => {
  const done = open.splice(0);
  for (const storage of done) storage.close();
  for (const storage of done) await Dexie.delete(storage.database.name);
});

it('keeps the old photos of a machine and a landmark, and lets go of one that nothing shows', async () => {
  const name = `machine-${newId()}`;
  const storage = notebook(name);
  for (const id of ['of-machine', 'of-landmark', 'of-nothing']) {
    await storage.savePhoto({
      id,
      fileName: 'a.jpg',
      mime: 'image/jpeg',
      bytes: Uint8Array.of(1).buffer,
      thumbnail: null,
      createdAt: '2020-01-01T00:00:00.000Z',
    });
  }
  await storage.machines.save(loftMachine({ photoId: 'of-machine' }));
  await storage.landmarks.save(camTop({ photoId: 'of-landmark' }));

  const later = notebook(name);
  await later.openDraft();
  expect(await later.getPhoto('of-machine')).not.toBeNull();
  expect(await later.getPhoto('of-landmark')).not.toBeNull();
  expect(await later.getPhoto('of-nothing')).toBeNull();
});
