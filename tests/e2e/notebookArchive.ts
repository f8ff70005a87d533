import type { Page } from 'playwright-core';
import sharp, { type Sharp } from 'sharp';
import type { Swatch, Yarn } from '../../src/domain/records';
import { blankYarn } from '../../src/storage/blank';
import { flatMeasurement } from '../builders/flatMeasurement';
import { measuredSwatch } from '../builders/measuredSwatch';
import { archiveOf, type Files, json } from '../unit/archiveMaking';

/** Noise in so many bytes: what no compression makes smaller, as photos are. */
const noise = (bytes: number, seed: number): Uint8Array => {
  const out = new Uint8Array(bytes);
  let state = seed + 1;
  for (let i = 0; i < bytes; i += 1) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    out[i] = state >>> 24;
  }
  return out;
};

const measured = (id: string, photoId: string): Swatch =>
  measuredSwatch(flatMeasurement(), { id, photoId, yarnId: 'harbour' });

interface ArchiveWishes {
  readonly yarn?: Partial<Yarn>;
  readonly photoBytes?: number;
  /** Another first photo, of the size of a plain picture. */
  readonly photo?: { readonly bytes: Uint8Array; readonly mime: string };
}

/** A picture of one colour, as large as the photo that the swatches were measured in. */
export const plainPicture = (): Sharp =>
  sharp({ create: { width: 2000, height: 1600, channels: 3, background: '#20786e' } });

/**
 * An archive of swatches "swatch-0", "swatch-1" and so on, each measured and with a photo of its own; the first photo is a real
 * one, the others are so many bytes that nobody opens.
 */
export const measuredArchive = async (
  count: number,
  { yarn = {}, photoBytes = 1_000, photo }: ArchiveWishes = {},
): Promise<Buffer> => {
  const picture = photo?.bytes ?? (await plainPicture().jpeg().toBuffer());
  const indexes = Array.from({ length: count }, (_, i) => i);
  const photos = indexes.map((i) => ({
    id: `photo-${i}`,
    fileName: `${i}.jpg`,
    mime: (i === 0 && photo?.mime) || 'image/jpeg',
    createdAt: new Date().toISOString(),
    path: `photos/photo-${i}.jpg`,
    thumbnail: null,
  }));
  const files: Files = {
    'README.txt': new TextEncoder().encode('Swatches.'),
    'yarns.json': json([{ ...blankYarn('Harbour sock'), id: 'harbour', ...yarn }]),
    'machines.json': json([]),
    'landmarks.json': json([]),
    'references.json': json([]),
    'photos.json': json(photos),
  };
  for (const i of indexes) {
    files[`swatches/swatch-${i}.json`] = json(measured(`swatch-${i}`, `photo-${i}`));
    files[`photos/photo-${i}.jpg`] = i === 0 ? picture : noise(photoBytes, i);
  }
  return Buffer.from(archiveOf(files));
};

/** Chooses an archive on the archive page and goes as far as the questions. */
export const chooseArchive = async (page: Page, address: string, archive: Buffer): Promise<void> => {
  await page.goto(`${address}#/notebook/archive`);
  await page
    .getByLabel('Archive to take in')
    .setInputFiles({ name: 'swatches.zip', mimeType: 'application/zip', buffer: archive });
  await page.getByRole('button', { name: 'Take it in' }).waitFor();
};

/** Takes an archive in, to its end. */
export const takeIn = async (page: Page, address: string, archive: Buffer): Promise<void> => {
  await chooseArchive(page, address, archive);
  await page.getByRole('button', { name: 'Take it in' }).click();
  await page.getByText(/^Taken in: /).waitFor();
};

/** Opens a swatch at its record. */
export const openRecord = async (page: Page, address: string, id: string): Promise<void> => {
  await page.goto(`${address}#/measure/${id}`);
  await page
    .getByRole('navigation', { name: 'Steps' })
    .getByRole('button', { name: /Record/ })
    .click();
  await page.getByLabel('Notes', { exact: true }).waitFor();
};
