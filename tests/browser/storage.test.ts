import { Dexie } from 'dexie';
import { afterEach, describe, expect, it } from 'vitest';
import { cdp } from 'vitest/browser';
import type { Photo, Swatch } from '../../src/domain/records';
import { blankSwatch, blankYarn } from '../../src/storage/blank';
import { type SwatchCard, toCard } from '../../src/storage/cards';
import { newId } from '../../src/storage/ids';
import type { KeyValueStore } from '../../src/storage/journal';
import type { StorageNotice } from '../../src/storage/notices';
import { createStorage, type Storage } from '../../src/storage/repository';
import { schemaVersion } from '../../src/storage/schema';
import { keptBothSentence } from '../../src/storage/swatches';
import { schema1Rows, schema1Stores } from './storageSchema1';
import { schema2Rows, schema2Stores } from './storageSchema2';
import { schema3Rows, schema3Stores } from './storageSchema3';
import { schema4Rows, schema4Stores } from './storageSchema4';
import { schema5Rows, schema5Stores } from './storageSchema5';

const open: Storage[] = [];
const notebook = (name: string, store?: KeyValueStore): Storage => {
  const storage = createStorage(name, store);
  open.push(storage);
  return storage;
};
const freshName = (): string => `test-${newId()}`;

afterEach(async () => {
  const done = open.splice(0);
  for (const storage of done) storage.close();
  for (const storage of done) await Dexie.delete(storage.database.name);
  localStorage.clear();
});

const photoOf = (length: number): Photo => ({
  id: newId(),
  fileName: 'swatch.jpg',
  mime: 'image/jpeg',
  bytes: Uint8Array.from({ length }, (_, i) => i % 251).buffer,
  thumbnail: { mime: 'image/webp', bytes: Uint8Array.of(1, 2, 3).buffer },
  createdAt: '2026-03-01T10:00:00.000Z',
});

const measurement = {
  photo: { widthPx: 10, heightPx: 10, mime: 'image/png', takenAt: null, focalLength35Mm: null, remarks: [] },
  references: [],
  chosenReference: null,
  stitches: {
    grid: null,
    window: null,
    pitchPx: null,
    face: 'unknown',
    region: [],
    scatter: null,
    disagreements: [],
    confidence: { status: 'unreadable', chance: 0, reasons: ['Too small.'] },
  },
  timingsMs: {},
} as const satisfies Swatch['measurement'];

const nextNotice = (storage: Storage): Promise<StorageNotice> =>
  new Promise((resolve) => {
    const end = storage.onNotice((notice) => {
      end();
      resolve(notice);
    });
  });

/** Opens a database the bare way, as an older or newer version of the app would. */
const openBare = (name: string, version: number): Promise<IDBDatabase> =>
  new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

const withoutMoment = (swatch: Swatch | null): object => ({ ...swatch, updatedAt: '' });

