import * as v from 'valibot';
import type { CamLog, SameSettingRecord, TurnRecord } from '../../domain/machineRecords';
import type { Id, Landmark, Machine, NamedReference, Photo, Swatch, Yarn } from '../../domain/records';
import { ArchiveError, stopIfCancelled } from './archiveError';
import {
  camLogsSchema,
  landmarksSchema,
  machinesSchema,
  sameSettingsSchema,
  turnsSchema,
} from './machineSchemas';
import {
  formatVersion,
  type Manifest,
  manifestHeadSchema,
  manifestSchema,
  namedReferencesSchema,
  type PhotoEntry,
  photosSchema,
  swatchSchema,
  yarnsSchema,
} from './schemas';
import { sha256 } from './sha256';
import { maxTextBytes, readZipDirectory, readZipEntry, type ZipEntry } from './zipReader';

/** An archive whose every file has been checked. Photos stay in the file until they are asked for. */
export interface ArchiveContents {
  readonly madeAt: string;
  readonly yarns: readonly Yarn[];
  readonly machines: readonly Machine[];
  readonly landmarks: readonly Landmark[];
  readonly namedReferences: readonly NamedReference[];
  readonly turns: readonly TurnRecord[];
  readonly sameSettings: readonly SameSettingRecord[];
  readonly camLogs: readonly CamLog[];
  readonly swatches: readonly Swatch[];
  readonly photos: readonly PhotoEntry[];
  readonly readPhoto: (entry: PhotoEntry) => Promise<Photo>;
  /** Checksum of a photo's bytes. */
  readonly photoSha256: (entry: PhotoEntry) => string;
}

export interface ReadOptions {
  readonly signal?: AbortSignal;
  /** Told after each file that has been checked. */
  readonly onProgress?: (done: number, of: number) => void;
}

const foreign = (): ArchiveError =>
  new ArchiveError(
    'foreign',
    'This zip file is not an archive of a notebook; nothing was changed: choose a file that was saved with "Save an archive".',
  );

const damaged = (path: string, detail: string): ArchiveError =>
  new ArchiveError(
    'damaged',
    `This archive is damaged (${path} ${detail}); nothing was changed: use another copy of it.`,
  );

const parseJson = (bytes: Uint8Array, path: string): unknown => {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes), (key, value: unknown) => {
      if (key === '__proto__') throw new SyntaxError('A name that is not allowed.');
      return value;
    });
  } catch {
    throw damaged(path, 'cannot be read');
  }
};

const checked = <T>(schema: v.GenericSchema<unknown, T>, value: unknown, path: string): T => {
  const result = v.safeParse(schema, value);
  if (result.success) return result.output;
  const place = v.getDotPath(result.issues[0]);
  throw damaged(path, place ? `has something wrong at ${place}` : 'is not what it should be');
};

const readManifest = async (file: Blob, entries: ReadonlyMap<string, ZipEntry>): Promise<Manifest> => {
  const entry = entries.get('manifest.json');
  if (!entry) throw foreign();
  const value = parseJson(await readZipEntry(file, entry), 'manifest.json');
  const head = v.safeParse(manifestHeadSchema, value);
  if (!head.success) throw foreign();
  if (head.output.version > formatVersion) {
    throw new ArchiveError(
      'tooNew',
      'This archive was saved by a newer version of the app; nothing was changed: reload the page to update the app, then try again.',
    );
  }
  return checked(manifestSchema, value, 'manifest.json');
};

/** Every file is listed exactly once and nothing else is there. */
const checkListing = (manifest: Manifest, entries: ReadonlyMap<string, ZipEntry>): void => {
  const listed = new Set(manifest.files.map((file) => file.path));
  const stranger = [...entries.keys()].find((path) => path !== 'manifest.json' && !listed.has(path));
  if (stranger !== undefined || listed.size !== manifest.files.length) {
    throw new ArchiveError(
      'unsafe',
      'This archive holds a file that does not belong to it, so nothing was taken from it.',
    );
  }
  for (const { path, bytes } of manifest.files) {
    const entry = entries.get(path);
    if (!entry) throw damaged(path, 'is missing');
    if (entry.bytes !== bytes) throw damaged(path, 'has the wrong size');
  }
};

