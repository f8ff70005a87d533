import type { Bytes } from './bytes';
import { noExif } from './exif';
import type { PhotoHeader } from './header';

const IMAGE = 0x2c;
const EXTENSION = 0x21;
const TRAILER = 0x3b;

const colourTableBytes = (packed: number): number => (packed & 0x80 ? 3 * 2 ** ((packed & 7) + 1) : 0);

const afterSubBlocks = (bytes: Bytes, from: number): number => {
  let at = from;
  while (bytes.u8(at) !== 0) at += 1 + bytes.u8(at);
  return at + 1;
};

/** Counts the pictures and says whether the file reaches its trailer. */
const walk = (bytes: Bytes): { pictures: number; complete: boolean } => {
  let pictures = 0;
  try {
    let at = 13 + colourTableBytes(bytes.u8(10));
    for (;;) {
      const label = bytes.u8(at);
      if (label === TRAILER) return { pictures, complete: true };
      if (label === EXTENSION) at = afterSubBlocks(bytes, at + 2);
      else if (label === IMAGE) {
        pictures += 1;
        at = afterSubBlocks(bytes, at + 10 + colourTableBytes(bytes.u8(at + 9)) + 1);
      } else return { pictures, complete: false };
    }
  } catch (cause) {
    if (cause instanceof RangeError) return { pictures, complete: false };
    throw cause;
  }
};

/**
 * Reads a GIF file (GIF89a specification, clauses 17 to 27).
 * @throws RangeError when even its screen descriptor is not whole.
 */
export const readGif = (bytes: Bytes): Omit<PhotoHeader, 'kind'> => {
  const size = { widthPx: bytes.u16(6, true), heightPx: bytes.u16(8, true) };
  const { pictures, complete } = walk(bytes);
  return { ...size, exif: noExif, animated: pictures > 1, inks: false, complete };
};
