import type { PhotoHeader } from './header';

/**
 * A decoded photo that hands out its pixels a band of rows at a time, so that no second surface of its full size has to
 * exist. It is upright (EXIF orientation already applied), 8 bits a channel, opaque (laid on white where it was not).
 */
export interface DecodedPhoto {
  readonly widthPx: number;
  readonly heightPx: number;
  /** RGBA bytes of `count` whole rows from row `from` on. */
  rows(from: number, count: number): Uint8ClampedArray;
  /** Frees what the decoder holds; no rows can be read afterwards. */
  close(): void;
}

/**
 * Turns the bytes of a photo into pixels. The browser and Node each bring their own; everything after it is shared.
 * Rejects with whatever the decoder says; the caller turns it into a sentence.
 */
export type Decode = (bytes: Uint8Array, header: PhotoHeader) => Promise<DecodedPhoto>;
