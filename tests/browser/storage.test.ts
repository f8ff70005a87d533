import { afterEach, describe, expect, it } from 'vitest';
import type { Photo } from '../../src/domain/records';
import { blankSwatch, blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';

const open: Storage[] = [];
const notebook = (name: string): Storage => {
  const storage = createStorage(name);
  open.push(storage);
  return storage;
};
const freshName = (): string => `test-${newId()}`;

afterEach(async () => {
  const done = open.splice(0);
  for (const storage of done) storage.close();
  for (const storage of done) await storage.database.delete();
});

const photoOf = (length: number): Photo => ({
  id: newId(),
  fileName: 'swatch.jpg',
  mime: 'image/jpeg',
  bytes: Uint8Array.from({ length }, (_, i) => i % 251).buffer,
  thumbnail: { mime: 'image/webp', bytes: Uint8Array.of(1, 2, 3).buffer },
  createdAt: '2026-03-01T10:00:00.000Z',
});

describe('the notebook in a real browser', () => {
  it('gives back a draft, its photo and its yarn after the page is gone', async () => {
    const name = freshName();
    const first = notebook(name);
    const photo = photoOf(100_000);
    const yarn = await first.yarns.save({ ...blankYarn('Harbour sock'), tex: 110 });
    await first.savePhoto(photo);
    const draft = { ...blankSwatch(), photoId: photo.id, yarnId: yarn.id, notes: 'äöü <b>"' };
    await first.saveDraft(draft);
    first.close();

    const second = notebook(name);
    const again = await second.openDraft();
    expect({ ...again, updatedAt: '' }).toEqual({ ...draft, updatedAt: '' });
    expect(await second.getPhoto(photo.id)).toEqual(photo);
    expect(await second.yarns.get(yarn.id)).toEqual(yarn);
  });

  it('stores the newest of many edits made while one is being written', async () => {
    const storage = notebook(freshName());
    const draft = blankSwatch();
    await Promise.all(
      Array.from({ length: 50 }, (_, i) => storage.saveDraft({ ...draft, notes: `edit ${i}` })),
    );
    expect((await storage.openDraft())?.notes).toBe('edit 49');
    const row = await storage.database.swatches.get(draft.id);
    expect(row?.revision).toBeLessThan(4);
  });
});