/**
 * Opens an archive and checks all of it: its container, its listing, every checksum and every record.
 * @throws ArchiveError with one sentence when anything is wrong with it.
 */
export const readArchive = async (file: Blob, options: ReadOptions = {}): Promise<ArchiveContents> => {
  const entries = new Map((await readZipDirectory(file)).map((entry) => [entry.name, entry]));
  const manifest = await readManifest(file, entries);
  checkListing(manifest, entries);
  const sums = new Map(manifest.files.map(({ path, sha256: sum }) => [path, sum]));

  const bytesAt = async (path: string): Promise<Uint8Array<ArrayBuffer>> => {
    const entry = entries.get(path);
    if (!entry || !sums.has(path)) throw damaged(path, 'is missing');
    const bytes = await readZipEntry(file, entry);
    if ((await sha256(bytes)) !== sums.get(path)) throw damaged(path, 'does not match its checksum');
    return bytes;
  };
  const recordsAt = async <T>(path: string, schema: v.GenericSchema<unknown, T>): Promise<T> => {
    if ((entries.get(path)?.bytes ?? 0) > maxTextBytes) throw damaged(path, 'is too large');
    return checked(schema, parseJson(await bytesAt(path), path), path);
  };

  /** Archives of the first days have no such file. */
  const laterRecordsAt = async <T>(path: string, schema: v.GenericSchema<unknown, T[]>): Promise<T[]> =>
    sums.has(path) ? recordsAt(path, schema) : [];

  const photos = await recordsAt('photos.json', photosSchema);
  const swatches: Swatch[] = [];
  const ofSwatches: string[] = [];
  let done = 0;
  for (const { path } of manifest.files) {
    stopIfCancelled(options.signal);
    if (path.startsWith('swatches/')) {
      swatches.push(await recordsAt(path, swatchSchema));
      ofSwatches.push(path);
    } else await bytesAt(path);
    done += 1;
    options.onProgress?.(done, manifest.files.length);
  }
  const contents: ArchiveContents = {
    madeAt: manifest.madeAt,
    yarns: await recordsAt('yarns.json', yarnsSchema),
    machines: await recordsAt('machines.json', machinesSchema),
    landmarks: await recordsAt('landmarks.json', landmarksSchema),
    namedReferences: await recordsAt('references.json', namedReferencesSchema),
    turns: await laterRecordsAt('turns.json', turnsSchema),
    sameSettings: await laterRecordsAt('same-settings.json', sameSettingsSchema),
    camLogs: await laterRecordsAt('cam-logs.json', camLogsSchema),
    swatches,
    photos,
    readPhoto: async ({ path, thumbnail, ...facts }) => ({
      ...facts,
      bytes: (await bytesAt(path)).buffer,
      thumbnail: thumbnail && { mime: thumbnail.mime, bytes: (await bytesAt(thumbnail.path)).buffer },
    }),
    photoSha256: ({ path }) => sums.get(path) ?? '',
  };
  checkIdentities(contents, ofSwatches);
  for (const { path, thumbnail } of photos) {
    for (const place of thumbnail ? [path, thumbnail.path] : [path]) {
      if (!sums.has(place)) throw damaged(place, 'is missing');
    }
  }
  return contents;
};

/** No two records of a kind share an id, and each swatch lies where its id says. */
const checkIdentities = (contents: ArchiveContents, swatchPaths: readonly string[]): void => {
  const kinds: readonly [string, readonly { readonly id: Id }[]][] = [
    ['yarns.json', contents.yarns],
    ['machines.json', contents.machines],
    ['landmarks.json', contents.landmarks],
    ['references.json', contents.namedReferences],
    ['turns.json', contents.turns],
    ['same-settings.json', contents.sameSettings],
    ['cam-logs.json', contents.camLogs],
    ['photos.json', contents.photos],
    ['swatches', contents.swatches],
  ];
  for (const [path, records] of kinds) {
    if (new Set(records.map(({ id }) => id)).size !== records.length) {
      throw damaged(path, 'names the same thing twice');
    }
  }
  contents.swatches.forEach(({ id }, index) => {
    const path = swatchPaths[index];
    if (path !== `swatches/${id}.json`)
      throw damaged(path ?? 'swatches', 'holds another swatch than its name says');
  });
};
