import type { Bytes } from './bytes';
import { type Exif, noExif, readExif } from './exif';
import type { PhotoHeader } from './header';

/** Start-of-frame markers of ITU-T T.81, table B.1: C0 to CF without DHT (C4), JPG (C8) and DAC (CC). */
const isFrame = (marker: number): boolean =>
  marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;

const APP1 = 0xe1;
const START_OF_SCAN = 0xda;
const END_OF_IMAGE = 0xd9;
const INK_COMPONENTS = 4;

const hasEndMark = (bytes: Bytes, after: number): boolean => {
  for (let at = bytes.length - 2; at >= after; at -= 1) {
    if (bytes.u8(at) === 0xff && bytes.u8(at + 1) === END_OF_IMAGE) return true;
  }
  return false;
};

/**
 * Walks the segments of a JPEG file (ITU-T T.81, annex B) up to its first scan.
 * @throws RangeError when the file ends before that.
 */
export const readJpeg = (bytes: Bytes): Omit<PhotoHeader, 'kind'> => {
  let exif: Exif = noExif;
  let frame: { widthPx: number; heightPx: number; inks: boolean } | null = null;
  let at = 2;
  for (;;) {
    while (bytes.u8(at) !== 0xff) at += 1;
    while (bytes.u8(at) === 0xff) at += 1;
    const marker = bytes.u8(at);
    at += 1;
    if (marker === END_OF_IMAGE) break;
    if (marker === 0 || marker === 1 || (marker >= 0xd0 && marker <= 0xd8)) continue;
    const length = bytes.u16(at);
    if (marker === APP1 && bytes.spells(at + 2, 'Exif\0\0')) exif = readExif(bytes.part(at + 8, length - 8));
    if (isFrame(marker)) {
      frame = {
        heightPx: bytes.u16(at + 3),
        widthPx: bytes.u16(at + 5),
        inks: bytes.u8(at + 7) === INK_COMPONENTS,
      };
    }
    at += length;
    if (marker === START_OF_SCAN) break;
  }
  if (!frame) throw new RangeError('The JPEG file has no frame header.');
  return { ...frame, exif, animated: false, complete: hasEndMark(bytes, at) };
};
