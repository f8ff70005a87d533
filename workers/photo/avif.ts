import type { Bytes } from './bytes';
import { noExif } from './exif';
import type { PhotoHeader } from './header';

interface Box {
  readonly name: string;
  /** First byte of its content and the first one after it, as the box itself states. */
  readonly from: number;
  readonly to: number;
}

/** Boxes of ISO/IEC 14496-12, clause 4.2, between two offsets; stops where the file does. */
const boxesIn = (bytes: Bytes, from: number, to: number): Box[] => {
  const boxes: Box[] = [];
  let at = from;
  while (at + 8 <= Math.min(to, bytes.length)) {
    const short = bytes.u32(at);
    const header = short === 1 ? 16 : 8;
    const size =
      short === 1 ? bytes.u32(at + 8) * 2 ** 32 + bytes.u32(at + 12) : short === 0 ? to - at : short;
    if (size < header) break;
    boxes.push({ name: bytes.text(at + 4, 4), from: at + header, to: at + size });
    at += size;
  }
  return boxes;
};

const child = (bytes: Bytes, parent: Box, name: string, skip = 0): Box => {
  const found = boxesIn(bytes, parent.from + skip, parent.to).find((box) => box.name === name);
  if (!found) throw new RangeError(`The file has no ${name} box.`);
  return found;
};

/**
 * Reads an AVIF or HEIC file (ISO/IEC 23008-12): its size is the largest of its image extents (tiles and thumbnails are
 * smaller). Rotation is a property of the image there and left to the decoder; an EXIF record is not looked for.
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
    exif: noExif,
    animated: bytes.spells(8, 'avis') || top.some((box) => box.name === 'moov'),
    inks: false,
    complete: last !== undefined && last.to <= bytes.length && top.some((box) => box.name === 'mdat'),
  };
};
