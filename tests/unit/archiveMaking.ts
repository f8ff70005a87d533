import { createHash } from 'node:crypto';
import { strToU8, type Zippable, zipSync } from 'fflate';
import { blankSwatch, blankYarn } from '../../src/storage/blank';

export type Files = Record<string, Uint8Array>;

export const json = (value: unknown): Uint8Array => strToU8(JSON.stringify(value));

const sum = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

/** A swatch, a yarn and a photo as the files of a sound archive, without the manifest. */
export const soundFiles = (): Files => {
  const yarn = { ...blankYarn('Harbour sock'), id: 'yarn-1' };
  const swatch = { ...blankSwatch(), id: 'swatch-1', photoId: 'photo-1', yarnId: 'yarn-1', state: 'saved' };
  return {
    'README.txt': strToU8('An archive.'),
    'yarns.json': json([yarn]),
    'machines.json': json([]),
    'landmarks.json': json([]),
    'references.json': json([]),
    'swatches/swatch-1.json': json(swatch),
    'photos/photo-1.jpg': Uint8Array.from({ length: 5_000 }, (_, i) => (i * 7919) % 256),
    'thumbnails/photo-1.webp': Uint8Array.of(1, 2, 3),
    'photos.json': json([
      {
        id: 'photo-1',
        fileName: 'IMG_0001.JPG',
        mime: 'image/jpeg',
        createdAt: '2026-01-12T09:20:00.000Z',
        path: 'photos/photo-1.jpg',
        thumbnail: { mime: 'image/webp', path: 'thumbnails/photo-1.webp' },
      },
    ]),
  };
};

/** The manifest that tells the truth about some files. */
export const manifestOf = (files: Files) => ({
  format: 'walewright-archive',
  version: 1,
  madeAt: '2026-02-01T12:00:00.000Z',
  files: Object.entries(files).map(([path, bytes]) => ({ path, bytes: bytes.length, sha256: sum(bytes) })),
});

/** A zip file of these files as they are: pictures stored, the rest deflated. */
export const zipOf = (files: Files): Uint8Array<ArrayBuffer> => {
  const entries: Zippable = Object.fromEntries(
    Object.entries(files).map(([path, bytes]) => [
      path,
      [bytes, { level: /^(photos|thumbnails)\//.test(path) ? 0 : 6 }],
    ]),
  );
  return zipSync(entries) as Uint8Array<ArrayBuffer>;
};

/** An archive of these files with a true manifest. */
export const archiveOf = (files: Files): Uint8Array<ArrayBuffer> =>
  zipOf({ ...files, 'manifest.json': json(manifestOf(files)) });

/** A sound archive in which one JSON file was changed before it was packed and summed. */
export const archiveWith = (path: string, change: (value: never) => unknown): Uint8Array<ArrayBuffer> => {
  const files = soundFiles();
  const before: never = JSON.parse(new TextDecoder().decode(files[path])) as never;
  return archiveOf({ ...files, [path]: json(change(before)) });
};

const find = (bytes: Uint8Array, signature: number, name: string, nameOffset: number): number => {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  for (let at = 0; at + nameOffset + name.length <= bytes.length; at++) {
    if (view.getUint32(at, true) !== signature) continue;
    if (new TextDecoder().decode(bytes.subarray(at + nameOffset, at + nameOffset + name.length)) === name)
      return at;
  }
  throw new Error(`No record of ${name}.`);
};

/** Where the record of an entry begins in the table of contents. */
export const directoryRecordAt = (bytes: Uint8Array, name: string): number =>
  find(bytes, 0x02014b50, name, 46);
/** Where the entry's own header begins. */
export const localHeaderAt = (bytes: Uint8Array, name: string): number => find(bytes, 0x04034b50, name, 30);

/** A copy with some bytes set: 2 or 4 at a place, little-endian. */
export const patched = (
  bytes: Uint8Array,
  changes: readonly { at: number; u16?: number; u32?: number }[],
): Uint8Array<ArrayBuffer> => {
  const copy = new Uint8Array(bytes);
  const view = new DataView(copy.buffer);
  for (const { at, u16, u32 } of changes) {
    if (u16 !== undefined) view.setUint16(at, u16, true);
    if (u32 !== undefined) view.setUint32(at, u32, true);
  }
  return copy;
};

/** A copy in which a name was overwritten, everywhere, by another of the same length. */
export const renamed = (bytes: Uint8Array, from: string, to: string): Uint8Array<ArrayBuffer> => {
  if (from.length !== to.length) throw new Error('The names differ in length.');
  const copy = new Uint8Array(bytes);
  for (const at of [localHeaderAt(copy, from) + 30, directoryRecordAt(copy, from) + 46]) {
    copy.set(strToU8(to), at);
  }
  return copy;
};
