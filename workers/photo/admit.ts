import { VisionFailure } from '../contract';
import { type PhotoHeader, readHeader } from './header';
import { type FileKind, sniffKind } from './sniff';

/** Largest photo that is decoded at all; its header is asked first, because decoding takes 4 bytes of memory a pixel. */
export const PHOTO_MAX_PX = 80_000_000;

/** Shortest side with which a swatch and a reference can both be made out. */
export const PHOTO_MIN_SIDE_PX = 200;

const refusals: Partial<Record<FileKind, string>> = {
  empty: 'This file is empty. Choose the photo again, or copy it from the camera once more.',
  text: 'This is a text file, whatever its name says, and not a photo. Choose a JPEG, PNG, WebP or AVIF photo.',
  pdf: 'This is a PDF document and not a photo. Choose a JPEG, PNG, WebP or AVIF photo.',
  tiff: 'This is a TIFF file, which cannot be read here. Save it as JPEG or PNG and choose that.',
  bmp: 'This is a BMP file, which cannot be read here. Save it as JPEG or PNG and choose that.',
  unknown: 'This file is not a photo of a kind known here. Choose a JPEG, PNG, WebP or AVIF photo.',
};

const cutShort = (): VisionFailure =>
  new VisionFailure(
    'photoTruncated',
    'This photo is cut short: the end of the file is missing. Copy it from the camera again and choose the new copy.',
  );

const megapixels = (px: number): string => `${Math.round(px / 1e6)} megapixels`;

/** Refuses sizes that are too large to decode or too small to measure. @throws VisionFailure */
export const checkSize = (widthPx: number, heightPx: number): void => {
  if (widthPx * heightPx > PHOTO_MAX_PX) {
    throw new VisionFailure(
      'photoTooLarge',
      `This photo has ${megapixels(widthPx * heightPx)}; at most ${megapixels(PHOTO_MAX_PX)} can be read. Save a smaller copy and choose that.`,
    );
  }
  if (Math.min(widthPx, heightPx) < PHOTO_MIN_SIDE_PX) {
    throw new VisionFailure(
      'photoTooSmall',
      `This photo is only ${widthPx} × ${heightPx} pixels; the shorter side needs at least ${PHOTO_MIN_SIDE_PX}. Choose the photo as the camera took it.`,
    );
  }
};

/**
 * Looks at a photo's bytes and decides whether it is worth decoding, without decoding anything.
 * @throws VisionFailure with a sentence for the user when it is not.
 */
export const admitPhoto = (data: Uint8Array): PhotoHeader => {
  const kind = sniffKind(data);
  switch (kind) {
    case 'jpeg':
    case 'png':
    case 'webp':
    case 'avif':
    case 'heic':
    case 'gif': {
      const header = readHeader(data, kind);
      if (!header) throw cutShort();
      checkSize(header.widthPx, header.heightPx);
      if (!header.complete) throw cutShort();
      return header;
    }
    default:
      throw new VisionFailure('photoUnknownKind', refusals[kind] ?? 'This file is not a photo.');
  }
};
