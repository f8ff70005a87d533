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

/** Averages one source row (RGBA bytes from `at` on) into `line` (RGB sums, not yet divided by the covered width). */
const averageRow = (source: Uint8ClampedArray, at: number, cover: Cover, line: Float32Array): void => {
  const { first, last, firstShare, lastShare } = cover;
  for (let i = 0; i < first.length; i += 1) {
    const begin = at + 4 * (first[i] as number);
    const end = at + 4 * (last[i] as number);
    let share = firstShare[i] as number;
    let r = share * (source[begin] as number);
    let g = share * (source[begin + 1] as number);
    let b = share * (source[begin + 2] as number);
    for (let p = begin + 4; p < end; p += 4) {
      r += source[p] as number;
      g += source[p + 1] as number;
      b += source[p + 2] as number;
    }
    share = lastShare[i] as number;
    line[3 * i] = r + share * (source[end] as number);
    line[3 * i + 1] = g + share * (source[end + 1] as number);
    line[3 * i + 2] = b + share * (source[end + 2] as number);
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

/** Adds `line` times `share` to `sum`. */
const addLine = (sum: Float32Array, line: Float32Array, share: number): void => {
  for (let i = 0; i < sum.length; i += 1) sum[i] = (sum[i] as number) + share * (line[i] as number);
};

const writeRow = (data: Uint8ClampedArray, row: number, sum: Float32Array, area: number): void => {
  const pixels = sum.length / 3;
  let to = row * pixels * 4;
  for (let i = 0; i < pixels; i += 1, to += 4) {
    data[to] = (sum[3 * i] as number) / area;
    data[to + 1] = (sum[3 * i + 1] as number) / area;
    data[to + 2] = (sum[3 * i + 2] as number) / area;
    data[to + 3] = 255;
  }
};

const shrink = (photo: DecodedPhoto, step: number): RgbaImage => {
  const widthPx = Math.max(1, Math.floor(photo.widthPx / step));
  const heightPx = Math.max(1, Math.floor(photo.heightPx / step));
  const data = new Uint8ClampedArray(widthPx * heightPx * 4);
  const across = coverOf(widthPx, step, photo.widthPx);
  const line = new Float32Array(widthPx * 3);
  const sum = new Float32Array(widthPx * 3);
  let row = 0;
  for (let from = 0; from < photo.heightPx && row < heightPx; from += BAND_ROWS) {
    const count = Math.min(BAND_ROWS, photo.heightPx - from);
    const band = photo.rows(from, count);
    for (let y = from; y < from + count && row < heightPx; y += 1) {
      averageRow(band, (y - from) * photo.widthPx * 4, across, line);
      const end = (row + 1) * step;
      if (y + 1 < end) {
        addLine(sum, line, Math.min(1, y + 1 - row * step));
        continue;
      }
      addLine(sum, line, end - Math.max(y, row * step));
      writeRow(data, row, sum, step * step);
      sum.fill(0);
      row += 1;
      if (y + 1 > end) addLine(sum, line, y + 1 - end);
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
