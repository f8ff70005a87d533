import { strToU8 } from 'fflate';
import type { ArchiveErrorCode } from '../../src/storage/archive/archiveError';
import {
  archiveOf,
  archiveWith,
  directoryRecordAt,
  json,
  localHeaderAt,
  manifestOf,
  patched,
  renamed,
  soundFiles,
  zipOf,
} from './archiveMaking';

/** An archive with which nothing is wrong. */
export const sound = archiveOf(soundFiles());
const endAt = sound.length - 22;
export const photoPath = 'photos/photo-1.jpg';
const swatchPath = 'swatches/swatch-1.json';

const withManifest = (
  change: (manifest: ReturnType<typeof manifestOf>) => unknown,
): Uint8Array<ArrayBuffer> => {
  const files = soundFiles();
  return zipOf({ ...files, 'manifest.json': json(change(manifestOf(files))) });
};

const withRaw = (path: string, bytes: Uint8Array): Uint8Array<ArrayBuffer> =>
  archiveOf({ ...soundFiles(), [path]: bytes });

const swatchText = (change: (text: string) => string): Uint8Array<ArrayBuffer> =>
  withRaw(swatchPath, strToU8(change(new TextDecoder().decode(soundFiles()[swatchPath]))));

const joined = (...parts: Uint8Array[]): Uint8Array<ArrayBuffer> => {
  const out = new Uint8Array(parts.reduce((length, part) => length + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
};

const flipped = (bytes: Uint8Array, at: number): Uint8Array<ArrayBuffer> => {
  const copy = new Uint8Array(bytes);
  copy[at] = (copy[at] ?? 0) ^ 0xff;
  return copy;
};

/** Lists within lists, too many for anything that follows them down one by one. */
const nest = `${Array.from({ length: 100_000 }, (_, i) => `[${(i * 7919) % 1009},`).join('')}0${']'.repeat(100_000)}`;

/** An archive that must be refused: what is wrong with it and what the refusal is called. */
export type Hostile = readonly [what: string, code: ArchiveErrorCode, bytes: () => Uint8Array<ArrayBuffer>];

const container: readonly Hostile[] = [
  ['an empty file', 'notAnArchive', () => new Uint8Array()],
  ['a text', 'notAnArchive', () => new Uint8Array(strToU8('Dear diary, '.repeat(50)))],
  [
    'a photo',
    'notAnArchive',
    () => Uint8Array.from({ length: 3000 }, (_, i) => [0xff, 0xd8, 0xff][i] ?? i % 256),
  ],
  ['the first half of an archive', 'cutOff', () => sound.slice(0, sound.length / 2)],
  ['an archive without its last byte', 'cutOff', () => sound.slice(0, -1)],
  ['an archive with something behind its end', 'cutOff', () => joined(sound, strToU8('more'))],
  ['an archive without its beginning', 'damaged', () => sound.slice(100)],
  ['an archive with something before its beginning', 'damaged', () => joined(strToU8('#!/bin/sh\n'), sound)],
  [
    'a table of contents that is said to lie elsewhere',
    'damaged',
    () => patched(sound, [{ at: endAt + 16, u32: 7 }]),
  ],
  [
    'more entries than there are',
    'damaged',
    () =>
      patched(sound, [
        { at: endAt + 8, u16: 99 },
        { at: endAt + 10, u16: 99 },
      ]),
  ],
  [
    'fewer entries than there are',
    'damaged',
    () =>
      patched(sound, [
        { at: endAt + 8, u16: 3 },
        { at: endAt + 10, u16: 3 },
      ]),
  ],
  ['one part of several', 'damaged', () => patched(sound, [{ at: endAt + 4, u16: 1 }])],
  [
    'a zip file with the 64-bit extension',
    'foreign',
    () => patched(sound, [{ at: endAt + 16, u32: 0xffffffff }]),
  ],
  [
    'an encrypted entry',
    'unsafe',
    () => patched(sound, [{ at: directoryRecordAt(sound, photoPath) + 8, u16: 1 }]),
  ],
  [
    'an unknown way of packing',
    'unsafe',
    () => patched(sound, [{ at: directoryRecordAt(sound, photoPath) + 10, u16: 12 }]),
  ],
  [
    'two entries on the same bytes',
    'unsafe',
    () => {
      const at = localHeaderAt(sound, 'yarns.json');
      return patched(sound, [{ at: directoryRecordAt(sound, 'landmarks.json') + 42, u32: at }]);
    },
  ],
  [
    'an entry that runs into the table of contents',
    'damaged',
    () => patched(sound, [{ at: directoryRecordAt(sound, 'manifest.json') + 42, u32: endAt - 40 }]),
  ],
  [
    'an entry that goes by two names',
    'unsafe',
    () => {
      const copy = new Uint8Array(sound);
      copy.set(strToU8('Q'), localHeaderAt(sound, photoPath) + 30);
      return copy;
    },
  ],
  [
    'an entry that would grow without measure',
    'unsafe',
    () => archiveOf({ ...soundFiles(), 'bomb.json': new Uint8Array(2_000_000) }),
  ],
  [
    'an entry that is larger than it says',
    'unsafe',
    () => {
      const files = soundFiles();
      const lie = manifestOf({ ...files, 'bomb.json': new Uint8Array(300_000) });
      const lying = zipOf({ ...files, 'bomb.json': new Uint8Array(2_000_000), 'manifest.json': json(lie) });
      return patched(lying, [{ at: directoryRecordAt(lying, 'bomb.json') + 24, u32: 300_000 }]);
    },
  ],
  [
    'an entry that is smaller than it says',
    'damaged',
    () => {
      const files = soundFiles();
      const lie = {
        ...manifestOf(files),
        files: manifestOf(files).files.map((file) =>
          file.path === 'yarns.json' ? { ...file, bytes: file.bytes + 9 } : file,
        ),
      };
      const lying = zipOf({ ...files, 'manifest.json': json(lie) });
      const at = directoryRecordAt(lying, 'yarns.json') + 24;
      return patched(lying, [{ at, u32: new DataView(lying.buffer).getUint32(at, true) + 9 }]);
    },
  ],
];

const names: readonly Hostile[] = [
  ['a path that climbs', 'unsafe', () => renamed(sound, 'yarns.json', '../ns.json')],
  ['a path that climbs further down', 'unsafe', () => renamed(sound, swatchPath, 'swatches/../../xy.json')],
  ['an absolute path', 'unsafe', () => renamed(sound, 'yarns.json', '/arns.json')],
  ['a path of another system', 'unsafe', () => renamed(sound, 'yarns.json', 'C:\\ns.json')],
  ['a hidden file', 'unsafe', () => renamed(sound, 'yarns.json', '.arns.json')],
  ['a name with a line break', 'unsafe', () => renamed(sound, 'yarns.json', 'yar\ns.json')],
  [
    'two names that differ in case only',
    'unsafe',
    () => archiveOf({ ...soundFiles(), 'YARNS.json': json([]) }),
  ],
  ['a folder as an entry', 'unsafe', () => archiveOf({ ...soundFiles(), 'folder/': new Uint8Array() })],
];

const listing: readonly Hostile[] = [
  ['a zip file of something else', 'foreign', () => zipOf({ 'letter.txt': strToU8('Hello') })],
  [
    'a manifest that is no JSON',
    'damaged',
    () => zipOf({ ...soundFiles(), 'manifest.json': strToU8('{"format":') }),
  ],
  [
    'a manifest of another kind of file',
    'foreign',
    () => withManifest((m) => ({ ...m, format: 'something-else' })),
  ],
  [
    'a manifest of a later version',
    'tooNew',
    () => withManifest((m) => ({ ...m, version: 2, files: 'elsewhere' })),
  ],
  ['a manifest of version zero', 'foreign', () => withManifest((m) => ({ ...m, version: 0 }))],
  ['a manifest without a date', 'damaged', () => withManifest((m) => ({ ...m, madeAt: 'yesterday' }))],
  ['a file that is not listed', 'unsafe', () => withManifest((m) => ({ ...m, files: m.files.slice(1) }))],
  [
    'a file that is listed and not there',
    'damaged',
    () =>
      withManifest((m) => ({
        ...m,
        files: [...m.files, { path: 'more.json', bytes: 1, sha256: '0'.repeat(64) }],
      })),
  ],
  [
    'a file that is listed twice',
    'unsafe',
    () => withManifest((m) => ({ ...m, files: [...m.files, ...m.files.slice(0, 1)] })),
  ],
  [
    'a wrong checksum',
    'damaged',
    () =>
      withManifest((m) => ({ ...m, files: m.files.map((file) => ({ ...file, sha256: '0'.repeat(64) })) })),
  ],
  ['one wrong byte in a photo', 'damaged', () => flipped(sound, localHeaderAt(sound, photoPath) + 1_000)],
  [
    'one wrong byte in a packed text',
    'damaged',
    () => flipped(sound, localHeaderAt(sound, swatchPath) + 100),
  ],
];

const records: readonly Hostile[] = [
  [
    'a swatch with a text for a number',
    'damaged',
    () => archiveWith(swatchPath, (s: object) => ({ ...s, thicknessMm: '2' })),
  ],
  [
    'a swatch without a field',
    'damaged',
    () => archiveWith(swatchPath, ({ edits: _, ...s }: { edits: unknown }) => s),
  ],
  [
    'a swatch with an unknown correction',
    'damaged',
    () => archiveWith(swatchPath, (s: object) => ({ ...s, edits: [{ kind: 'explode' }] })),
  ],
  [
    'a swatch with a number beyond all numbers',
    'damaged',
    () => swatchText((t) => t.replace('"thicknessMm":null', '"thicknessMm":1e999')),
  ],
  [
    'a swatch that reaches for the prototype',
    'damaged',
    () => swatchText((t) => t.replace('{', '{"__proto__":{"state":"saved"},')),
  ],
  [
    'a swatch of another id than its file says',
    'damaged',
    () => archiveWith(swatchPath, (s: object) => ({ ...s, id: 'swatch-2' })),
  ],
  [
    'a swatch whose id is a path',
    'damaged',
    () => archiveWith(swatchPath, (s: object) => ({ ...s, id: '../swatch-1' })),
  ],
  [
    'a swatch nested beyond all depth',
    'damaged',
    () => swatchText((t) => t.replace('"notes":""', `"notes":${nest}`)),
  ],
  ['a text that is no UTF-8', 'damaged', () => withRaw('yarns.json', Uint8Array.of(0x5b, 0xff, 0xfe, 0x5d))],
  [
    'a yarn of negative weight',
    'damaged',
    () => archiveWith('yarns.json', (yarns: object[]) => yarns.map((y) => ({ ...y, tex: -4 }))),
  ],
  [
    'the same yarn twice',
    'damaged',
    () => archiveWith('yarns.json', (yarns: object[]) => [...yarns, ...yarns]),
  ],
  ['a list that is none', 'damaged', () => archiveWith('yarns.json', () => ({ length: 1 }))],
  [
    'a photo that could carry scripts',
    'damaged',
    () => archiveWith('photos.json', (p: object[]) => p.map((x) => ({ ...x, mime: 'image/svg+xml' }))),
  ],
  [
    'a photo that is a page',
    'damaged',
    () => archiveWith('photos.json', (p: object[]) => p.map((x) => ({ ...x, mime: 'text/html' }))),
  ],
  [
    'a photo that is said to lie where nothing is',
    'damaged',
    () => archiveWith('photos.json', (p: object[]) => p.map((x) => ({ ...x, path: 'photos/other.jpg' }))),
  ],
  [
    'a moment that is none',
    'damaged',
    () => archiveWith(swatchPath, (s: object) => ({ ...s, createdAt: '<b>now</b>' })),
  ],
];

/** Every kind of archive that must be refused. */
export const hostileArchives: readonly Hostile[] = [...container, ...names, ...listing, ...records];
