import type { PhotoFacts } from '../../src/domain/measurement';
import { VisionFailure } from '../contract';
import type { WorkImage } from '../image';
import { admitPhoto, checkSize } from './admit';
import type { Decode, DecodedPhoto } from './decoded';
import type { PhotoHeader, PhotoKind } from './header';
import { qualityOf } from './quality';
import { photoRemarks } from './remarks';
import { workImageOf } from './workImage';

/** A photo that is ready to be measured. */
export interface OpenedPhoto {
  readonly facts: PhotoFacts;
  readonly work: WorkImage;
}

const mimes: Record<PhotoKind, string> = {
  jpeg: 'image/jpeg',
  png: 'image/png',
  webp: 'image/webp',
  avif: 'image/avif',
  heic: 'image/heic',
  gif: 'image/gif',
};

const undecodable = (header: PhotoHeader, cause: unknown): VisionFailure =>
  new VisionFailure(
    'photoNotDecodable',
    header.kind === 'heic'
      ? 'This is a HEIC photo, which cannot be opened here. Save or share it as JPEG ("most compatible") and choose that.'
      : 'This photo is damaged and cannot be opened. Copy it from the camera again, or choose another.',
    { cause },
  );

const decoded = async (bytes: Uint8Array, header: PhotoHeader, decode: Decode): Promise<DecodedPhoto> => {
  try {
    return await decode(bytes, header);
  } catch (cause) {
    throw undecodable(header, cause);
  }
};

/**
 * Opens a photo: checks it before decoding, decodes it upright, makes the work image and looks at its quality.
 * @throws VisionFailure with a sentence for the user when the photo cannot be used.
 */
export const openPhoto = async (bytes: Uint8Array, decode: Decode): Promise<OpenedPhoto> => {
  const header = admitPhoto(bytes);
  const photo = await decoded(bytes, header, decode);
  try {
    checkSize(photo.widthPx, photo.heightPx);
    const work = workImageOf(photo);
    const facts: PhotoFacts = {
      widthPx: photo.widthPx,
      heightPx: photo.heightPx,
      mime: mimes[header.kind],
      takenAt: header.exif.takenAt,
      focalLength35Mm: header.exif.focalLength35Mm,
      remarks: photoRemarks(header, qualityOf(work.image), work.photoPxPerWorkPx),
    };
    return { facts, work };
  } finally {
    photo.close();
  }
};