describe('the notebook in a real browser', () => {
  it('gives back a draft, its photo and its yarn after the page is gone', async () => {
    const name = freshName();
    const first = notebook(name);
    const photo = photoOf(100_000);
    const yarn = await first.yarns.save({ ...blankYarn('Harbour sock'), tex: 110 });
    await first.savePhoto(photo);
    const draft = { ...blankSwatch(), photoId: photo.id, yarnId: yarn.id, measurement, notes: 'äöü <b>"' };
    await first.saveDraft(draft);
    first.close();

    const second = notebook(name);
    expect(withoutMoment(await second.openDraft())).toEqual(withoutMoment(draft));
    expect(await second.getPhoto(photo.id)).toEqual(photo);
    expect(await second.getThumbnail(photo.id)).toEqual(photo.thumbnail);
    expect(await second.yarns.get(yarn.id)).toEqual(yarn);
  });

  it('stores the newest of many edits made while one is being written', async () => {
    const storage = notebook(freshName());
    const draft = blankSwatch();
    await Promise.all(
      Array.from({ length: 50 }, (_, i) => storage.saveDraft({ ...draft, notes: `edit ${i}` })),
    );
    expect((await storage.openDraft())?.notes).toBe('edit 49');
    expect((await storage.database.swatches.get(draft.id))?.revision).toBeLessThan(4);
  });

  it('follows a measurement that is replaced and then put back', async () => {
    const storage = notebook(freshName());
    const draft: Swatch = { ...blankSwatch(), measurement };
    await storage.saveDraft(draft);
    await storage.saveDraft({ ...draft, measurement: null });
    expect((await storage.openSwatch(draft.id))?.measurement).toBeNull();
    await storage.saveDraft(draft);
    await storage.saveDraft({ ...draft, notes: 'an edit' });
    expect((await storage.openSwatch(draft.id))?.measurement).toEqual(measurement);
  });

  it('keeps a saved swatch out of the drafts and in the list', async () => {
    const storage = notebook(freshName());
    const draft = blankSwatch();
    await storage.saveDraft(draft);
    await storage.saveSwatch({ ...draft, cylinderNeedles: 72 });
    expect(await storage.openDraft()).toBeNull();
    expect(await storage.listSwatches()).toMatchObject([
      { id: draft.id, state: 'saved', cylinderNeedles: 72 },
    ]);
  });

  it('brings a deleted swatch back, and lets it go with its photo after thirty days', async () => {
    const name = freshName();
    const storage = notebook(name);
    const photo = photoOf(10);
    const swatch = { ...blankSwatch(), photoId: photo.id };
    await storage.savePhoto(photo);
    await storage.saveSwatch(swatch);
    await storage.deleteSwatch(swatch.id);
    expect((await storage.listSwatches())[0]?.deletedAt).not.toBeNull();
    await storage.undoDelete(swatch.id);
    expect(await storage.listSwatches()).toMatchObject([{ id: swatch.id, deletedAt: null }]);

    await storage.saveSwatch({ ...swatch, deletedAt: '2020-01-01T00:00:00.000Z' });
    const later = notebook(name);
    await later.openDraft();
    expect(await later.listSwatches()).toEqual([]);
    expect(await later.getPhoto(photo.id)).toBeNull();
  });

  it('refuses to delete a yarn that a swatch uses, and deletes it otherwise', async () => {
    const storage = notebook(freshName());
    const yarn = await storage.yarns.save(blankYarn('Pebble'));
    const swatch = { ...blankSwatch(), yarnId: yarn.id };
    await storage.saveSwatch(swatch);
    expect(await storage.yarns.remove(yarn.id)).toMatchObject({ kind: 'inUse', swatches: 1 });
    expect(await storage.yarns.get(yarn.id)).toEqual(yarn);
    await storage.saveSwatch({ ...swatch, yarnId: null });
    expect(await storage.yarns.remove(yarn.id)).toEqual({ kind: 'deleted', was: yarn });
  });
});

describe('two windows on one notebook', () => {
  it('see what the other one stores', async () => {
    const name = freshName();
    const [here, there] = [notebook(name), notebook(name)];
    const swatch = blankSwatch();
    const seen = new Promise<SwatchCard[]>((resolve) => {
      const end = here.watch(here.listSwatches, (cards) => {
        if (cards.length > 0) resolve(cards);
      });
      open.push({ ...here, close: end });
    });
    await there.saveSwatch(swatch);
    expect((await seen).map((card) => card.id)).toEqual([swatch.id]);
  });

  it('never overwrite each other: both versions are kept and the second is told', async () => {
    const name = freshName();
    const [here, there] = [notebook(name), notebook(name)];
    const draft: Swatch = { ...blankSwatch(), measurement };
    await here.saveDraft(draft);
    const opened = await there.openDraft();
    await here.saveDraft({ ...draft, notes: 'from here' });
    const told = nextNotice(there);
    const outcome = await there.saveDraft({ ...opened!, notes: 'from there' });

    expect(outcome).toMatchObject({ kind: 'copied', sentence: keptBothSentence });
    expect(await told).toEqual({ kind: 'keptBoth', sentence: keptBothSentence });
    expect((await here.openSwatch(draft.id))?.notes).toBe('from here');
    const copy = await here.openSwatch(outcome.swatch.id);
    expect(copy).toMatchObject({ notes: 'from there', copiedFrom: draft.id, measurement });
  });

  it('go on with the one copy, even when the page still names the old one', async () => {
    const name = freshName();
    const [here, there] = [notebook(name), notebook(name)];
    const draft = blankSwatch();
    await here.saveDraft(draft);
    const opened = await there.openDraft();
    await here.saveDraft({ ...draft, notes: 'from here' });
    await there.saveDraft({ ...opened!, notes: 'one' });
    await there.saveDraft({ ...opened!, notes: 'two' });
    const notes = (await here.listSwatches()).map((card) => card.notes);
    expect(notes.sort()).toEqual(['from here', 'two']);
  });

  it('may take turns without making copies', async () => {
    const name = freshName();
    const [here, there] = [notebook(name), notebook(name)];
    const draft = blankSwatch();
    await here.saveDraft(draft);
    const second = await there.openSwatch(draft.id);
    await there.saveDraft({ ...second!, notes: 'second' });
    const third = await here.openSwatch(draft.id);
    expect(await here.saveDraft({ ...third!, notes: 'third' })).toMatchObject({ kind: 'stored' });
    expect(await there.listSwatches()).toHaveLength(1);
  });
});

