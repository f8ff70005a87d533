import 'fake-indexeddb/auto';
import { Dexie } from 'dexie';
import { afterEach, describe, expect, it } from 'vitest';
import { makeArchive, openArchive, takeIn } from '../../src/storage/archive/archive';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { camTop, countedTurns, freshLog, loftMachine, loftSwatch, readingOf } from '../builders/machine-book';
import { archiveOf, json, soundFiles } from './archiveMaking';

const open: Storage[] = [];
const emptyNotebook = (name = `machine-${newId()}`): Storage => {
  const storage = createStorage(name);
  open.push(storage);
  return storage;
};
afterEach(async () => {
  for (const storage of open.splice(0)) await storage.database.delete();
});

/** The stores of version 2, exactly as that version declared them. */
const schema2Stores = {
  yarns: 'id',
  machines: 'id',
  landmarks: 'id, machineId',
  swatches: 'id, state, yarnId, machineId, photoId',
  photos: 'id',
  thumbnails: 'photoId',
  namedReferences: 'id',
  meta: 'key',
  measurements: 'swatchId',
  cards: 'id',
};
const stamps = { createdAt: '2026-01-02T08:00:00.000Z', updatedAt: '2026-01-02T08:00:00.000Z' };

const sameSetting = {
  id: 'pair-1',
  machineId: 'loft',
  readings: [readingOf('camTop', 28), readingOf('nut', 12)],
  createdAt: '2026-03-01T11:00:00.000Z',
  deletedAt: null,
};
const photo = {
  id: 'photo-of-cam',
  fileName: 'cam.jpg',
  mime: 'image/jpeg',
  bytes: Uint8Array.of(255, 216, 255, 7).buffer,
  thumbnail: null,
  createdAt: '2020-01-01T00:00:00.000Z',
};

const fill = async (storage: Storage): Promise<void> => {
  await storage.savePhoto(photo);
  await storage.machines.save(loftMachine());
  await storage.landmarks.save(camTop({ photoId: photo.id, dots: [{ x: 0.2, y: 0.3 }] }));
  await storage.saveTurns(countedTurns());
  await storage.saveSameSetting(sameSetting);
  await storage.saveCamLog(freshLog());
  await storage.saveSwatch(loftSwatch('one', 28, 8));
};

describe('what a machine remembers', () => {
  it('is given back with its finished swatches, and without what belongs to another machine', async () => {
    const storage = emptyNotebook();
    await fill(storage);
    await storage.saveTurns(countedTurns({ id: 'elsewhere', machineId: 'shed' }));
    await storage.saveDraft(loftSwatch('draft', 28, 8, { state: 'draft' }));
    await storage.saveSwatch(loftSwatch('gone', 28, 8, { deletedAt: '2026-03-02T00:00:00.000Z' }));
    const found = await storage.readMachine('loft');
    expect(found?.machine).toMatchObject({ name: 'Loft machine', mountedNeedles: 72 });
    expect(found?.landmarks).toMatchObject([{ id: 'camTop', growth: 'grows' }]);
    expect(found?.turns).toEqual([countedTurns()]);
    expect(found?.sameSettings).toEqual([sameSetting]);
    expect(found?.camLogs).toEqual([freshLog()]);
    expect(found?.swatches.map(({ id }) => id)).toEqual(['one']);
    expect(await storage.readMachine('nowhere')).toBeNull();
  });

  it('can be deleted and brought back', async () => {
    const storage = emptyNotebook();
    await fill(storage);
    await storage.markTurns('turns-1', true);
    await storage.markSameSetting('pair-1', true);
    expect(await storage.readMachine('loft')).toMatchObject({ turns: [], sameSettings: [] });
    await storage.markTurns('turns-1', false);
    await storage.markSameSetting('pair-1', false);
    expect(await storage.readMachine('loft')).toMatchObject({
      turns: [countedTurns()],
      sameSettings: [sameSetting],
    });
  });
});

describe('a notebook of version 2', () => {
  it('opens with everything in it, and its machines have the usual profile', async () => {
    const name = `machine-${newId()}`;
    const old = new Dexie(name);
    old.version(2).stores(schema2Stores);
    const machine = { id: 'm', name: 'Loft machine', cylinderNeedles: [72], notes: 'stiff nut', ...stamps };
    const landmark = {
      id: 'l',
      machineId: 'm',
      name: 'nut to plate',
      jaw: 'inside',
      description: 'at the scratch',
      ...stamps,
    };
    await old.table('machines').add(machine);
    await old.table('landmarks').add(landmark);
    old.close();

    const found = await emptyNotebook(name).readMachine('m');
    expect(found?.machine).toEqual({
      ...machine,
      cylinders: [{ needles: 72, diameterMm: null }],
      mountedNeedles: 72,
      looserDirection: 'clockwise',
      stepTurns: 0.25,
      finishDirection: null,
      nominalPitchMm: null,
      photoId: null,
    });
    expect(found?.landmarks).toEqual([
      { ...landmark, growth: null, sloping: false, mark: '', photoId: null, dots: [] },
    ]);
    expect(found).toMatchObject({ turns: [], sameSettings: [], camLogs: [] });
  });
});

describe('an archive', () => {
  it('brings a machine back with its turns, pairs, journeys and photos', async () => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    await fill(from);
    const plan = await openArchive(to, (await makeArchive(from)).file);
    const { added } = await takeIn(to, plan, { decide: () => 'keepHere' });
    expect(added).toBe(6);
    expect(await to.readMachine('loft')).toEqual({
      ...(await from.readMachine('loft')),
      swatches: [expect.objectContaining({ id: 'one' })],
    });
    expect(await to.getPhoto(photo.id)).toEqual(photo);
  });

  it('gives a landmark’s photo a new name when the notebook has another one of that name', async () => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    await fill(from);
    await to.savePhoto({ ...photo, bytes: Uint8Array.of(1).buffer });
    await takeIn(to, await openArchive(to, (await makeArchive(from)).file), { decide: () => 'keepHere' });
    const photoId = (await to.readMachine('loft'))?.landmarks[0]?.photoId;
    expect(photoId).not.toBe(photo.id);
    expect((await to.getPhoto(photoId!))?.bytes).toEqual(photo.bytes);
  });

  it('of the first days, without such records, is still taken in', async () => {
    const storage = emptyNotebook();
    const plan = await openArchive(storage, new Blob([archiveOf(soundFiles())]));
    expect(plan.contents).toMatchObject({ turns: [], sameSettings: [], camLogs: [] });
  });

  it.each([
    ['turns.json', [{ ...countedTurns(), start: readingOf('camTop') }]],
    ['turns.json', [{ ...countedTurns(), start: readingOf('camTop', 4000) }]],
    ['cam-logs.json', [freshLog({ toleranceMm: 0 })]],
    ['machines.json', [loftMachine({ stepTurns: 0 })]],
  ])('with nonsense in %s is refused', async (path, records) => {
    const storage = emptyNotebook();
    const file = new Blob([archiveOf({ ...soundFiles(), [path]: json(records) })]);
    await expect(openArchive(storage, file)).rejects.toMatchObject({ code: 'damaged' });
  });
});
