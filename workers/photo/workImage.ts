import type { RgbaImage, WorkImage } from '../image';
import type { DecodedPhoto } from './decoded';

/**
 * Largest work image, in pixels. Reading stitches needs about eight pixels a stitch, finding lines of a mat needs far
 * fewer; beyond this size time and memory grow and accuracy does not.
 */
export const WORK_IMAGE_MAX_PX = 6_000_000;

/** Rows read from the decoder at a time. */
const BAND_ROWS = 128;

/** Which source pixels an output pixel covers along one axis, and by how much. */
interface Cover {
  readonly first: Int32Array;
  readonly last: Int32Array;
  readonly firstShare: Float32Array;
  readonly lastShare: Float32Array;
}

const coverOf = (outputs: number, step: number, inputs: number): Cover => {
  const cover: Cover = {
    first: new Int32Array(outputs),
    last: new Int32Array(outputs),
    firstShare: new Float32Array(outputs),
    lastShare: new Float32Array(outputs),
  };
  for (let i = 0; i < outputs; i += 1) {
    const from = i * step;
    const to = Math.min((i + 1) * step, inputs);
    const first = Math.min(Math.floor(from), inputs - 1);
    const last = Math.max(first, Math.min(Math.ceil(to) - 1, inputs - 1));
    cover.first[i] = first;
    cover.last[i] = last;
    cover.firstShare[i] = Math.min(first + 1, to) - from;
    cover.lastShare[i] = last === first ? 0 : to - last;
  }
  return cover;
};

/** Adds one row of RGBA bytes, times `share`, to `sums`; alpha is left out. */
const addRow = (sums: Float32Array, row: Uint8ClampedArray, share: number): void => {
  for (let i = 0; i < sums.length; i += 4) {
    sums[i] = (sums[i] as number) + share * (row[i] as number);
    sums[i + 1] = (sums[i + 1] as number) + share * (row[i + 1] as number);
    sums[i + 2] = (sums[i + 2] as number) + share * (row[i + 2] as number);
  }
};

/** Averages summed rows across into one row of opaque output pixels; `area` is how many source pixels each covers. */
const writeRow = (
  data: Uint8ClampedArray,
  row: number,
  sums: Float32Array,
  { first, last, firstShare, lastShare }: Cover,
  area: number,
): void => {
  const scale = 1 / area;
  let to = row * first.length * 4;
  for (let i = 0; i < first.length; i += 1, to += 4) {
    const begin = 4 * (first[i] as number);
    const end = 4 * (last[i] as number);
    const head = firstShare[i] as number;
    const tail = lastShare[i] as number;
    let r = head * (sums[begin] as number) + tail * (sums[end] as number);
    let g = head * (sums[begin + 1] as number) + tail * (sums[end + 1] as number);
    let b = head * (sums[begin + 2] as number) + tail * (sums[end + 2] as number);
    for (let p = begin + 4; p < end; p += 4) {
      r += sums[p] as number;
      g += sums[p + 1] as number;
      b += sums[p + 2] as number;
    }
    data[to] = scale * r;
    data[to + 1] = scale * g;
    data[to + 2] = scale * b;
    data[to + 3] = 255;
  }
};

const copyWhole = (photo: DecodedPhoto): RgbaImage => {
  const data = new Uint8ClampedArray(photo.widthPx * photo.heightPx * 4);
  for (let from = 0; from < photo.heightPx; from += BAND_ROWS) {
    const count = Math.min(BAND_ROWS, photo.heightPx - from);
    data.set(photo.rows(from, count), from * photo.widthPx * 4);
  }
  return { widthPx: photo.widthPx, heightPx: photo.heightPx, data };
};

/** Rows are summed first and averaged across once a finished row: most of the work is then one plain loop over bytes. */
const shrink = (photo: DecodedPhoto, step: number): RgbaImage => {
  const widthPx = Math.max(1, Math.floor(photo.widthPx / step));
  const heightPx = Math.max(1, Math.floor(photo.heightPx / step));
  const data = new Uint8ClampedArray(widthPx * heightPx * 4);
  const across = coverOf(widthPx, step, photo.widthPx);
  const stride = photo.widthPx * 4;
  const sums = new Float32Array(stride);
  let row = 0;
  for (let from = 0; from < photo.heightPx && row < heightPx; from += BAND_ROWS) {
    const count = Math.min(BAND_ROWS, photo.heightPx - from);
    const band = photo.rows(from, count);
    for (let y = from; y < from + count && row < heightPx; y += 1) {
      const source = band.subarray((y - from) * stride, (y - from + 1) * stride);
      const end = (row + 1) * step;
      addRow(sums, source, Math.min(1, end - y));
      if (y + 1 < end) continue;
      writeRow(data, row, sums, across, step * step);
      sums.fill(0);
      row += 1;
      if (y + 1 > end) addRow(sums, source, y + 1 - end);
    }
  }
  return { widthPx, heightPx, data };
};

/**
 * The picture that the vision stages work on: the photo averaged over areas down to at most `maxPx` pixels, never
 * enlarged. Both axes shrink by exactly the same factor; less than one work pixel is lost at the right and lower edge.
 */
export const workImageOf = (photo: DecodedPhoto, maxPx: number = WORK_IMAGE_MAX_PX): WorkImage => {
  const step = Math.sqrt((photo.widthPx * photo.heightPx) / maxPx);
  if (step <= 1) return { image: copyWhole(photo), photoPxPerWorkPx: 1 };
  return { image: shrink(photo, step), photoPxPerWorkPx: step };
};
