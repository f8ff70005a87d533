import type { Bytes } from './bytes';
import { type Exif, noExif, readExif } from './exif';
import type { PhotoHeader } from './header';

/**
 * Walks the chunks of a PNG file (W3C PNG, third edition, clause 5).
 * @throws RangeError when the first chunk is not whole.
 */
export const readPng = (bytes: Bytes): Omit<PhotoHeader, 'kind'> => {
  if (!bytes.spells(12, 'IHDR')) throw new RangeError('The PNG file has no header chunk.');
  const size = { widthPx: bytes.u32(16), heightPx: bytes.u32(20) };
  let exif: Exif = noExif;
  let animated = false;
  let complete = false;
  let at = 8;
  while (at + 12 <= bytes.length && !complete) {
    const length = bytes.u32(at);
    const name = bytes.text(at + 4, 4);
    const whole = at + 12 + length <= bytes.length;
    if (name === 'eXIf' && whole) exif = readExif(bytes.part(at + 8, length));
    if (name === 'acTL' && whole) animated = bytes.u32(at + 8) > 1;
    complete = name === 'IEND' && whole;
    at += 12 + length;
  }
  return { ...size, exif, animated, inks: false, complete };
};
