import { Inflate } from 'fflate';
import { ArchiveError } from './archiveError';

/**
 * Reads zip files that this app wrote, as PKWARE's APPNOTE 6.3 describes them (sections 4.3.7, 4.3.12, 4.3.16), and distrusts
 * everything in them: only plain stored or deflated entries, no encryption, no parts, no overlaps, no surprises in the names.
 */
export interface ZipEntry {
  readonly name: string;
  readonly method: 'stored' | 'deflated';
  readonly packedBytes: number;
  readonly bytes: number;
  readonly crc32: number;
  readonly headerOffset: number;
}

/** Most entries a zip file without the 64-bit extension can hold. */
export const maxEntries = 65_535;
/** A text of records never gets near this; more is an attack or a mistake. */
export const maxTextBytes = 64 * 2 ** 20;
/** Deflate cannot shrink by more than about 1030; text of records shrinks by 4 to 30. */
const maxRatio = 200;

const endRecordBytes = 22;
const directoryRecordBytes = 46;
const localHeaderBytes = 30;
const longestComment = 65_535;

const damaged = (detail: string): ArchiveError =>
  new ArchiveError(
    'damaged',
    `This archive is damaged (${detail}); nothing was changed: use another copy of it.`,
  );
const unsafe = (detail: string): ArchiveError =>
  new ArchiveError('unsafe', `This archive is not safe to open (${detail}), so nothing was taken from it.`);

const viewOf = async (file: Blob, from: number, to: number): Promise<DataView> =>
  new DataView(await file.slice(from, to).arrayBuffer());

interface EndRecord {
  readonly entries: number;
  readonly directoryOffset: number;
  readonly directoryBytes: number;
  /** Where the end record itself begins. */
  readonly at: number;
}

const readEndRecord = async (file: Blob): Promise<EndRecord> => {
  const tailStart = Math.max(0, file.size - endRecordBytes - longestComment);
  const tail = await viewOf(file, tailStart, file.size);
  for (let at = tail.byteLength - endRecordBytes; at >= 0; at--) {
    if (tail.getUint32(at, true) !== 0x06054b50) continue;
    if (at + endRecordBytes + tail.getUint16(at + 20, true) !== tail.byteLength) continue;
    const entries = tail.getUint16(at + 10, true);
    const disks = tail.getUint16(at + 4, true) + tail.getUint16(at + 6, true);
    const directoryBytes = tail.getUint32(at + 12, true);
    const directoryOffset = tail.getUint32(at + 16, true);
    if (disks !== 0 || entries !== tail.getUint16(at + 8, true)) throw damaged('it is one part of several');
    if (entries === 0xffff || directoryOffset === 0xffffffff) {
      throw new ArchiveError('foreign', 'This zip file was not written by this app; nothing was changed.');
    }
    return { entries, directoryBytes, directoryOffset, at: tailStart + at };
  }
  const head = await viewOf(file, 0, Math.min(4, file.size));
  if (head.byteLength === 4 && head.getUint32(0, true) === 0x04034b50) {
    throw new ArchiveError(
      'cutOff',
      'This archive is cut off: its end is missing, so nothing was changed; copy or download it again.',
    );
  }
  throw new ArchiveError(
    'notAnArchive',
    'This file is not an archive of a notebook; nothing was changed: choose a file that was saved with "Save an archive".',
  );
};

/** Names are paths of plain letters, digits and `_ - .` with forward slashes, and lead nowhere but down. */
const isPlainName = (name: string): boolean =>
  /^[A-Za-z0-9_][A-Za-z0-9_.-]*(\/[A-Za-z0-9_][A-Za-z0-9_.-]*)*$/.test(name) && name.length <= 200;

const readDirectoryRecord = (view: DataView, at: number): { entry: ZipEntry; next: number } => {
  if (at + directoryRecordBytes > view.byteLength || view.getUint32(at, true) !== 0x02014b50) {
    throw damaged('its table of contents is broken');
  }
  const flags = view.getUint16(at + 8, true);
  const method = view.getUint16(at + 10, true);
  const nameBytes = view.getUint16(at + 28, true);
  const next =
    at + directoryRecordBytes + nameBytes + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  if (next > view.byteLength) throw damaged('its table of contents is broken');
  const name = new TextDecoder().decode(
    new Uint8Array(view.buffer, view.byteOffset + at + directoryRecordBytes, nameBytes),
  );
  if (!isPlainName(name)) throw unsafe('a file in it has a name that could lead elsewhere');
  if ((flags & 0x0041) !== 0) throw unsafe('it is encrypted');
  if (method !== 0 && method !== 8) throw unsafe('it is packed in an unknown way');
  const entry: ZipEntry = {
    name,
    method: method === 0 ? 'stored' : 'deflated',
    crc32: view.getUint32(at + 16, true),
    packedBytes: view.getUint32(at + 20, true),
    bytes: view.getUint32(at + 24, true),
    headerOffset: view.getUint32(at + 42, true),
  };
  return { entry, next };
};

