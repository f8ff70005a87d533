import fc from 'fast-check';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { VisionFailure } from '../../workers/contract';
import { readHeader } from '../../workers/photo/header';
import { sniffKind } from '../../workers/photo/sniff';
import { jpegWithExif, quarters, storedPixels } from '../builders/exif';
import { openBytes, sampleBytes } from '../builders/photos';

type Format = 'jpeg' | 'png' | 'webp' | 'avif' | 'gif';
const formats: Format[] = ['jpeg', 'png', 'webp', 'avif', 'gif'];

const picture = quarters(320, 240);
const pipeline = (of: { data: Uint8ClampedArray; width: number; height: number }) =>
  sharp(Buffer.from(of.data), { raw: { width: of.width, height: of.height, channels: 4 } });
const encode = async (format: Format): Promise<Uint8Array> =>
  new Uint8Array(await pipeline(picture).toFormat(format, { quality: 95 }).toBuffer());

const files: Partial<Record<Format, Uint8Array>> = {};
const file = (format: Format): Uint8Array => files[format]!;

const failureOf = async (bytes: Uint8Array): Promise<VisionFailure> => {
  const cause = await openBytes(bytes).then(
    () => null,
    (reason: unknown) => reason,
  );
  if (!(cause instanceof VisionFailure)) throw new Error(`Expected a refusal, got ${String(cause)}`);
  return cause;
};

/** Writes another size into the frame header of a baseline JPEG. */
const withStatedSize = (jpeg: Uint8Array, width: number, height: number): Uint8Array => {
  const out = jpeg.slice();
  const at = out.findIndex((byte, i) => byte === 0xff && out[i + 1] === 0xc0);
  new DataView(out.buffer).setUint16(at + 5, height);
  new DataView(out.buffer).setUint16(at + 7, width);
  return out;
};

/** A file that is a HEIC photo by all its boxes and holds nothing that can be decoded. */
const heicLike = (avif: Uint8Array): Uint8Array => {
  const heic = avif.slice();
  heic.set(new TextEncoder().encode('heic'), 8);
  const size = new DataView(heic.buffer).getUint32(0);
  for (let at = 16; at < size; at += 4) heic.set(new TextEncoder().encode('mif1'), at);
  return heic.fill(0, Buffer.from(heic).indexOf('mdat') + 4);
};

beforeAll(async () => {
  for (const format of formats) files[format] = await encode(format);
});

describe('photos that can be read', () => {
  for (const format of formats) {
    it(`opens a ${format} file with its size, kind and colours`, async () => {
      const { facts, work } = await openBytes(file(format));
      expect(facts).toMatchObject({ widthPx: 320, heightPx: 240, mime: `image/${format}`, remarks: [] });
      expect(work.photoPxPerWorkPx).toBe(1);
      const pixel = (x: number, y: number) => [...work.image.data.subarray(4 * (y * 320 + x)).slice(0, 3)];
      for (const [x, y, colour] of [
        [40, 30, [200, 40, 40]],
        [280, 30, [40, 180, 60]],
        [40, 200, [50, 60, 200]],
        [280, 200, [220, 210, 60]],
      ] as const) {
        pixel(x, y).forEach((value, channel) => {
          expect(Math.abs(value - colour[channel]!)).toBeLessThan(12);
        });
      }
    });
  }

  for (const orientation of [1, 2, 3, 4, 5, 6, 7, 8]) {
    it(`turns a photo with orientation ${orientation} upright`, async () => {
      const stored = storedPixels(picture, orientation);
      const jpeg = await pipeline(stored).jpeg({ quality: 95 }).toBuffer();
      const { facts, work } = await openBytes(jpegWithExif(jpeg, { orientation }));
      expect([facts.widthPx, facts.heightPx]).toEqual([320, 240]);
      const difference = work.image.data.reduce(
        (sum, value, i) => sum + Math.abs(value - picture.data[i]!),
        0,
      );
      expect(difference / work.image.data.length).toBeLessThan(2);
    });
  }

  it('tells when the photo was taken and with what focal length', async () => {
    const jpeg = jpegWithExif(file('jpeg'), {
      dateTimeOriginal: '2024:03:09 17:05:31',
      focalLengthIn35mmFilm: 26,
    });
    const { facts } = await openBytes(jpeg);
    expect(facts.takenAt).toBe('2024-03-09T17:05:31');
    expect(facts.focalLength35Mm).toBe(26);
  });

  it('measures the first picture of an animated file and says so', async () => {
    const frames = await Promise.all(
      [0, 1].map((turn) =>
        pipeline(picture)
          .rotate(180 * turn)
          .png()
          .toBuffer(),
      ),
    );
    for (const format of ['gif', 'webp'] as const) {
      const animated = await sharp(frames, { join: { animated: true } })
        .toFormat(format)
        .toBuffer();
      const { facts } = await openBytes(animated);
      expect([facts.widthPx, facts.heightPx]).toEqual([320, 240]);
      expect(facts.remarks.join(' ')).toMatch(/several pictures; the first/);
    }
  });

  it('converts a photo saved in printing colours and says so', async () => {
    const cmyk = await pipeline(picture).removeAlpha().toColourspace('cmyk').jpeg({ quality: 95 }).toBuffer();
    const { facts, work } = await openBytes(cmyk);
    expect(facts.remarks.join(' ')).toMatch(/CMYK/);
    const [r, g, b] = work.image.data;
    expect(r!).toBeGreaterThan(g! + 60);
    expect(r!).toBeGreaterThan(b! + 60);
  });

  it('lays transparent parts on white', async () => {
    const clear = { create: { width: 240, height: 240, channels: 4 as const, background: '#00000000' } };
    const { work } = await openBytes(await sharp(clear).png().toBuffer());
    expect([...work.image.data.subarray(0, 4)]).toEqual([255, 255, 255, 255]);
  });

  it('remarks on a soft photo, a dark one and a burnt one, and not on a good one', async () => {
    const sample = sampleBytes('oatmeal-inch-mat');
    const remarks = async (bytes: Uint8Array) => (await openBytes(bytes)).facts.remarks.join(' ');
    expect(await remarks(sample)).toBe('');
    expect(await remarks(await sharp(sample).blur(3).jpeg().toBuffer())).toMatch(/soft/);
    expect(await remarks(await sharp(sample).linear(0.2, 0).jpeg().toBuffer())).toMatch(/dark/);
    expect(await remarks(await sharp(sample).linear(3, 0).jpeg().toBuffer())).toMatch(/burnt out/);
  });
});

