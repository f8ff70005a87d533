import { readAvif } from './avif';
import { Bytes } from './bytes';
import type { Exif } from './exif';
import { readGif } from './gif';
import { readJpeg } from './jpeg';
import { readPng } from './png';
import type { FileKind } from './sniff';
import { readWebp } from './webp';

/** The kinds of file whose header can be read. */
export type PhotoKind = Extract<FileKind, 'jpeg' | 'png' | 'webp' | 'avif' | 'heic' | 'gif'>;

/** What a photo's header says, before anything is decoded. */
export interface PhotoHeader {
  readonly kind: PhotoKind;
  /** Size as stored, before the orientation tag turns it. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly exif: Exif;
  /** Holds several pictures, of which the first is used. */
  readonly animated: boolean;
  /** Colours stored as printing inks (four components). */
  readonly inks: boolean;
  /** Whether the file holds everything up to its own end mark. */
  readonly complete: boolean;
}

const readers: Record<PhotoKind, (bytes: Bytes) => Omit<PhotoHeader, 'kind'>> = {
  jpeg: readJpeg,
  png: readPng,
  webp: readWebp,
  avif: readAvif,
  heic: readAvif,
  gif: readGif,
};

/**
 * Reads the header of a photo of a known kind; null when the file ends before its header does or the header makes no sense.
 */
export const readHeader = (data: Uint8Array, kind: PhotoKind): PhotoHeader | null => {
  try {
    return { kind, ...readers[kind](new Bytes(data)) };
  } catch (cause) {
    if (cause instanceof RangeError) return null;
    throw cause;
  }
};