describe('a page that is closed in the middle of an edit', () => {
  it('finds the edit again that was still on its way', async () => {
    const name = freshName();
    const first = notebook(name);
    const draft: Swatch = { ...blankSwatch(), measurement };
    await first.saveDraft(draft);
    const late = first.saveDraft({ ...draft, notes: 'the last tap' });
    first.leaveBehind();
    first.close();
    await late.catch(() => undefined);

    const second = notebook(name);
    expect(await second.openDraft()).toMatchObject({ notes: 'the last tap', measurement });
    expect(await second.listSwatches()).toHaveLength(1);
    expect(localStorage.length).toBe(0);
  });

  it('keeps the edit even when the measurement has no room in the journal', async () => {
    const name = freshName();
    const entries = new Map<string, string>();
    const smallStore: KeyValueStore = {
      get length() {
        return entries.size;
      },
      key: (i) => [...entries.keys()][i] ?? null,
      getItem: (key) => entries.get(key) ?? null,
      setItem: (key, value) => {
        if (value.length > 1_000) throw new DOMException('full', 'QuotaExceededError');
        entries.set(key, value);
      },
      removeItem: (key) => void entries.delete(key),
    };
    const first = notebook(name, smallStore);
    const large = {
      ...measurement,
      timingsMs: Object.fromEntries(Array.from({ length: 200 }, (_, i) => [`stage ${i}`, i])),
    };
    const draft: Swatch = { ...blankSwatch(), measurement: large };
    await first.saveDraft(draft);
    const late = first.saveDraft({ ...draft, notes: 'the last tap' });
    first.leaveBehind();
    first.close();
    await late.catch(() => undefined);

    const second = notebook(name, smallStore);
    expect(await second.openDraft()).toMatchObject({ notes: 'the last tap', measurement: large });
  });

  it('leaves alone what another window stored since, and keeps both', async () => {
    const name = freshName();
    const [first, other] = [notebook(name), notebook(name)];
    const draft = blankSwatch();
    await first.saveDraft(draft);
    const opened = await other.openSwatch(draft.id);
    const late = first.saveDraft({ ...draft, notes: 'left behind' });
    first.leaveBehind();
    first.close();
    await late.catch(() => undefined);
    await other.saveDraft({ ...opened!, notes: 'stored by the other' });

    const third = notebook(name);
    await third.openDraft();
    const notes = (await third.listSwatches()).map((card) => card.notes);
    expect(notes.sort()).toEqual(['left behind', 'stored by the other']);
  });

  it('is not disturbed by rubbish in the journal', async () => {
    const name = freshName();
    localStorage.setItem(`${name}.unsaved.x.y`, '{"swatch":');
    const storage = notebook(name);
    expect(await storage.openDraft()).toBeNull();
  });
});

describe('the newest swatches', () => {
  it.each([1, 2, 5, 6, 60])(
    'are the %i begun last, newest first, also where moments are the same',
    async (count) => {
      const storage = notebook(freshName());
      const days = ['03', '01', '05', '05', '02', '04'];
      for (const [i, day] of days.entries()) {
        await storage.saveSwatch({
          ...blankSwatch(),
          id: `s${i}`,
          createdAt: `2026-01-${day}T00:00:00.000Z`,
        });
      }
      const newest = (await storage.listNewestSwatches(count)).map((card) => card.createdAt.slice(8, 10));
      expect(newest).toEqual([...days].sort().reverse().slice(0, count));
    },
  );
});