const checkSizes = (entries: readonly ZipEntry[], end: EndRecord): void => {
  const names = new Set<string>();
  for (const { name, method, bytes, packedBytes } of entries) {
    if (names.has(name.toLowerCase())) throw unsafe('two files in it have the same name');
    names.add(name.toLowerCase());
    if (method === 'stored' && bytes !== packedBytes) throw damaged(`${name} has two different sizes`);
    if (method === 'deflated' && (bytes > maxTextBytes || bytes > 1024 + packedBytes * maxRatio)) {
      throw unsafe('a file in it would grow beyond all measure');
    }
  }
  let free = 0;
  for (const entry of [...entries].sort((a, b) => a.headerOffset - b.headerOffset)) {
    if (entry.headerOffset < free) throw unsafe('files in it overlap');
    free = entry.headerOffset + localHeaderBytes + entry.packedBytes;
  }
  if (free > end.directoryOffset) throw damaged('a file in it runs past its end');
};

/**
 * The table of contents of a zip file, checked.
 * @throws ArchiveError when the file is none of ours, cut off, damaged or unsafe.
 */
export const readZipDirectory = async (file: Blob): Promise<ZipEntry[]> => {
  const end = await readEndRecord(file);
  if (end.directoryOffset + end.directoryBytes !== end.at)
    throw damaged('its table of contents is not where it should be');
  const view = await viewOf(file, end.directoryOffset, end.at);
  const entries: ZipEntry[] = [];
  let at = 0;
  while (entries.length < end.entries) {
    const { entry, next } = readDirectoryRecord(view, at);
    entries.push(entry);
    at = next;
  }
  if (at !== view.byteLength) throw damaged('its table of contents is broken');
  checkSizes(entries, end);
  return entries;
};

/** Inflates in small steps and stops as soon as there is more than was announced. */
const inflate = (packed: Uint8Array, entry: ZipEntry): Uint8Array<ArrayBuffer> => {
  const out = new Uint8Array(entry.bytes);
  let filled = 0;
  const stream = new Inflate((chunk) => {
    if (filled + chunk.length > out.length) throw unsafe('a file in it is larger than announced');
    out.set(chunk, filled);
    filled += chunk.length;
  });
  const step = 4096;
  try {
    for (let at = 0; at < packed.length || at === 0; at += step) {
      stream.push(packed.subarray(at, at + step), at + step >= packed.length);
    }
  } catch (error) {
    throw error instanceof ArchiveError ? error : damaged(`${entry.name} cannot be unpacked`);
  }
  if (filled !== out.length) throw damaged(`${entry.name} is shorter than announced`);
  return out;
};

/**
 * The bytes of one entry.
 * @throws ArchiveError when the entry is damaged or not what the table of contents says.
 */
export const readZipEntry = async (file: Blob, entry: ZipEntry): Promise<Uint8Array<ArrayBuffer>> => {
  const header = await viewOf(file, entry.headerOffset, entry.headerOffset + localHeaderBytes);
  if (header.byteLength < localHeaderBytes || header.getUint32(0, true) !== 0x04034b50) {
    throw damaged(`${entry.name} is not where it should be`);
  }
  const nameStart = entry.headerOffset + localHeaderBytes;
  const nameEnd = nameStart + header.getUint16(26, true);
  const name = await file.slice(nameStart, nameEnd).text();
  if (name !== entry.name) throw unsafe('a file in it goes by two names');
  const start = nameEnd + header.getUint16(28, true);
  const packed = new Uint8Array(await file.slice(start, start + entry.packedBytes).arrayBuffer());
  if (packed.length !== entry.packedBytes) throw damaged(`${entry.name} is cut off`);
  return entry.method === 'stored' ? packed : inflate(packed, entry);
};
