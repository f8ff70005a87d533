import type { GreyImage, RgbaImage } from '../image';

/** Cells along the image's longer side: colours are compared with what lies near, since light and ground differ from place to place. */
const cellsAlong = 8;
/** Bins along the two axes of colour, the logarithms of red over green and of blue over green, within ± `colourReach`. */
const colourBins = 24;
const colourReach = 1.2;
/** Width of a bin of log lightness: wide enough that light and shade on one dye share a bin, and white and black do not. */
const lightWidth = 0.5;
/** Added to each channel (0 to 255): in the dark, camera noise is not colour. */
const dark = 12;
const darkest = Math.log(dark);
const lightBins = Math.ceil((Math.log(255 + dark) - darkest) / lightWidth) + 2;
/** Bins of one cell. */
const dyes = colourBins * colourBins * lightBins;
/** Pixels that the dyes are learnt from, about. */
const samples = 250_000;
/** As many imagined pixels of the cell’s mean lightness in each bin: what stands where no pixel was seen. */
const prior = 0.1;
/** Grey levels from middle grey that the strongest light and shade come near. */
const contrast = 100;
/** Where light and shade begin to be bent down, in medians of their size: the seams between dyes leave traces many times as strong as the stitches. */
const bend = 3;

/**
 * The picture in grey with the lightness of the dye taken out; what is left is light and shade. Shade moves a pixel's lightness a little and leaves its
 * colour, another dye moves both: stripes and marl vanish, and the stitches stay.
 * How light each dye is gets learnt place by place: mean log lightness over a grid in space, colour and coarse lightness, smoothed along every axis (a
 * bilateral grid: Chen, Paris and Durand, Real-time Edge-Aware Image Processing with the Bilateral Grid, ACM Transactions on Graphics 26 (3), 2007).
 */
export const withoutDye = (image: RgbaImage): RgbaImage => {
  const { widthPx, heightPx } = image;
  const cells = cellsOf(image);
  const expected = learn(image, cells);
  const row = new Float32Array(cells.across * dyes);
  const pixel: Pixel = { u: 0, v: 0, w: 0, light: 0 };
  const shade = new Float32Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    blendRows(expected, y / cells.sizePx, row);
    for (let x = 0; x < widthPx; x++) {
      const k = y * widthPx + x;
      read(image, k, pixel);
      shade[k] = pixel.light - between(row, x / cells.sizePx, pixel);
    }
  }
  return inGrey({ widthPx, heightPx, data: shade });
};

/** Light and shade as a picture in grey; what is many times stronger than usual is bent down. */
const inGrey = ({ widthPx, heightPx, data: shade }: GreyImage): RgbaImage => {
  const few = shade
    .filter((_, i) => i % 61 === 0)
    .map(Math.abs)
    .sort();
  const usual = bend * (few[few.length >> 1] as number) + 1e-6;
  const data = new Uint8ClampedArray(4 * shade.length);
  for (let k = 0; k < shade.length; k++) {
    const d = (shade[k] as number) / usual;
    data[4 * k] = data[4 * k + 1] = data[4 * k + 2] = 128 + (contrast * d) / Math.sqrt(1 + d * d);
    data[4 * k + 3] = 255;
  }
  return { widthPx, heightPx, data };
};

/** Cells that cover the picture; their centres lie at whole multiples of the size. */
interface Cells {
  readonly sizePx: number;
  readonly across: number;
  readonly down: number;
}

const cellsOf = ({ widthPx, heightPx }: RgbaImage): Cells => {
  const sizePx = Math.max(widthPx, heightPx) / cellsAlong;
  return { sizePx, across: Math.floor(widthPx / sizePx) + 2, down: Math.floor(heightPx / sizePx) + 2 };
};

/** Where a pixel lies in the bins, and its log lightness. */
interface Pixel {
  u: number;
  v: number;
  w: number;
  light: number;
}

/** Reads pixel k into `to`. Weights of lightness: Rec. ITU-R BT.601-7, section 2.5.1. */
const read = ({ data }: RgbaImage, k: number, to: Pixel): void => {
  const r = (data[4 * k] as number) + dark;
  const g = (data[4 * k + 1] as number) + dark;
  const b = (data[4 * k + 2] as number) + dark;
  to.light = Math.log(0.299 * r + 0.587 * g + 0.114 * b);
  to.u = colourBin(Math.log(r / g));
  to.v = colourBin(Math.log(b / g));
  to.w = (to.light - darkest) / lightWidth;
};

