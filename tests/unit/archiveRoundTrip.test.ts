import 'fake-indexeddb/auto';
import * as fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { withProfile } from '../../src/domain/machineRecords';
import type { Photo, Swatch } from '../../src/domain/records';
import { makeArchive, openArchive, takeIn } from '../../src/storage/archive/archive';
import type { ImportItem } from '../../src/storage/archive/plan';
import { blankLandmark, blankMachine, blankSwatch, blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { writePhoto } from '../../src/storage/photos';
import { createStorage, type Storage } from '../../src/storage/repository';
import { putSwatch } from '../../src/storage/swatches';
import { type Notebook, notebooks } from './archiveNotebooks';

const open: Storage[] = [];
const emptyNotebook = (): Storage => {
  const storage = createStorage(`archive-${newId()}`);
  open.push(storage);
  return storage;
};
afterEach(async () => {
  for (const storage of open.splice(0)) await storage.database.delete();
});

const fill = async (storage: Storage, book: Notebook): Promise<void> => {
  const { database } = storage;
  await database.yarns.bulkAdd([...book.yarns]);
  await database.machines.bulkAdd([...book.machines]);
  await database.landmarks.bulkAdd([...book.landmarks]);
  await database.namedReferences.bulkAdd([...book.references]);
  await database.turns.bulkAdd([...book.turns]);
  await database.sameSettings.bulkAdd([...book.sameSettings]);
  await database.camLogs.bulkAdd([...book.camLogs]);
  for (const photo of book.photos) await writePhoto(database, photo);
  for (const swatch of book.swatches) await putSwatch(database, swatch, 1, 'test');
};

/** All that is in a notebook, in an order that does not depend on how it got there. */
const contentsOf = async (storage: Storage): Promise<object> => {
  const { database } = storage;
  const rows = await database.swatches.toArray();
  return {
    yarns: await database.yarns.toArray(),
    machines: await database.machines.toArray(),
    landmarks: await database.landmarks.toArray(),
    namedReferences: await database.namedReferences.toArray(),
    turns: await database.turns.toArray(),
    sameSettings: await database.sameSettings.toArray(),
    camLogs: await database.camLogs.toArray(),
    photos: (await database.photos.toArray()).map((row) => ({
      ...row,
      bytes: [...new Uint8Array(row.bytes)],
    })),
    thumbnails: (await database.thumbnails.toArray()).map((row) => ({
      ...row,
      bytes: [...new Uint8Array(row.bytes)],
    })),
    swatches: rows.map(({ revision: _r, writer: _w, ...rest }) => rest),
    measurements: await database.measurements.toArray(),
    cards: await database.cards.toArray(),
  };
};

const picture: Photo = {
  id: 'picture',
  fileName: 'a.jpg',
  mime: 'image/jpeg',
  bytes: Uint8Array.of(1, 2, 3).buffer,
  thumbnail: null,
  createdAt: '2026-01-01T00:00:00.000Z',
};

const never = (item: ImportItem): never => {
  throw new Error(`Nobody should be asked about ${item.label}.`);
};

// The random notebooks need more than the usual five seconds on a slow machine.
describe('an archive', { timeout: 120_000 }, () => {
  it('brings a whole notebook back exactly as it was', async () => {
    await fc.assert(
      fc.asyncProperty(notebooks, async (book) => {
        const [from, to] = [emptyNotebook(), emptyNotebook()];
        await fill(from, book);
        const { file } = await makeArchive(from);
        const plan = await openArchive(to, file);
        await takeIn(to, plan, { decide: never });
        expect(await contentsOf(to)).toEqual(await contentsOf(from));
      }),
      { numRuns: 30 },
    );
  });

  it('changes nothing when it is taken in a second time', async () => {
    await fc.assert(
      fc.asyncProperty(notebooks, async (book) => {
        const storage = emptyNotebook();
        await fill(storage, book);
        const before = await contentsOf(storage);
        const { file } = await makeArchive(storage);
        const plan = await openArchive(storage, file);
        expect(plan.items.filter((item) => item.state !== 'same')).toEqual([]);
        await takeIn(storage, plan, { decide: never });
        expect(await contentsOf(storage)).toEqual(before);
      }),
      { numRuns: 15 },
    );
  });

  it('of a selection holds the chosen swatches and what belongs to them, and nothing else', async () => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    const mine = await from.yarns.save(blankYarn('Harbour sock'));
    await from.yarns.save(blankYarn('Pebble'));
    const chosen = { ...blankSwatch(), yarnId: mine.id };
    await from.saveSwatch(chosen);
    await from.saveSwatch(blankSwatch());
    const { file, swatches } = await makeArchive(from, { swatchIds: [chosen.id] });
    expect(swatches).toBe(1);
    await takeIn(to, await openArchive(to, file), { decide: never });
    expect((await to.yarns.list()).map((yarn) => yarn.name)).toEqual(['Harbour sock']);
    expect((await to.listSwatches()).map((card) => card.id)).toEqual([chosen.id]);
  });

  it('of a selection holds all that is known of the machines concerned, and nothing of the others', async () => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    const reading = { landmarkId: 'nut', unit: 'mm', repeats: [{ typed: '28.91', mm: 28.91 }] } as const;
    for (const machine of ['loft', 'barn']) {
      await from.savePhoto({ ...picture, id: `of-${machine}` });
      const record = { ...withProfile(blankMachine(machine)), id: machine, photoId: `of-${machine}` };
      await from.machines.save(record);
      for (const pair of ['nut', 'plate'])
        await from.landmarks.save({ ...blankLandmark(machine, pair), id: `${machine}-${pair}` });
      const own = { machineId: machine, createdAt: '2026-01-01T00:00:00.000Z', deletedAt: null };
      await from.saveTurns({
        ...own,
        id: `turns-${machine}`,
        landmarkId: `${machine}-nut`,
        start: reading,
        lastMoveBefore: null,
        moves: [{ direction: 'clockwise', turns: 1, after: reading }],
      });
      await from.saveSameSetting({ ...own, id: `same-${machine}`, readings: [reading] });
      await from.saveCamLog({
        id: `log-${machine}`,
        machineId: machine,
        landmarkId: `${machine}-nut`,
        swatchId: null,
        targetMm: 28.9,
        goal: 'as before',
        toleranceMm: 0.05,
        wantedNeedles: 72,
        cautions: [],
        steps: [],
        startedAt: '2026-01-01T00:00:00.000Z',
        finishedAt: null,
      });
    }
    // The machine is known by the pair of points that was read, though the swatch does not name it.
    const chosen = { ...blankSwatch(), reading: { ...reading, landmarkId: 'loft-nut' } };
    await from.saveSwatch(chosen);
    const { file } = await makeArchive(from, { swatchIds: [chosen.id] });
    await takeIn(to, await openArchive(to, file), { decide: never });
    const there = await to.readMachine('loft');
    expect(there?.landmarks.map(({ id }) => id).sort()).toEqual(['loft-nut', 'loft-plate']);
    expect(there?.turns.map(({ id }) => id)).toEqual(['turns-loft']);
    expect(there?.sameSettings.map(({ id }) => id)).toEqual(['same-loft']);
    expect(there?.camLogs.map(({ id }) => id)).toEqual(['log-loft']);
    expect(await to.getPhoto('of-loft')).not.toBeNull();
    expect(await to.readMachine('barn')).toBeNull();
    expect(await to.getPhoto('of-barn')).toBeNull();
    expect(await to.database.turns.count()).toBe(1);
    expect(await to.database.landmarks.count()).toBe(2);
  });

  it('leaves a measurement out rather than becoming unreadable, and says so', async () => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    const odd = { timingsMs: { decode: Number.NaN } } as unknown as Swatch['measurement'];
    const swatch: Swatch = { ...blankSwatch(), notes: 'kept', measurement: odd };
    await from.saveSwatch(swatch);
    const { file, remarks } = await makeArchive(from);
    expect(remarks).toHaveLength(1);
    await takeIn(to, await openArchive(to, file), { decide: never });
    expect(await to.openSwatch(swatch.id)).toMatchObject({ notes: 'kept', measurement: null });
  });
});

