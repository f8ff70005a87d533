import type { Bytes } from './bytes';
import type { PhotoHeader } from './header';
import { readHeifExif } from './heifExif';
import { type Box, boxesIn, child } from './isoBoxes';

/**
 * Reads an AVIF or HEIC file (ISO/IEC 23008-12): its size is the largest of its image extents (tiles and thumbnails are
 * smaller). Rotation is a property of the image there and left to the decoder, whatever the EXIF record says of it.
 * @throws RangeError when the file ends before its properties do.
 */
export const readAvif = (bytes: Bytes): Omit<PhotoHeader, 'kind'> => {
  const file: Box = { name: 'file', from: 0, to: bytes.length };
  const top = boxesIn(bytes, 0, bytes.length);
  const meta = child(bytes, file, 'meta');
  const container = child(bytes, child(bytes, meta, 'iprp', 4), 'ipco');
  const extents = boxesIn(bytes, container.from, container.to)
    .filter((box) => box.name === 'ispe')
    .map((box) => ({ widthPx: bytes.u32(box.from + 4), heightPx: bytes.u32(box.from + 8) }))
    .sort((a, b) => b.widthPx * b.heightPx - a.widthPx * a.heightPx);
  const size = extents[0];
  if (!size) throw new RangeError('The file does not say its size.');
  const last = top.at(-1);
  return {
    ...size,
    exif: readHeifExif(bytes, meta),
    animated: bytes.spells(8, 'avis') || top.some((box) => box.name === 'moov'),
    inks: false,
    complete: last !== undefined && last.to <= bytes.length && top.some((box) => box.name === 'mdat'),
  };
};
