import { screen, waitFor, within } from '@testing-library/react';
import { describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import type { LandmarkRecord } from '../../src/domain/machineRecords';
import { withLandmarkProfile } from '../../src/domain/machineRecords';
import type { Photo, Swatch } from '../../src/domain/records';
import { withStep } from '../../src/domain/referenceStep';
import { blankLandmark, blankMachine, blankSwatch, blankYarn } from '../../src/storage/blank';
import type { Storage } from '../../src/storage/repository';
import { createDeriver } from '../../src/store/measureSessionGrid';
import { flatMeasurement } from '../builders/flatMeasurement';
import { jpegWithPlace, secretPlace } from '../builders/gps';
import { expectFits, freshStorage, nextDownload, showNotebook } from './notebookOnScreen';

const markup = '<img src=x onerror="document.title=1">';

/** A photo as a telephone takes it, with the place in it. */
const takenPhoto = async (id: string, width: number, height: number): Promise<Photo> => {
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d')!;
  context.fillStyle = '#20786e';
  context.fillRect(0, 0, width, height);
  const jpeg = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/jpeg' })).arrayBuffer());
  const bytes = jpegWithPlace(jpeg).buffer;
  return {
    id,
    fileName: 'a.jpg',
    mime: 'image/jpeg',
    bytes,
    thumbnail: null,
    createdAt: '2026-01-01T00:00:00.000Z',
  };
};

const fill = async (): Promise<Storage> => {
  const storage = freshStorage();
  const measurement = flatMeasurement();
  const { widthPx, heightPx } = measurement.photo;
  await storage.savePhoto(await takenPhoto('photo', widthPx, heightPx));
  await storage.savePhoto(await takenPhoto('spot', 400, 300));
  await storage.yarns.save({
    ...blankYarn(`Harbour sock ${markup}`),
    id: 'harbour',
    colour: 'slate',
    tex: 238,
    seenColour: '#20786e',
  });
  await storage.machines.save({ ...blankMachine('Loft machine'), id: 'loft', cylinderNeedles: [72] });
  const landmark: LandmarkRecord = withLandmarkProfile({
    ...blankLandmark('loft', 'nut to bracket'),
    id: 'nut',
    photoId: 'spot',
    dots: [
      { x: 0.2, y: 0.5 },
      { x: 0.8, y: 0.5 },
    ],
  });
  await storage.landmarks.save(landmark);
  const scale = {
    reference: withStep(measurement.references[0]!, 25.4),
    confirmedBy: 'user',
    namedReferenceId: null,
  } as const;
  const swatch: Swatch = createDeriver().summarised({
    ...blankSwatch(),
    id: 'one',
    state: 'saved',
    photoId: 'photo',
    measurement,
    scale,
    yarnId: 'harbour',
    machineId: 'loft',
    cylinderNeedles: 72,
    reading: {
      landmarkId: 'nut',
      unit: 'mm',
      repeats: [
        { typed: '28.91', mm: 28.91 },
        { typed: '28.93', mm: 28.93 },
      ],
    },
    restState: 'offMachine',
    notes: markup,
  });
  await storage.saveSwatch(swatch);
  return storage;
};

const latin1 = (bytes: Uint8Array): string => new TextDecoder('latin1').decode(bytes);

/** The kinds of the chunks in a PNG file, in order (W3C PNG, third edition, 5.3). */
const chunksOf = (png: Uint8Array): string[] => {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  const kinds: string[] = [];
  for (let at = 8; at + 8 <= png.length; at += 12 + view.getUint32(at)) {
    kinds.push(latin1(png.subarray(at + 4, at + 8)));
  }
  return kinds;
};

describe('the card of a swatch', () => {
  it.each([
    [390, 844],
    [1440, 900],
  ])(
    'shows photo, gauge, yarn, machine and caliper, and names as text, at %i × %i',
    async (width, height) => {
      await page.viewport(width, height);
      showNotebook(await fill(), '/notebook/card/one');
      const card = await screen.findByRole('article', {}, { timeout: 10_000 });
      const words = card.textContent ?? '';
      // The grid was drawn with 8 columns and 11 rows to the inch.
      expect(words).toMatch(/8\.0\d* ± \S+ stitches × 11\.\d+ ± \S+ rows/);
      expect(words).toContain('238 tex (420 m in 100 g)');
      expect(words).toContain('Loft machine, 72 needles');
      expect(words).toMatch(/28\.92 ± 0\.\d+ mm, mean of 2/);
      expect(words).toContain('nut to bracket, outside jaws');
      expect(words).toContain(markup);
      expect(within(card).getAllByRole('img')).toHaveLength(2);
      expect(card.querySelector('img')).toBeNull();
      expectFits(width);
    },
  );

  it('becomes a picture that holds pixels and nothing that the camera wrote: no place, no date', async () => {
    const storage = await fill();
    const original = latin1(new Uint8Array((await storage.getPhoto('photo'))!.bytes));
    expect(original).toContain(secretPlace);
    showNotebook(storage, '/notebook/card/one');
    const download = nextDownload();
    await userEvent.click(
      await screen.findByRole('button', { name: 'Save as a picture' }, { timeout: 10_000 }),
    );
    const { name, file } = await download;
    expect(name).toMatch(/^walewright-card-\d{4}-\d{2}-\d{2}\.png$/);
    const png = new Uint8Array(await file.arrayBuffer());
    const allowed = ['IHDR', 'IDAT', 'IEND', 'sRGB', 'gAMA', 'cHRM', 'pHYs', 'sBIT', 'iCCP'];
    expect(chunksOf(png).filter((kind) => !allowed.includes(kind))).toEqual([]);
    expect(chunksOf(png)).toContain('IDAT');
    expect(latin1(png)).not.toContain(secretPlace);
    expect(latin1(png)).not.toContain('Exif');
    const bitmap = await createImageBitmap(file);
    expect(bitmap.width).toBe(1200);
    expect(bitmap.height).toBeGreaterThan(900);
  });

  it('shows the lines over the photo: the picture is no longer of one colour', async () => {
    showNotebook(await fill(), '/notebook/card/one');
    const picture = await screen.findByRole('img', { name: /counted part/ }, { timeout: 10_000 });
    await waitFor(() => expect(picture.querySelector('canvas')).not.toBeNull());
    const canvas = picture.querySelector('canvas')!;
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    const lightness = new Set<number>();
    for (let i = 0; i < data.length; i += 4) lightness.add((data[i]! + data[i + 1]! + data[i + 2]!) >> 6);
    expect(lightness.size).toBeGreaterThan(4);
  });

  it('leads to a draft of the same piece', async () => {
    const storage = await fill();
    const location = showNotebook(storage, '/notebook/card/one');
    await userEvent.click(
      await screen.findByRole('button', { name: 'It is washed and dried' }, { timeout: 10_000 }),
    );
    await waitFor(() => expect(location.history?.at(-1)).toMatch(/^\/measure\//));
    const drafts = (await storage.listSwatches()).filter((card) => card.state === 'draft');
    expect(drafts).toMatchObject([{ pieceId: 'one', yarnId: 'harbour', restState: 'washedAndDried' }]);
  });
});

describe('labels', () => {
  it('come in as many copies as wanted, each with yarn, gauge, machine and reading', async () => {
    showNotebook(await fill(), '/notebook/labels/one');
    await userEvent.selectOptions(await screen.findByLabelText('Copies of each'), '4');
    const labels = within(screen.getByRole('list', { name: 'Labels' })).getAllByRole('listitem');
    expect(labels).toHaveLength(4);
    expect(labels[3]?.textContent).toMatch(/Harbour sock/);
    expect(labels[3]?.textContent).toMatch(/per inch/);
    expect(labels[3]?.textContent).toContain('Loft machine · 72 needles · caliper 28.92 mm · nut to bracket');
    expect(labels[3]?.querySelector('img')).toBeNull();
  });
});

describe('the colour of a yarn that was given none', () => {
  it('is taken from the photo of its swatch and kept, until she does without it', async () => {
    const storage = await fill();
    await storage.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
    showNotebook(storage, '/notebook/yarns/harbour');
    const without = await screen.findByRole('button', { name: 'Without it' }, { timeout: 10_000 });
    const colour = async () => (await storage.database.yarns.get('harbour'))?.seenColour;
    // The photo is all #20786e; JPEG may be a few steps off.
    await waitFor(async () => expect(await colour()).toMatch(/^#[12][0-9a-f]7[0-9a-f][67][0-9a-f]$/));
    await userEvent.click(without);
    await userEvent.click(screen.getByRole('button', { name: 'Save the yarn' }));
    await waitFor(async () => expect(await colour()).toBeNull());
    expect(screen.queryByText('Colour as a swatch photo shows it')).toBeNull();
  });
});
