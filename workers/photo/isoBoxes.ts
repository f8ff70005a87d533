import type { Bytes } from './bytes';

/** A box of ISO/IEC 14496-12 (ISO base media file format), clause 4.2. */
export interface Box {
  readonly name: string;
  /** First byte of its content and the first one after it, as the box itself states. */
  readonly from: number;
  readonly to: number;
}

/** The boxes between two offsets; stops where the file does. */
export const boxesIn = (bytes: Bytes, from: number, to: number): Box[] => {
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

/** The first box of a name inside another one, after `skip` bytes of its content; undefined when there is none. */
export const findBox = (bytes: Bytes, parent: Box, name: string, skip = 0): Box | undefined =>
  boxesIn(bytes, parent.from + skip, parent.to).find((box) => box.name === name);

/** The same. @throws RangeError when there is none. */
export const child = (bytes: Bytes, parent: Box, name: string, skip = 0): Box => {
  const found = findBox(bytes, parent, name, skip);
  if (!found) throw new RangeError(`The file has no ${name} box.`);
  return found;
};
