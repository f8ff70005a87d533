import 'fake-indexeddb/auto';
import sharp from 'sharp';
import { afterEach, describe, expect, it } from 'vitest';
import { makeArchive, openArchive, takeIn } from '../../src/storage/archive/archive';
import { withoutPlace } from '../../src/storage/archive/withoutPlace';
import { blankSwatch } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { jpegWithPlace, secretPlace } from '../builders/gps';

/*
 * The photos are written by libvips and libheif (through sharp), so what is taken out was put in by somebody else.
 */
const open: Storage[] = [];
const emptyNotebook = (): Storage => {
  const storage = createStorage(`place-${newId()}`);
  open.push(storage);
  return storage;
};
afterEach(async () => {
  for (const storage of open.splice(0)) await storage.database.delete();
});

const formats = ['jpeg', 'png', 'webp', 'avif'] as const;
/** 54° 19′ 33″ as six whole numbers of four bytes, in the byte order of the record. */
const degrees = (little: boolean): Buffer => {
  const out = Buffer.alloc(24);
  [54, 1, 19, 1, 33, 1].forEach((n, i) => {
    if (little) out.writeUInt32LE(n, 4 * i);
    else out.writeUInt32BE(n, 4 * i);
  });
  return out;
};
const holdsDegrees = (file: Uint8Array): boolean =>
  [true, false].some((little) => Buffer.from(file).includes(degrees(little)));

const striped = () => {
  const pixels = Buffer.from(Array.from({ length: 40 * 30 * 3 }, (_, i) => (i * 37) % 256));
  return sharp(pixels, { raw: { width: 40, height: 30, channels: 3 } });
};
const taken = async (format: (typeof formats)[number]): Promise<ArrayBuffer> =>
  new Uint8Array(
    await striped()
      .withExif({
        IFD0: { Make: 'Tern' },
        IFD2: { DateTimeOriginal: '2023:12:31 23:59:59' },
        IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '54/1 19/1 33/1' },
      })
      .toFormat(format)
      .toBuffer(),
  ).buffer;

const pixelsOf = (file: ArrayBuffer): Promise<Buffer> => sharp(Buffer.from(file)).raw().toBuffer();

/** The XMP text of a photo, as libvips reads it. */
const textOf = async (file: ArrayBuffer): Promise<string> =>
  (await sharp(Buffer.from(file)).metadata()).xmp?.toString('utf8') ?? '';

describe('a photo that is given away', () => {
  it.each(formats)('as %s holds no place any more; its pixels and its date stay', async (format) => {
    const before = await taken(format);
    expect(holdsDegrees(new Uint8Array(before))).toBe(true);
    const after = withoutPlace(before);
    expect(holdsDegrees(new Uint8Array(after))).toBe(false);
    expect(after.byteLength).toBe(before.byteLength);
    expect(await pixelsOf(after)).toEqual(await pixelsOf(before));
    expect(Buffer.from(after).includes('2023:12:31 23:59:59')).toBe(true);
    expect(Buffer.from(after).includes('Tern')).toBe(true);
    // The original in the notebook is left alone.
    expect(holdsDegrees(new Uint8Array(before))).toBe(true);
  });

  it.each(['jpeg', 'png', 'webp'] as const)('as %s holds no place in its XMP text either', async (format) => {
    const xmp = `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/" exif:GPSLatitude="54,19.55N" photoshop:Credit="Tern"><photoshop:City>${secretPlace}</photoshop:City></rdf:Description></rdf:RDF></x:xmpmeta>`;
    const before = new Uint8Array(await striped().withXmp(xmp).toFormat(format).toBuffer()).buffer;
    expect(await textOf(before)).toContain(secretPlace);
    const after = withoutPlace(before);
    const text = await textOf(after);
    for (const words of [secretPlace, '54,19.55N']) expect(text).not.toContain(words);
    // A packed text, as in PNG files, goes as a whole.
    if (format !== 'png') expect(text).toContain('photoshop:Credit="Tern"');
    expect(await pixelsOf(after)).toEqual(await pixelsOf(before));
  });

  it('holds no name of a place from its location record', async () => {
    const plain = new Uint8Array(await striped().jpeg().toBuffer());
    const before = jpegWithPlace(plain).buffer;
    expect(Buffer.from(before).includes(secretPlace)).toBe(true);
    expect(Buffer.from(withoutPlace(before)).includes(secretPlace)).toBe(false);
  });

  it('stays as it is when it holds no place', async () => {
    for (const format of formats) {
      const plain = new Uint8Array(await striped().toFormat(format).toBuffer()).buffer;
      expect(Buffer.from(withoutPlace(plain)).equals(Buffer.from(plain))).toBe(true);
    }
  });
});

describe('an archive of a selection', () => {
  it.each([true, false])('leaves the places out only when asked: %s', async (withoutPlaces) => {
    const [from, to] = [emptyNotebook(), emptyNotebook()];
    const bytes = await taken('jpeg');
    const facts = { id: 'p', fileName: 'a.jpg', mime: 'image/jpeg', createdAt: '2026-01-01T00:00:00.000Z' };
    await from.savePhoto({ ...facts, bytes, thumbnail: null });
    const swatch = { ...blankSwatch(), photoId: 'p' };
    await from.saveSwatch(swatch);
    const { file } = await makeArchive(from, { swatchIds: [swatch.id], withoutPlaces });
    await takeIn(to, await openArchive(to, file), { decide: () => 'keepHere' });
    const there = new Uint8Array((await to.getPhoto('p'))!.bytes);
    expect(holdsDegrees(there)).toBe(!withoutPlaces);
    expect(Buffer.from(there).equals(Buffer.from(bytes))).toBe(!withoutPlaces);
  });
});