const colourBin = (ratio: number): number =>
  Math.min(colourBins - 1.001, Math.max(0, (ratio / colourReach + 1) * 0.5 * (colourBins - 1)));

/** Mean log lightness by cell (row by row) and dye. */
const learn = (image: RgbaImage, { sizePx, across, down }: Cells): Float32Array => {
  const { widthPx, heightPx } = image;
  const step = Math.max(1, Math.round(Math.sqrt((widthPx * heightPx) / samples)));
  const sum = new Float32Array(across * down * dyes);
  const count = new Float32Array(across * down * dyes);
  const pixel: Pixel = { u: 0, v: 0, w: 0, light: 0 };
  for (let y = step >> 1; y < heightPx; y += step) {
    for (let x = step >> 1; x < widthPx; x += step) {
      read(image, y * widthPx + x, pixel);
      const cell = Math.round(y / sizePx) * across + Math.round(x / sizePx);
      const dye = (Math.round(pixel.w) * colourBins + Math.round(pixel.v)) * colourBins + Math.round(pixel.u);
      const k = cell * dyes + dye;
      sum[k] = (sum[k] as number) + pixel.light;
      count[k] = (count[k] as number) + 1;
    }
  }
  const shape = [colourBins, colourBins, lightBins, across, down];
  return means(smoothed(sum, shape), smoothed(count, shape));
};

const means = (sum: Float32Array, count: Float32Array): Float32Array => {
  const out = new Float32Array(sum.length);
  for (let from = 0; from < sum.length; from += dyes) {
    const mean = total(sum, from) / Math.max(1e-6, total(count, from));
    for (let k = from; k < from + dyes; k++)
      out[k] = ((sum[k] as number) + prior * mean) / ((count[k] as number) + prior);
  }
  return out;
};

const total = (values: Float32Array, from: number): number => {
  let sum = 0;
  for (let k = from; k < from + dyes; k++) sum += values[k] as number;
  return sum;
};

/** Smoothed by [1 2 1] / 4 along every axis; the first axis lies closest in memory. Beyond the border there is nothing. */
const smoothed = (values: Float32Array, shape: readonly number[]): Float32Array => {
  let from = values;
  let stride = 1;
  for (const length of shape) {
    const to = new Float32Array(from.length);
    for (let i = 0; i < from.length; i++) {
      const at = Math.floor(i / stride) % length;
      const before = at > 0 ? (from[i - stride] as number) : 0;
      const after = at < length - 1 ? (from[i + stride] as number) : 0;
      to[i] = 0.25 * before + 0.5 * (from[i] as number) + 0.25 * after;
    }
    from = to;
    stride *= length;
  }
  return from;
};

/** Writes the row of cells that lies `y` cells down into `to`, interpolated. */
const blendRows = (values: Float32Array, y: number, to: Float32Array): void => {
  const above = Math.floor(y) * to.length;
  const below = above + to.length;
  const share = y - Math.floor(y);
  for (let k = 0; k < to.length; k++)
    to[k] = (1 - share) * (values[above + k] as number) + share * (values[below + k] as number);
};

/** Linear interpolation in a row of cells, `x` cells along, at a pixel's bins. */
const between = (row: Float32Array, x: number, { u, v, w }: Pixel): number => {
  const u0 = Math.floor(u);
  const v0 = Math.floor(v);
  const w0 = Math.floor(w);
  const x0 = Math.floor(x);
  let sum = 0;
  for (let i = 0; i <= 1; i++) {
    const cell = (x0 + i) * dyes;
    const shareX = i === 0 ? 1 - x + x0 : x - x0;
    for (let j = 0; j <= 1; j++) {
      const plane = cell + (w0 + j) * colourBins * colourBins;
      const shareW = shareX * (j === 0 ? 1 - w + w0 : w - w0);
      const k = plane + v0 * colourBins + u0;
      const near = (row[k] as number) * (1 - u + u0) + (row[k + 1] as number) * (u - u0);
      const far =
        (row[k + colourBins] as number) * (1 - u + u0) + (row[k + colourBins + 1] as number) * (u - u0);
      sum += shareW * (near * (1 - v + v0) + far * (v - v0));
    }
  }
  return sum;
};