describe('photos that cannot be read', () => {
  const refusals: [
    what: string,
    bytes: () => Uint8Array | Promise<Uint8Array>,
    code: string,
    says: RegExp,
  ][] = [
    ['an empty file', () => new Uint8Array(), 'photoUnknownKind', /empty/],
    [
      'a text file renamed to .jpg',
      () => new TextEncoder().encode('Cast on 64 stitches.\nKnit until tired.\n'),
      'photoUnknownKind',
      /text file/,
    ],
    ['a PDF', () => new TextEncoder().encode('%PDF-1.7\n%\xe2\xe3'), 'photoUnknownKind', /PDF/],
    ['a TIFF file', async () => pipeline(picture).tiff().toBuffer(), 'photoUnknownKind', /TIFF/],
    [
      'noise',
      () => Uint8Array.from({ length: 900 }, (_, i) => (i * 7919) % 251),
      'photoUnknownKind',
      /not a photo/,
    ],
    [
      'a picture of one pixel',
      () =>
        pipeline({ data: new Uint8ClampedArray(4).fill(255), width: 1, height: 1 })
          .png()
          .toBuffer(),
      'photoTooSmall',
      /1 × 1 pixels/,
    ],
    ['100 megapixels', () => withStatedSize(file('jpeg'), 10_000, 10_000), 'photoTooLarge', /100 megapixels/],
    [
      'a photo with damage in the middle',
      () => {
        const png = file('png').slice();
        const data = Buffer.from(png).indexOf('IDAT') + 4;
        return png.fill(0x5a, data, data + 40);
      },
      'photoNotDecodable',
      /damaged/,
    ],
    ['a HEIC photo without a decoder', () => heicLike(file('avif')), 'photoNotDecodable', /HEIC/],
  ];
  for (const [what, bytes, code, says] of refusals) {
    it(`refuses ${what} with one clear sentence`, async () => {
      const failure = await failureOf(await bytes());
      expect(failure.code).toBe(code);
      expect(failure.message).toMatch(says);
    });
  }

  for (const format of formats) {
    it(`refuses a ${format} file that is cut short, wherever it is cut`, async () => {
      const whole = file(format);
      for (let part = 1; part < 20; part += 1) {
        const failure = await failureOf(whole.slice(0, Math.floor((whole.length * part) / 20)));
        expect(failure.code).toBe('photoTruncated');
      }
    });
  }

  it('never fails otherwise than with a sentence, whatever is done to the bytes', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...formats),
        fc.array(fc.tuple(fc.nat(400), fc.nat(255)), { minLength: 1, maxLength: 8 }),
        async (format, changes) => {
          const bytes = file(format).slice();
          for (const [at, value] of changes) bytes[at % bytes.length] = value;
          const kind = sniffKind(bytes);
          if (kind === format) readHeader(bytes, format);
          const outcome = await openBytes(bytes).catch((cause: unknown) => cause);
          expect(outcome instanceof VisionFailure || 'facts' in (outcome as object)).toBe(true);
        },
      ),
      { numRuns: 150 },
    );
  });
});