describe('an archive that differs from the notebook', () => {
  const prepared = async () => {
    const storage = emptyNotebook();
    const swatch = blankSwatch();
    await storage.saveSwatch({ ...swatch, notes: 'then' });
    const { file } = await makeArchive(storage);
    await storage.saveSwatch({ ...swatch, notes: 'now' });
    return { storage, file };
  };
  const notesOf = async (storage: Storage): Promise<string[]> =>
    (await storage.listSwatches()).map((card) => card.notes).sort();

  it.each([
    ['keepHere', ['now']],
    ['takeArchive', ['then']],
    ['keepBoth', ['now', 'then']],
  ] as const)('is asked about, and %s is done', async (decision, expected) => {
    const { storage, file } = await prepared();
    const plan = await openArchive(storage, file);
    expect(plan.items.map((item) => item.state)).toEqual(['changed']);
    await takeIn(storage, plan, { decide: () => decision });
    expect(await notesOf(storage)).toEqual(expected);
  });

  it('does not overwrite what was changed after the question was put', async () => {
    const { storage, file } = await prepared();
    const plan = await openArchive(storage, file);
    const [item] = plan.items;
    await storage.saveSwatch({ ...(item!.here as Swatch), notes: 'just now' });
    const taking = takeIn(storage, plan, { decide: () => 'takeArchive' });
    await expect(taking).rejects.toMatchObject({ code: 'changedMeanwhile' });
    expect(await notesOf(storage)).toEqual(['just now']);
  });

  it('gives a photo a new name when the notebook has another one of that name', async () => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    const photo = {
      id: 'same-id',
      fileName: 'a.jpg',
      mime: 'image/jpeg',
      thumbnail: null,
      createdAt: '2026-01-01T00:00:00.000Z',
    };
    await from.savePhoto({ ...photo, bytes: Uint8Array.of(1).buffer });
    await to.savePhoto({ ...photo, bytes: Uint8Array.of(2).buffer });
    const swatch = { ...blankSwatch(), photoId: photo.id };
    await from.saveSwatch(swatch);
    await takeIn(to, await openArchive(to, (await makeArchive(from)).file), { decide: never });
    const { photoId } = (await to.openSwatch(swatch.id))!;
    expect(new Uint8Array((await to.getPhoto(photoId!))!.bytes)).toEqual(Uint8Array.of(1));
    expect(new Uint8Array((await to.getPhoto(photo.id))!.bytes)).toEqual(Uint8Array.of(2));
  });
});
