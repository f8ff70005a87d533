/**
 * Reads numbers and names out of a file's bytes. Every read past the end throws a RangeError, which is what a file that
 * was cut short looks like to the readers of its header.
 */
export class Bytes {
  readonly length: number;
  readonly #view: DataView;

  constructor(data: Uint8Array) {
    this.#view = new DataView(data.buffer, data.byteOffset, data.byteLength);
    this.length = data.byteLength;
  }

  u8(at: number): number {
    return this.#view.getUint8(at);
  }

  u16(at: number, littleEndian = false): number {
    return this.#view.getUint16(at, littleEndian);
  }

  u24(at: number, littleEndian = false): number {
    return littleEndian
      ? this.u16(at, true) + 0x10000 * this.u8(at + 2)
      : 0x100 * this.u16(at) + this.u8(at + 2);
  }

  u32(at: number, littleEndian = false): number {
    return this.#view.getUint32(at, littleEndian);
  }

  /** `length` bytes as Latin-1 text. */
  text(at: number, length: number): string {
    let out = '';
    for (let i = at; i < at + length; i += 1) out += String.fromCharCode(this.u8(i));
    return out;
  }

  /** Whether the bytes at `at` spell `wanted`; false past the end. */
  spells(at: number, wanted: string): boolean {
    return at >= 0 && at + wanted.length <= this.length && this.text(at, wanted.length) === wanted;
  }

  /** A part of it, sharing the memory, cut where the file ends. */
  part(at: number, length: number): Bytes {
    if (at > this.length || length < 0) throw new RangeError('Past the end of the file.');
    const available = Math.min(length, this.length - at);
    return new Bytes(new Uint8Array(this.#view.buffer, this.#view.byteOffset + at, available));
  }
}
