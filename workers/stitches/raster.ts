import type { GreyImage, RgbaImage } from '../image';

/** A displacement or position in pixels of whatever raster is at hand. */
export interface Vec {
  readonly x: number;
  readonly y: number;
}

export const vec = (x: number, y: number): Vec => ({ x, y });
export const lengthOf = (v: Vec): number => Math.hypot(v.x, v.y);

/**
 * Luma of an RGBA picture, averaged over cells so that one output pixel covers `shrink` × `shrink` input pixels (area average, so that
 * nothing aliases); below 1 it is enlarged, with values read between the pixels. Values 0 to 255. Weights: Rec. ITU-R BT.601-7, section 2.5.1.
 * @param shrink Input pixels per output pixel; need not be whole.
 */
export const lumaShrunk = (image: RgbaImage, shrink: number): GreyImage =>
  shrink < 1 ? enlarged(averagedLuma(image, 1), shrink) : averagedLuma(image, shrink);

const enlarged = (image: GreyImage, step: number): GreyImage => {
  const widthPx = Math.floor(image.widthPx / step);
  const heightPx = Math.floor(image.heightPx / step);
  const data = new Float32Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      data[y * widthPx + x] = sample(image, (x + 0.5) * step, (y + 0.5) * step);
  return { widthPx, heightPx, data };
};

const averagedLuma = (image: RgbaImage, shrink: number): GreyImage => {
  const widthPx = Math.max(1, Math.floor(image.widthPx / shrink));
  const heightPx = Math.max(1, Math.floor(image.heightPx / shrink));
  const columns = spans(widthPx, shrink, image.widthPx);
  const rows = spans(heightPx, shrink, image.heightPx);
  const out = new Float32Array(widthPx * heightPx);
  const lumaRow = new Float32Array(image.widthPx);
  for (let r = 0; r < heightPx; r++) {
    const sum = sumLumaRows(image, rows.first[r] as number, rows.last[r] as number, lumaRow);
    for (let c = 0; c < widthPx; c++) {
      let total = 0;
      const x0 = columns.first[c] as number;
      const x1 = columns.last[c] as number;
      for (let x = x0; x <= x1; x++) total += sum[x] as number;
      out[r * widthPx + c] =
        total / ((x1 - x0 + 1) * ((rows.last[r] as number) - (rows.first[r] as number) + 1));
    }
  }
  return { widthPx, heightPx, data: out };
};

const spans = (count: number, step: number, limit: number) => {
  const first = new Int32Array(count);
  const last = new Int32Array(count);
  for (let i = 0; i < count; i++) {
    first[i] = Math.min(limit - 1, Math.round(i * step));
    last[i] = Math.min(limit - 1, Math.max(first[i] as number, Math.round((i + 1) * step) - 1));
  }
  return { first, last };
};

const sumLumaRows = (image: RgbaImage, y0: number, y1: number, row: Float32Array): Float32Array => {
  row.fill(0);
  const { data, widthPx } = image;
  for (let y = y0; y <= y1; y++) {
    let k = y * widthPx * 4;
    for (let x = 0; x < widthPx; x++, k += 4) {
      row[x] =
        (row[x] as number) +
        0.299 * (data[k] as number) +
        0.587 * (data[k + 1] as number) +
        0.114 * (data[k + 2] as number);
    }
  }
  return row;
};

/** Box blur with a window of 2·radius + 1 pixels, edges repeated; two passes of it come close to a Gaussian. */
export const boxBlur = (image: GreyImage, radiusPx: number): GreyImage => {
  const { widthPx: w, heightPx: h } = image;
  const norm = 1 / (2 * radiusPx + 1);
  const middle = blurredRows(image, radiusPx, norm);
  const out = new Float32Array(w * h);
  const sums = new Float64Array(w);
  for (let y = -radiusPx; y <= radiusPx; y++) addRow(sums, middle, clamp(y, h) * w);
  for (let y = 0; y < h; y++) {
    const base = y * w;
    const enters = clamp(y + radiusPx + 1, h) * w;
    const leaves = clamp(y - radiusPx, h) * w;
    for (let x = 0; x < w; x++) {
      const sum = sums[x] as number;
      out[base + x] = sum * norm;
      sums[x] = sum + (middle[enters + x] as number) - (middle[leaves + x] as number);
    }
  }
  return { widthPx: w, heightPx: h, data: out };
};

/** Each row blurred by itself. */
const blurredRows = (
  { widthPx: w, heightPx: h, data }: GreyImage,
  radiusPx: number,
  norm: number,
): Float32Array => {
  const out = new Float32Array(w * h);
  const window = 2 * radiusPx + 1;
  const padded = new Float32Array(w + window);
  for (let y = 0; y < h; y++) {
    const base = y * w;
    padded.fill(data[base] as number, 0, radiusPx);
    padded.set(data.subarray(base, base + w), radiusPx);
    padded.fill(data[base + w - 1] as number, radiusPx + w);
    let sum = 0;
    for (let i = 0; i < window; i++) sum += padded[i] as number;
    for (let x = 0; x < w; x++) {
      out[base + x] = sum * norm;
      sum += (padded[x + window] as number) - (padded[x] as number);
    }
  }
  return out;
};

const clamp = (i: number, limit: number): number => (i < 0 ? 0 : i >= limit ? limit - 1 : i);

const addRow = (sums: Float64Array, data: Float32Array, base: number): void => {
  for (let x = 0; x < sums.length; x++) sums[x] = (sums[x] as number) + (data[base + x] as number);
};

/** Bilinear value at a continuous position (pixel centres at + 0.5); positions outside repeat the edge. */
export const sample = (image: GreyImage, x: number, y: number): number => {
  const { widthPx: w, heightPx: h, data } = image;
  const fx = Math.min(Math.max(x - 0.5, 0), w - 1.001);
  const fy = Math.min(Math.max(y - 0.5, 0), h - 1.001);
  const ix = Math.floor(fx);
  const iy = Math.floor(fy);
  const tx = fx - ix;
  const ty = fy - iy;
  const k = iy * w + ix;
  const top = (data[k] as number) * (1 - tx) + (data[k + 1] as number) * tx;
  const bottom = (data[k + w] as number) * (1 - tx) + (data[k + w + 1] as number) * tx;
  return top * (1 - ty) + bottom * ty;
};

/** Where the sampled local maximum lies, by a parabola through three neighbours; within ± 0.5 of the middle one. */
export const parabolaShift = (before: number, middle: number, after: number): number => {
  const curve = before - 2 * middle + after;
  return curve >= 0 ? 0 : Math.max(-0.5, Math.min(0.5, (0.5 * (before - after)) / curve));
};

export const medianOf = (values: readonly number[]): number => {
  if (values.length === 0) return 0;
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1
    ? (sorted[half] as number)
    : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
};
