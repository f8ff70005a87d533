import type { Bytes } from './bytes';
import { type Exif, noExif, readExif } from './exif';
import type { PhotoHeader } from './header';

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Size of the picture that a chunk describes, null if it describes none (RFC 9649, clauses 2.5 to 2.7). */
const sizeIn = (bytes: Bytes, name: string, at: number): Size | null => {
  if (name === 'VP8X') return { widthPx: 1 + bytes.u24(at + 4, true), heightPx: 1 + bytes.u24(at + 7, true) };
  if (name === 'VP8 ') {
    return { widthPx: bytes.u16(at + 6, true) & 0x3fff, heightPx: bytes.u16(at + 8, true) & 0x3fff };
  }
  if (name === 'VP8L') {
    const packed = bytes.u32(at + 1, true);
    return { widthPx: 1 + (packed & 0x3fff), heightPx: 1 + ((packed >>> 14) & 0x3fff) };
  }
  return null;
};

/**
 * Walks the chunks of a WebP file (RFC 9649).
 * @throws RangeError when no chunk tells the picture's size.
 */
export const readWebp = (bytes: Bytes): Omit<PhotoHeader, 'kind'> => {
  let size: Size | null = null;
  let exif: Exif = noExif;
  let animated = false;
  const statedEnd = 8 + bytes.u32(4, true);
  let at = 12;
  while (at + 8 <= bytes.length) {
    const name = bytes.text(at, 4);
    const length = bytes.u32(at + 4, true);
    size ??= sizeIn(bytes, name, at + 8);
    if (name === 'ANIM') animated = true;
    if (name === 'EXIF') {
      const record = bytes.part(at + 8, length);
      exif = readExif(record.spells(0, 'Exif\0\0') ? record.part(6, length - 6) : record);
    }
    at += 8 + length + (length % 2);
  }
  if (!size) throw new RangeError('The WebP file does not say its size.');
  return { ...size, exif, animated, inks: false, complete: bytes.length >= statedEnd };
};
