import { Dexie } from 'dexie';
import { afterEach, expect, it } from 'vitest';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { camTop, loftMachine, loftSwatch } from '../builders/machine-book';

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

it('counts the finished swatches of each machine, without drafts and deleted ones', async () => {
  const storage = notebook(`machine-${newId()}`);
  await storage.machines.save(loftMachine());
  await storage.machines.save(loftMachine({ id: 'shed' }));
  for (const id of ['one', 'two', 'gone']) await storage.saveSwatch(loftSwatch(id, 28, 8));
  await storage.saveSwatch(loftSwatch('elsewhere', 28, 8, { machineId: 'shed' }));
  await storage.saveDraft(loftSwatch('draft', 28, 8, { state: 'draft' }));
  await storage.deleteSwatch('gone');
  const counts = async () => Object.fromEntries(await storage.countSwatches(['loft', 'shed', 'none']));
  expect(await counts()).toEqual({ loft: 2, shed: 1, none: 0 });
  await storage.undoDelete('gone');
  expect(await counts()).toEqual({ loft: 3, shed: 1, none: 0 });
});
