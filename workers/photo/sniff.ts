import { Bytes } from './bytes';

/** What a file is, by its first bytes; its name and its stated type are never asked. */
export type FileKind =
  | 'jpeg'
  | 'png'
  | 'webp'
  | 'avif'
  | 'heic'
  | 'gif'
  | 'bmp'
  | 'tiff'
  | 'pdf'
  | 'text'
  | 'empty'
  | 'unknown';

/** Brands of ISO/IEC 23000-22 (MIAF) and 23008-12 (HEIF) files, as their `ftyp` box names them. */
const avifBrands = ['avif', 'avis'];
const heicBrands = ['heic', 'heix', 'heim', 'heis', 'hevc', 'hevx', 'mif1', 'msf1'];

/** Bytes at the start that are looked at to tell text from anything else. */
const TEXT_PROBE_BYTES = 512;

const brandsOf = (bytes: Bytes): string[] => {
  const size = Math.min(bytes.u32(0), bytes.length, 256);
  const brands = [bytes.text(8, 4)];
  for (let at = 16; at + 4 <= size; at += 4) brands.push(bytes.text(at, 4));
  return brands;
};

const isoMediaKind = (bytes: Bytes): FileKind => {
  const brands = brandsOf(bytes);
  if (brands.some((brand) => avifBrands.includes(brand))) return 'avif';
  return brands.some((brand) => heicBrands.includes(brand)) ? 'heic' : 'unknown';
};

const looksLikeText = (data: Uint8Array): boolean => {
  const probe = data.subarray(0, TEXT_PROBE_BYTES);
  return probe.every((byte) => byte >= 0x20 || byte === 0x09 || byte === 0x0a || byte === 0x0d);
};

/** Tells the kind of a file from its magic bytes. */
export const sniffKind = (data: Uint8Array): FileKind => {
  if (data.length === 0) return 'empty';
  const bytes = new Bytes(data);
  if (bytes.spells(0, '\xff\xd8\xff')) return 'jpeg';
  if (bytes.spells(0, '\x89PNG\r\n\x1a\n')) return 'png';
  if (bytes.spells(0, 'RIFF') && bytes.spells(8, 'WEBP')) return 'webp';
  if (bytes.spells(4, 'ftyp') && bytes.length >= 16) return isoMediaKind(bytes);
  if (bytes.spells(0, 'GIF87a') || bytes.spells(0, 'GIF89a')) return 'gif';
  if (bytes.spells(0, 'II*\0') || bytes.spells(0, 'MM\0*')) return 'tiff';
  if (bytes.spells(0, '%PDF-')) return 'pdf';
  if (bytes.spells(0, 'BM') && bytes.length > 26 && bytes.u32(6, true) === 0) return 'bmp';
  return looksLikeText(data) ? 'text' : 'unknown';
};
