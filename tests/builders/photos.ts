import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { decodeInNode } from '../../cli/decode';
import { type OpenedPhoto, openPhoto } from '../../workers/photo/openPhoto';

/** Folder of the sample photos and their truth files. */
export const sampleFolder = join(import.meta.dirname, '../../sample-images');

/** Reads the bytes of a sample photo, named without its ending: `oatmeal-inch-mat`. */
export const sampleBytes = (name: string): Uint8Array<ArrayBuffer> =>
  new Uint8Array(readFileSync(join(sampleFolder, `${name}.jpg`)));

/** Opens any photo's bytes as the product does, with Node's decoder: facts, header and work image. */
export const openBytes = (bytes: Uint8Array): Promise<OpenedPhoto> => openPhoto(bytes, decodeInNode);

/** Opens a sample photo, named without its ending. */
export const openSample = (name: string): Promise<OpenedPhoto> => openBytes(sampleBytes(name));
