import { Zip, ZipDeflate, ZipPassThrough } from 'fflate';
import * as v from 'valibot';
import { withLandmarkProfile, withProfile } from '../../domain/machineRecords';
import type { Id, Swatch } from '../../domain/records';
import type { Database } from '../database';
import { now } from '../ids';
import { readPhoto } from '../photos';
import { readSwatch } from '../swatches';
import { ArchiveError, stopIfCancelled } from './archiveError';
import { readCompanions } from './companions';
import { archiveReadme } from './readme';
import { formatName, formatVersion, type Manifest, type PhotoEntry, swatchSchema } from './schemas';
import { sha256 } from './sha256';
import { withoutPlace } from './withoutPlace';
import { maxEntries } from './zipReader';

export interface PackOptions {
  /** The swatches to take, with all that they refer to; everything in the notebook when left out. */
  readonly swatchIds?: readonly Id[];
  /** Photos without where they were taken instead of the originals, for an archive that is given away. */
  readonly withoutPlaces?: boolean;
  readonly signal?: AbortSignal;
  /** Told after each swatch. */
  readonly onProgress?: (done: number, of: number) => void;
}

export interface PackedArchive {
  readonly file: Blob;
  readonly fileName: string;
  readonly swatches: number;
  /** One sentence each: what did not go in as it is. */
  readonly remarks: readonly string[];
}

/** A zip file without the 64-bit extension ends at 4 GiB; some room is left for its table of contents. */
const maxBytes = 0xffffffff - 64 * 2 ** 20;
/** Once so much has gathered in memory it is handed to the browser, which may put it on disk. */
const handOverBytes = 32 * 2 ** 20;

/** Writes a zip file part by part; photos are stored, texts deflated. */
const createWriter = (madeAt: string) => {
  const files: { path: string; bytes: number; sha256: string }[] = [];
  let parts: BlobPart[] = [];
  let gathered = 0;
  let total = 0;
  const zip = new Zip((error, chunk) => {
    if (error) throw error;
    parts.push(chunk as Uint8Array<ArrayBuffer>);
    gathered += chunk.length;
    total += chunk.length;
    if (gathered > handOverBytes) {
      parts = [new Blob(parts)];
      gathered = 0;
    }
  });
  const put = (path: string, bytes: Uint8Array, deflate: boolean): void => {
    const entry = deflate ? new ZipDeflate(path, { level: 6 }) : new ZipPassThrough(path);
    entry.mtime = madeAt;
    zip.add(entry);
    entry.push(bytes, true);
  };
  const add = async (path: string, bytes: Uint8Array<ArrayBuffer>, deflate: boolean): Promise<void> => {
    if (total + bytes.length > maxBytes || files.length + 2 > maxEntries) {
      throw new ArchiveError(
        'tooLarge',
        'One archive holds up to 4 GB and 65,000 files, and this is more: select some of the swatches and save several archives.',
      );
    }
    files.push({ path, bytes: bytes.length, sha256: await sha256(bytes) });
    put(path, bytes, deflate);
  };
  return {
    addBytes: (path: string, bytes: ArrayBuffer) => add(path, new Uint8Array(bytes), false),
    addText: (path: string, text: string) => add(path, new TextEncoder().encode(text), true),
    finish: (): Blob => {
      const manifest: Manifest = { format: formatName, version: formatVersion, madeAt, files };
      put('manifest.json', new TextEncoder().encode(JSON.stringify(manifest, null, 1)), true);
      zip.end();
      return new Blob(parts, { type: 'application/zip' });
    },
  };
};

const ending: Readonly<Record<string, string>> = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
  'image/avif': 'avif',
  'image/heic': 'heic',
  'image/heif': 'heif',
};
const pathOf = (folder: string, id: Id, mime: string): string => `${folder}/${id}.${ending[mime] ?? 'img'}`;

/** A swatch as it will read when it comes back; the measurement stays out when it holds what JSON cannot. */
const writable = (swatch: Swatch): { text: string; whole: boolean } => {
  const text = JSON.stringify(swatch);
  if (v.safeParse(swatchSchema, JSON.parse(text)).success) return { text, whole: true };
  return { text: JSON.stringify({ ...swatch, measurement: null }), whole: false };
};

/**
 * Everything (or a selection) as one zip file that `readArchive` reads back exactly. Photos go in byte for byte, unless their places are to be left out.
 * @throws ArchiveError when it would be too large or was cancelled; StorageError-like failures of the database pass through.
 */
export const packArchive = async (database: Database, options: PackOptions = {}): Promise<PackedArchive> => {
  const { swatchIds, withoutPlaces = false, signal, onProgress } = options;
  const madeAt = now();
  const writer = createWriter(madeAt);
  await writer.addText('README.txt', archiveReadme);
  const companions = await readCompanions(database, swatchIds);
  const { yarns, machines, landmarks, references } = companions;
  await writer.addText('yarns.json', JSON.stringify(yarns));
  await writer.addText('machines.json', JSON.stringify(machines));
  await writer.addText('landmarks.json', JSON.stringify(landmarks));
  await writer.addText('references.json', JSON.stringify(references));
  await writer.addText('turns.json', JSON.stringify(companions.turns));
  await writer.addText('same-settings.json', JSON.stringify(companions.sameSettings));
  await writer.addText('cam-logs.json', JSON.stringify(companions.camLogs));

  const ids = swatchIds ?? (await database.swatches.toCollection().primaryKeys());
  const photos = new Map<Id, PhotoEntry>();
  let withoutMeasurement = 0;
  const addPhoto = async (photoId: Id | null | undefined): Promise<void> => {
    const photo = photoId == null || photos.has(photoId) ? undefined : await readPhoto(database, photoId);
    if (!photo) return;
    const { bytes, thumbnail, ...facts } = photo;
    const path = pathOf('photos', photo.id, photo.mime);
    await writer.addBytes(path, withoutPlaces ? withoutPlace(bytes) : bytes);
    const thumbnailPath = thumbnail && pathOf('thumbnails', photo.id, thumbnail.mime);
    if (thumbnail && thumbnailPath) await writer.addBytes(thumbnailPath, thumbnail.bytes);
    photos.set(photo.id, {
      ...facts,
      path,
      thumbnail: thumbnail && thumbnailPath ? { mime: thumbnail.mime, path: thumbnailPath } : null,
    });
  };
  for (const { photoId } of [...yarns, ...machines.map(withProfile), ...landmarks.map(withLandmarkProfile)]) {
    await addPhoto(photoId);
  }
  let done = 0;
  for (const id of ids) {
    stopIfCancelled(signal);
    const found = await readSwatch(database, id);
    if (!found) continue;
    const { text, whole } = writable(found.swatch);
    if (!whole) withoutMeasurement += 1;
    await writer.addText(`swatches/${id}.json`, text);
    await addPhoto(found.swatch.photoId);
    done += 1;
    onProgress?.(done, ids.length);
  }
  await writer.addText('photos.json', JSON.stringify([...photos.values()]));
  stopIfCancelled(signal);
  const remarks =
    withoutMeasurement === 0
      ? []
      : [
          `${withoutMeasurement} of the swatches went in without what the photo showed, because it holds numbers that cannot be written; their records are complete.`,
        ];
  return {
    file: writer.finish(),
    fileName: `walewright-${madeAt.slice(0, 16).replace(/[T:]/g, '-')}.zip`,
    swatches: done,
    remarks,
  };
};
