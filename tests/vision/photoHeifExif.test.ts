import fc from 'fast-check';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { noExif } from '../../workers/photo/exif';
import { readHeader } from '../../workers/photo/header';
import { sniffKind } from '../../workers/photo/sniff';

/*
 * The files are written by libheif (through sharp), so the reader is checked against an implementation of ISO/IEC 23008-12 that is
 * not its own.
 */
const picture = () =>
  sharp({ create: { width: 64, height: 48, channels: 3, background: { r: 32, g: 120, b: 110 } } });

const taken = { orientation: 1, takenAt: '2023-12-31T23:59:59', focalLength35Mm: 77 };

let withRecord: Uint8Array;
let without: Uint8Array;
beforeAll(async () => {
  withRecord = new Uint8Array(
    await picture()
      .withExif({
        IFD0: { DateTime: '2020:01:01 00:00:00' },
        IFD2: { DateTimeOriginal: '2023:12:31 23:59:59', FocalLengthIn35mmFilm: '77' },
      })
      .avif()
      .toBuffer(),
  );
  without = new Uint8Array(await picture().avif().toBuffer());
});

/** Where a run of bytes begins. */
const find = (data: Uint8Array, wanted: readonly number[]): number =>
  data.findIndex((_, at) => wanted.every((byte, i) => data[at + i] === byte));

const ascii = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));

/** The same file as a telephone would name it that writes HEIC: only its brands differ. */
const asHeic = (avif: Uint8Array): Uint8Array => {
  const out = avif.slice();
  const length = new DataView(out.buffer).getUint32(0);
  for (let at = 8; at + 4 <= length; at += 4) {
    if (at !== 12 && ascii('avif').every((byte, i) => out[at + i] === byte)) out.set(ascii('heic'), at);
  }
  return out;
};

describe('the EXIF record of an AVIF or HEIC photo', () => {
  it('gives the date and the focal length', () => {
    expect(readHeader(withRecord, 'avif')).toMatchObject({ widthPx: 64, heightPx: 48, exif: taken });
    const heic = asHeic(withRecord);
    expect(sniffKind(heic)).toBe('heic');
    expect(readHeader(heic, 'heic')?.exif).toEqual(taken);
  });

  it('gives the orientation', () => {
    for (const [before, after] of [
      // Tag 0x0112, one SHORT, in both byte orders.
      [
        [0x12, 0x01, 3, 0, 1, 0, 0, 0, 1, 0],
        [0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0],
      ],
      [
        [0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 1],
        [0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6],
      ],
    ] as const) {
      const at = find(withRecord, before);
      if (at < 0) continue;
      const turned = withRecord.slice();
      turned.set(after, at);
      expect(readHeader(turned, 'avif')?.exif).toEqual({ ...taken, orientation: 6 });
      return;
    }
    throw new Error('The file has no orientation to change.');
  });

  it('is absent where there is none', () => {
    expect(readHeader(without, 'avif')?.exif).toEqual(noExif);
  });

  it('counts as absent when the tables of the file are damaged, and never stops the photo from being read', () => {
    for (const table of ['iinf', 'iloc']) {
      const damaged = withRecord.slice();
      damaged.set(ascii('free'), find(damaged, ascii(table)));
      expect(readHeader(damaged, 'avif')?.widthPx).toBe(64);
      expect(readHeader(damaged, 'avif')?.exif).toEqual(noExif);
    }
    const tables = find(withRecord, ascii('iloc'));
    fc.assert(
      fc.property(fc.nat({ max: 60 }), fc.nat({ max: 255 }), (offset, byte) => {
        const damaged = withRecord.slice();
        damaged[tables + 4 + offset] = byte;
        const header = readHeader(damaged, 'avif');
        if (header) expect(header.exif.orientation).toBeGreaterThanOrEqual(1);
      }),
    );
  });
});
