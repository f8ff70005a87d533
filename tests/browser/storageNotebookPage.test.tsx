import { cleanup, screen, waitFor, within } from '@testing-library/react';
import { describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import type { Photo } from '../../src/domain/records';
import { blankSwatch, blankYarn } from '../../src/storage/blank';
import { toCard } from '../../src/storage/cards';
import { newId } from '../../src/storage/ids';
import type { Storage } from '../../src/storage/repository';
import { jpegWithPlace, secretPlace } from '../builders/gps';
import { expectFits, freshStorage, nextDownload, showNotebook } from './notebookOnScreen';

/** A picture of one colour, as the browser itself writes it. */
const pictureOf = async (colour: string, type = 'image/png'): Promise<ArrayBuffer> => {
  const canvas = new OffscreenCanvas(8, 8);
  const context = canvas.getContext('2d')!;
  context.fillStyle = colour;
  context.fillRect(0, 0, 8, 8);
  return await (await canvas.convertToBlob({ type })).arrayBuffer();
};

const saveOne = async (storage: Storage, notes: string): Promise<void> => {
  const bytes = await pictureOf('teal');
  const photo: Photo = {
    id: newId(),
    fileName: 'a.png',
    mime: 'image/png',
    bytes,
    thumbnail: { mime: 'image/png', bytes },
    createdAt: '2026-01-01T00:00:00.000Z',
  };
  await storage.savePhoto(photo);
  await storage.saveSwatch({ ...blankSwatch(), photoId: photo.id, notes });
};

describe('a notebook of ten thousand swatches', () => {
  it('draws only the lines in sight, and goes to the last one by one key', async () => {
    await page.viewport(390, 844);
    const storage = freshStorage();
    const cards = Array.from({ length: 10_000 }, (_, i) => ({
      ...toCard({ ...blankSwatch(), state: 'saved', notes: `number ${i}` }),
      createdAt: new Date(1_700_000_000_000 + i * 3_600_000).toISOString(),
    }));
    await storage.database.cards.bulkAdd(cards);
    showNotebook(storage, '/notebook');
    const list = await screen.findByRole('list', { name: 'Swatches' }, { timeout: 30_000 });
    const lines = () => within(list).getAllByRole('listitem');
    expect(lines().length).toBeLessThan(40);
    await waitFor(() => expect(lines()[0]?.getAttribute('aria-setsize')).toBe('10000'), { timeout: 30_000 });
    within(lines()[0]!).getAllByRole('link')[0]!.focus();
    await userEvent.keyboard('{End}');
    await waitFor(() =>
      expect(document.activeElement?.getAttribute('href')).toBe(`/measure/${cards[0]!.id}`),
    );
    expect(lines().length).toBeLessThan(40);
    await userEvent.keyboard('{PageUp}');
    await waitFor(() => expect(document.activeElement?.closest('li')?.dataset.row).not.toBe('9999'));

    await userEvent.fill(screen.getByRole('searchbox'), 'number 1234');
    await waitFor(() => expect(lines()).toHaveLength(1));
    expect(within(lines()[0]!).getAllByRole('link')[0]!.getAttribute('href')).toBe(
      `/measure/${cards[1234]!.id}`,
    );
  });
});

describe('the notebook page', () => {
  it.each([
    [390, 844],
    [1440, 900],
  ])(
    'shows thumbnails, keeps targets large and nothing wider than a screen of %i × %i',
    async (width, height) => {
      await page.viewport(width, height);
      const storage = freshStorage();
      await saveOne(storage, 'one');
      showNotebook(storage, '/notebook');
      await waitFor(() => expect(document.querySelector('.swatch-picture img')).not.toBeNull());
      const picture = document.querySelector<HTMLImageElement>('.swatch-picture img')!;
      await picture.decode();
      expect(picture.naturalWidth).toBe(8);
      expectFits(width);
    },
  );

  it('saves an archive in one tap and takes it in elsewhere, asking about what differs', async () => {
    await page.viewport(390, 844);
    const from = freshStorage();
    await from.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
    await saveOne(from, 'first');
    showNotebook(from, '/notebook');
    const download = nextDownload();
    await userEvent.click(await screen.findByRole('button', { name: 'Save an archive' }));
    const { name, file } = await download;
    expect(name).toMatch(/^walewright-\d{4}-\d{2}-\d{2}-\d{2}-\d{2}\.zip$/);
    await screen.findByText('today');
    cleanup();

    const to = freshStorage();
    await to.yarns.save({ ...blankYarn('Harbour sock, renamed'), id: 'harbour' });
    showNotebook(to, '/notebook/archive');
    const chooser = await screen.findByLabelText('Archive to take in');
    await userEvent.upload(chooser, new File([file], name, { type: 'application/zip' }));
    await screen.findByText('New: 1 swatch.');
    await screen.findByText('Here too, but different: 1 yarn.');
    await userEvent.selectOptions(
      screen.getByLabelText('For all that differ'),
      'Take the one from the archive',
    );
    await userEvent.click(screen.getByRole('button', { name: 'Take it in' }));
    await screen.findByText(/Taken in: 1 new, 1 replaced/);
    expect((await to.yarns.list()).map((yarn) => yarn.name)).toEqual(['Harbour sock']);
    expect((await to.listSwatches()).map((card) => card.notes)).toEqual(['first']);
  });

  it('refuses a file that is no archive, in one sentence, and stays as it was', async () => {
    const storage = freshStorage();
    await saveOne(storage, 'mine');
    showNotebook(storage, '/notebook/archive');
    const chooser = await screen.findByLabelText('Archive to take in');
    await userEvent.upload(chooser, new File(['hello'], 'letter.zip', { type: 'application/zip' }));
    await screen.findByText(/This file is not an archive of a notebook; nothing was changed/);
    expect((await storage.listSwatches()).map((card) => card.notes)).toEqual(['mine']);
  });

  it('gives the swatches in the list away without the places of their photos, unless told otherwise', async () => {
    const storage = freshStorage();
    const plain = new Uint8Array(await pictureOf('teal', 'image/jpeg'));
    const facts = { id: 'p', fileName: 'a.jpg', mime: 'image/jpeg', createdAt: '2026-01-01T00:00:00.000Z' };
    await storage.savePhoto({ ...facts, bytes: jpegWithPlace(plain).buffer, thumbnail: null });
    await storage.saveSwatch({ ...blankSwatch(), photoId: 'p' });
    showNotebook(storage, '/notebook/archive');
    const take = async (): Promise<string> => {
      const download = nextDownload();
      await userEvent.click(await screen.findByRole('button', { name: 'Archive of the 1 in the list' }));
      return new TextDecoder('latin1').decode(await (await download).file.arrayBuffer());
    };
    expect(await take()).not.toContain(secretPlace);
    await userEvent.click(screen.getByLabelText('Leave out of the photos where they were taken'));
    expect(await take()).toContain(secretPlace);
    // Only an archive of everything counts as the last one.
    expect(await storage.getMeta('lastArchive')).toBeNull();
  });

  it('hands over a table of the swatches in the list', async () => {
    const storage = freshStorage();
    await saveOne(storage, '=HYPERLINK("x")');
    showNotebook(storage, '/notebook/archive');
    const download = nextDownload();
    await userEvent.click(await screen.findByRole('button', { name: /Table of the 1 in the list/ }));
    const text = await (await download).file.text();
    expect(text.split('\r\n')[1]).toMatch(/"'=HYPERLINK\(""x""\)"$/);
  });
});