/** A stored copy of every schema before the present one. */
const earlierSchemas = [
  [1, schema1Stores, schema1Rows],
  [2, schema2Stores, schema2Rows],
  [3, schema3Stores, schema3Rows],
  [4, schema4Stores, schema4Rows],
  [5, schema5Stores, schema5Rows],
] as const;

describe('what changes are told', () => {
  it('names what changed, in this window and in another one, once it is stored', async () => {
    const name = freshName();
    const [here, there] = [notebook(name), notebook(name)];
    // A notebook that has only just been made counts as changed altogether.
    await here.database.open();
    const told: [string, string[]][] = [];
    const end = here.onChange(['cards', 'yarns'], (changes) => {
      for (const [table, ids] of changes) told.push([table, ids === 'any' ? ['any'] : [...ids].sort()]);
    });
    await here.saveSwatch({ ...blankSwatch(), id: 'mine' });
    expect(told).toEqual([['cards', ['mine']]]);
    await there.saveSwatch({ ...blankSwatch(), id: 'yours' });
    await there.yarns.save({ ...blankYarn('Pebble'), id: 'pebble' });
    await there.savePhoto(photoOf(3));
    expect(told.slice(1)).toEqual([
      ['cards', ['yours']],
      ['yarns', ['pebble']],
    ]);
    await here.database.cards.bulkDelete(['mine', 'yours']);
    expect(told.at(-1)).toEqual(['cards', ['mine', 'yours']]);
    const many = Array.from({ length: 60 }, (_, i) => ({ ...blankYarn(`yarn ${i}`), id: `y${i}` }));
    await here.database.yarns.bulkPut(many);
    expect(told.at(-1)).toEqual(['yarns', ['any']]);
    end();
    const before = told.length;
    await here.saveSwatch(blankSwatch());
    expect(told).toHaveLength(before);
  });
});

describe('thousands of cards', () => {
  it('come in parts that hold each of them once', async () => {
    const storage = notebook(freshName());
    const blank = toCard(blankSwatch());
    const cards = Array.from({ length: 2_345 }, (_, i) => ({
      ...blank,
      id: `card-${i}`,
      pieceId: `card-${i}`,
    }));
    await storage.database.cards.bulkAdd(cards);
    const parts: (readonly SwatchCard[])[] = [];
    await storage.readSwatchesInParts((part) => parts.push(part));
    expect(parts.every((part) => part.length <= 1_000)).toBe(true);
    const ids = parts.flat().map(({ id }) => id);
    expect(ids).toHaveLength(cards.length);
    expect(new Set(ids)).toEqual(new Set(cards.map(({ id }) => id)));
    expect(await storage.getCards(['card-7', 'none'])).toEqual([cards[7], undefined]);
  });
});

