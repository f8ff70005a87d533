/*
 * Takes out of a photo's file where it was taken, and nothing else: what is overwritten keeps its length, so that every offset in the file
 * stays true and no pixel changes. Read are the location directory of an EXIF record (CIPA DC-008, Exif 2.32, 4.6.6; tag 0x8825) in
 * whatever kind of file it lies, and the same facts in an XMP text (ISO 16684-1). A camera's own undocumented notes are not read.
 */

const LOCATION_TAG = 0x8825;
const ENTRY_BYTES = 12;
/** More entries than any camera writes; a larger count is no directory. */
const MOST_ENTRIES = 512;
/** Bytes of one value by EXIF type, 1 to 13 (TIFF 6.0, section 2). */
const typeBytes = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];

/** Where EXIF records (TIFF structures) may begin, by their first four bytes. */
const recordsIn = (data: Uint8Array): { readonly at: number; readonly little: boolean }[] => {
  const found: { at: number; little: boolean }[] = [];
  for (let at = data.indexOf(0x2a); at >= 0; at = data.indexOf(0x2a, at + 1)) {
    if (data[at - 2] === 0x49 && data[at - 1] === 0x49 && data[at + 1] === 0)
      found.push({ at: at - 2, little: true });
    if (data[at - 3] === 0x4d && data[at - 2] === 0x4d && data[at - 1] === 0)
      found.push({ at: at - 3, little: false });
  }
  return found;
};

/** The places of a directory's entries; none where there is no directory. */
const entriesAt = (view: DataView, at: number, little: boolean): number[] => {
  if (at + 2 > view.byteLength) return [];
  const count = view.getUint16(at, little);
  if (count === 0 || count > MOST_ENTRIES || at + 2 + count * ENTRY_BYTES > view.byteLength) return [];
  return Array.from({ length: count }, (_, i) => at + 2 + i * ENTRY_BYTES);
};

const emptyLocation = (data: Uint8Array, view: DataView, record: { at: number; little: boolean }): void => {
  const { at, little } = record;
  if (at + 8 > view.byteLength) return;
  const main = entriesAt(view, at + view.getUint32(at + 4, little), little);
  const pointer = main.find((entry) => view.getUint16(entry, little) === LOCATION_TAG);
  if (pointer === undefined) return;
  const directory = at + view.getUint32(pointer + 8, little);
  const entries = entriesAt(view, directory, little);
  for (const entry of entries) {
    const bytes = (typeBytes[view.getUint16(entry + 2, little)] ?? 0) * view.getUint32(entry + 4, little);
    const value = at + view.getUint32(entry + 8, little);
    if (bytes > 4 && value + bytes <= view.byteLength) data.fill(0, value, value + bytes);
  }
  // The directory stays, with nothing in it.
  if (entries.length > 0) data.fill(0, directory, directory + 2 + entries.length * ENTRY_BYTES);
};

/** XMP's names for where a photo was taken, as attributes and as elements. */
const placeNames =
  '(?:exif:GPS\\w+|photoshop:(?:City|State|Country)|Iptc4xmpCore:(?:Location|CountryCode)|Iptc4xmpExt:Location\\w+)';
const attribute = new RegExp(`(\\b${placeNames}\\s*=\\s*)("[^"]*"|'[^']*')`, 'g');
const element = new RegExp(`(<${placeNames}\\b[^>]*>)([^<]*)`, 'g');

const blankTexts = (data: Uint8Array): void => {
  // One letter a byte, so that places in the text are places in the file.
  const text = new TextDecoder('latin1').decode(data);
  if (!text.includes('adobe:ns:meta')) return;
  for (const match of text.matchAll(attribute)) {
    const from = match.index + (match[1]?.length ?? 0) + 1;
    data.fill(0x20, from, from + (match[2]?.length ?? 2) - 2);
  }
  for (const match of text.matchAll(element)) {
    const from = match.index + (match[1]?.length ?? 0);
    data.fill(0x20, from, from + (match[2]?.length ?? 0));
  }
};

const crcTable = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});
const crc32 = (data: Uint8Array): number =>
  ~data.reduce((crc, byte) => (crcTable[(crc ^ byte) & 0xff] ?? 0) ^ (crc >>> 8), 0xffffffff) >>> 0;

/** Texts of a PNG file can be packed; those are emptied whole. The checksums of changed chunks are made anew (W3C PNG, 5.3 to 5.5). */
const mendPng = (data: Uint8Array, view: DataView): void => {
  if (data[0] !== 0x89 || data[1] !== 0x50 || data[2] !== 0x4e || data[3] !== 0x47) return;
  for (let at = 8; at + 12 <= data.length; ) {
    const length = view.getUint32(at);
    const end = at + 8 + length;
    if (end + 4 > data.length) return;
    const name = String.fromCharCode(...data.subarray(at + 4, at + 8));
    const key = String.fromCharCode(...data.subarray(at + 8, Math.min(end, at + 88))).split('\0')[0] ?? '';
    const isPacked = name === 'zTXt' || (name === 'iTXt' && data[at + 8 + key.length + 1] === 1);
    // A chunk that nobody knows is passed over by everybody.
    if (isPacked && /exif|xmp|raw profile/i.test(key)) {
      data.set([0x6e, 0x6f, 0x4e, 0x65], at + 4);
      data.fill(0, at + 8, end);
    }
    if (isPacked || name === 'eXIf' || name === 'iTXt')
      view.setUint32(end, crc32(data.subarray(at + 4, end)));
    at = end + 4;
  }
};

/** A copy of a photo's file (JPEG, PNG, WebP, AVIF, HEIC) without where it was taken; of the same length and with the same pixels. */
export const withoutPlace = (bytes: ArrayBuffer): ArrayBuffer => {
  const copy = bytes.slice(0);
  const data = new Uint8Array(copy);
  const view = new DataView(copy);
  for (const record of recordsIn(data)) emptyLocation(data, view, record);
  blankTexts(data);
  mendPng(data, view);
  return copy;
};
