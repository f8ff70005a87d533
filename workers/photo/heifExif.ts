import type { Bytes } from './bytes';
import { type Exif, noExif, readExif } from './exif';
import { type Box, boxesIn, child, findBox } from './isoBoxes';

/** Version and flags at the start of a full box, bytes. */
const FULL_BOX_BYTES = 4;
/** More extents or items than any camera writes; a larger count is a damaged table. */
const MAX_ITEMS = 10_000;

/** An unsigned whole number of 0, 2, 4 or 8 bytes, as the item table states their lengths. */
const wholeNumber = (bytes: Bytes, at: number, length: number): number => {
  if (length === 0) return 0;
  if (length === 2) return bytes.u16(at);
  if (length === 4) return bytes.u32(at);
  if (length === 8) return bytes.u32(at) * 2 ** 32 + bytes.u32(at + 4);
  throw new RangeError('The item table has numbers of an odd length.');
};

/** The id of the EXIF item (ISO/IEC 14496-12, 8.11.6: item info; 23008-12, annex A.2.1: items of type "Exif"). */
const exifItem = (bytes: Bytes, meta: Box): number | null => {
  const info = findBox(bytes, meta, 'iinf', FULL_BOX_BYTES);
  if (!info) return null;
  const countBytes = bytes.u8(info.from) === 0 ? 2 : 4;
  for (const entry of boxesIn(bytes, info.from + FULL_BOX_BYTES + countBytes, info.to)) {
    const version = bytes.u8(entry.from);
    if (entry.name !== 'infe' || version < 2) continue;
    const idBytes = version === 2 ? 2 : 4;
    const at = entry.from + FULL_BOX_BYTES;
    // The id is followed by a protection index of two bytes and the type.
    if (bytes.spells(at + idBytes + 2, 'Exif')) return wholeNumber(bytes, at, idBytes);
  }
  return null;
};

/** Where the bytes of an item lie in the file (ISO/IEC 14496-12, 8.11.3: item location); null unless it is in one piece. */
const placeOf = (bytes: Bytes, meta: Box, wanted: number): { at: number; length: number } | null => {
  const table = findBox(bytes, meta, 'iloc', FULL_BOX_BYTES);
  if (!table) return null;
  const version = bytes.u8(table.from);
  let at = table.from + FULL_BOX_BYTES;
  const sizes = bytes.u16(at);
  const [offsetBytes, lengthBytes, baseBytes] = [sizes >> 12, (sizes >> 8) & 15, (sizes >> 4) & 15];
  const indexBytes = version === 0 ? 0 : sizes & 15;
  at += 2;
  const idBytes = version < 2 ? 2 : 4;
  const items = wholeNumber(bytes, at, idBytes);
  at += idBytes;
  for (let item = 0; item < Math.min(items, MAX_ITEMS); item += 1) {
    const id = wholeNumber(bytes, at, idBytes);
    at += idBytes;
    const method = version === 0 ? 0 : bytes.u16(at) & 15;
    // The construction method (from version 1 on) and the index of the data reference are two bytes each.
    at += version === 0 ? 2 : 4;
    const base = wholeNumber(bytes, at, baseBytes);
    at += baseBytes;
    const extents = bytes.u16(at);
    at += 2;
    if (id === wanted) {
      if (extents !== 1 || method > 1) return null;
      const offset = base + wholeNumber(bytes, at + indexBytes, offsetBytes);
      const length = wholeNumber(bytes, at + indexBytes + offsetBytes, lengthBytes);
      // Method 0 counts from the start of the file, method 1 from the start of the data inside the table's own box.
      return { at: method === 0 ? offset : child(bytes, meta, 'idat', FULL_BOX_BYTES).from + offset, length };
    }
    at += extents * (indexBytes + offsetBytes + lengthBytes);
  }
  return null;
};

/**
 * Reads the EXIF record of an AVIF or HEIC file. It is an item of the file whose first four bytes say how far on the record begins
 * (ISO/IEC 23008-12, annex A.2.1). The record is only a hint, so a damaged one counts as absent.
 * @param meta the file's meta box.
 */
export const readHeifExif = (bytes: Bytes, meta: Box): Exif => {
  try {
    const item = exifItem(bytes, meta);
    const place = item === null ? null : placeOf(bytes, meta, item);
    if (!place) return noExif;
    const skipped = 4 + bytes.u32(place.at);
    return readExif(bytes.part(place.at + skipped, place.length - skipped));
  } catch (cause) {
    if (cause instanceof RangeError) return noExif;
    throw cause;
  }
};