describe('schema versions', () => {
  it('have a stored copy of each but the present one here', () => {
    expect(earlierSchemas.map(([version]) => version)).toEqual(
      Array.from({ length: schemaVersion - 1 }, (_, i) => i + 1),
    );
  });

  it.each(earlierSchemas)(
    'a notebook of version %i opens with everything in it',
    async (version, stores, rows) => {
      const name = freshName();
      const old = new Dexie(name);
      old.version(version).stores(stores);
      for (const [table, records] of Object.entries(rows)) await old.table(table).bulkAdd(records);
      old.close();

      const storage = notebook(name);
      for (const stored of schema1Rows.swatches!) {
        const {
          revision: _revision,
          writer: _writer,
          ...swatch
        } = stored as Swatch & Record<string, unknown>;
        expect(await storage.openSwatch(swatch.id)).toEqual(swatch);
      }
      expect((await storage.openDraft())?.id).toBe('swatch-2');
      expect(await storage.listSwatches()).toMatchObject([
        { id: 'swatch-1', pieceId: 'swatch-1', readingsMm: [25.0698], readingUnit: 'in', yarnId: 'yarn-1' },
        { id: 'swatch-2', pieceId: 'swatch-2', readingsMm: [] },
      ]);
      expect(await storage.yarns.list()).toEqual(schema1Rows.yarns);
      expect(await storage.machines.list()).toMatchObject(schema1Rows.machines!);
      expect(await storage.getPhoto('photo-1')).toMatchObject(schema1Rows.photos![0]!);
      expect(await storage.getMeta('lastArchive')).toBe('2026-01-12T20:00:00.000Z');
      expect((await storage.listNewestSwatches(1)).length).toBe(1);
      expect(await storage.database.turns.toArray()).toEqual(rows.turns ?? []);
      await storage.deleteSwatch('swatch-1');
      expect(await storage.database.cards.where('deletedAt').above('').primaryKeys()).toEqual(['swatch-1']);
    },
  );

  it('a window makes way for a newer app: it stores what is pending, closes and says so', async () => {
    const name = freshName();
    const storage = notebook(name);
    const draft = blankSwatch();
    await storage.saveDraft(draft);
    const told = nextNotice(storage);
    const pending = storage.saveDraft({ ...draft, notes: 'just typed' });
    const newer = await openBare(name, (schemaVersion + 1) * 10);
    expect(await told).toMatchObject({ kind: 'reloadNeeded' });
    expect((await pending).swatch.notes).toBe('just typed');
    const stored = await new Promise((resolve) => {
      const request = newer.transaction('swatches').objectStore('swatches').get(draft.id);
      request.onsuccess = () => resolve(request.result);
    });
    newer.close();
    expect(stored).toMatchObject({ notes: 'just typed' });
    await expect(storage.saveDraft({ ...draft, notes: 'too late' })).rejects.toMatchObject({
      code: 'closed',
    });
  });

  it('an older app says so when it meets a notebook of a newer one', async () => {
    const name = freshName();
    (await openBare(name, (schemaVersion + 5) * 10)).close();
    await expect(notebook(name).openDraft()).rejects.toMatchObject({ code: 'closed' });
  });

  it('a newer app says that an older window is in the way, and goes on once that is closed', async () => {
    const name = freshName();
    const older = await openBare(name, 10);
    const storage = notebook(name);
    const told = nextNotice(storage);
    const opening = storage.openDraft();
    expect(await told).toMatchObject({ kind: 'otherWindowInTheWay' });
    older.close();
    expect(await opening).toBeNull();
  });
});

/** Says how much the browser may store for this page from now on, or lets it decide again. */
const allow = async (quotaSize?: number): Promise<void> => {
  const session = cdp() as unknown as { send: (method: string, params: object) => Promise<unknown> };
  const { origin } = location;
  // The browser remembers for half a minute how much room there was; clearing the origin makes it look again.
  await session.send('Storage.clearDataForOrigin', { origin, storageTypes: 'indexeddb' });
  await session.send('Storage.overrideQuotaForOrigin', quotaSize ? { origin, quotaSize } : { origin });
};

describe('a device without room', () => {
  it('refuses a photo with one sentence and keeps what was there', async () => {
    await allow(3_000_000);
    try {
      const storage = notebook(freshName());
      const draft = { ...blankSwatch(), notes: 'before' };
      await storage.saveDraft(draft);
      const photo = photoOf(8_000_000);
      await expect(storage.savePhoto(photo)).rejects.toMatchObject({ code: 'full' });
      expect(await storage.getPhoto(photo.id)).toBeNull();
      expect(await storage.getThumbnail(photo.id)).toBeNull();
      expect((await storage.openDraft())?.notes).toBe('before');
    } finally {
      await allow();
    }
  });

  it('keeps an edit that found no room, says so, and stores it as soon as there is some', async () => {
    await allow(3_000_000);
    try {
      const storage = notebook(freshName());
      const draft = blankSwatch();
      await storage.saveDraft(draft);
      const told = nextNotice(storage);
      const long = { ...draft, notes: 'n'.repeat(8_000_000) };
      await expect(storage.saveDraft(long)).rejects.toMatchObject({ code: 'full' });
      expect(await told).toMatchObject({ kind: 'full' });
      expect((await storage.openSwatch(draft.id))?.notes).toBe('');

      await storage.saveDraft({ ...draft, notes: 'shorter' });
      expect((await storage.openSwatch(draft.id))?.notes).toBe('shorter');
    } finally {
      await allow();
    }
  });
});
