import type { Vec } from './raster';
import { cellPx } from './rectify';
import type { Channels } from './template';

/** Values in a picture of one stitch cell. */
const sizeOf = (image: Channels): number => cellPx.width * cellPx.height * image.count;

/** One-cell pictures added up, and how many there are. */
export interface CellSum {
  readonly values: Float32Array;
  count: number;
}

export const noCells = (image: Channels): CellSum => ({ values: new Float32Array(sizeOf(image)), count: 0 });

/** Adds the one-cell picture around a place; one that sticks out of the image is left out. */
export const addCell = (sum: CellSum, image: Channels, place: Vec): void => {
  const { values } = sum;
  const rowLength = cellPx.width * image.count;
  const x0 = Math.round(place.x) - cellPx.width / 2;
  const y0 = Math.round(place.y) - cellPx.height / 2;
  if (x0 < 0 || y0 < 0 || x0 + cellPx.width > image.widthPx || y0 + cellPx.height > image.heightPx) return;
  sum.count++;
  for (let y = 0; y < cellPx.height; y++) {
    const from = ((y0 + y) * image.widthPx + x0) * image.count;
    const to = y * rowLength;
    for (let i = 0; i < rowLength; i++) {
      values[to + i] = (values[to + i] as number) + (image.data[from + i] as number);
    }
  }
};

/** All of some sums together. */
export const together = (image: Channels, sums: readonly CellSum[]): CellSum => {
  const all = noCells(image);
  for (const { values, count } of sums) {
    all.count += count;
    for (let i = 0; i < values.length; i++) all.values[i] = (all.values[i] as number) + (values[i] as number);
  }
  return all;
};

/** The mean of what was added up; null of fewer than `least`. */
export const meanOf = ({ values, count }: CellSum, least: number): Float32Array | null =>
  count < least ? null : values.map((v) => v / count);

/** Mean of the one-cell pictures around places; null when fewer than `least` lie inside the image. */
export const meanCell = (image: Channels, places: readonly Vec[], least: number): Float32Array | null => {
  const sum = noCells(image);
  for (const place of places) addCell(sum, image, place);
  return meanOf(sum, least);
};

/**
 * A picture of one cell less what is the same all the way down each of its columns: only what changes along the wale is left. A fabric whose yarn mostly
 * runs one way looks much like itself anywhere; what changes tells a whole step from a part.
 */
export const withoutColumnMeans = (cell: Float32Array, count: number): Float32Array =>
  withoutMeans(cell, cellPx.width * count, cellPx.height);

/** Likewise less what is the same all along each of its rows: only what changes along the course is left. */
export const withoutRowMeans = (cell: Float32Array, count: number): Float32Array => {
  const rows = Array.from({ length: cellPx.height }, (_, y) =>
    withoutMeans(
      cell.subarray(y * cellPx.width * count, (y + 1) * cellPx.width * count),
      count,
      cellPx.width,
    ),
  );
  const out = new Float32Array(cell.length);
  rows.forEach((row, y) => {
    out.set(row, y * cellPx.width * count);
  });
  return out;
};

/** Takes from each of the interleaved series, `length` values each, its mean. */
export const withoutMeans = (values: Float32Array, series: number, length: number): Float32Array => {
  const out = Float32Array.from(values);
  for (let s = 0; s < series; s++) {
    let sum = 0;
    for (let i = 0; i < length; i++) sum += values[s + i * series] as number;
    for (let i = 0; i < length; i++) {
      const k = s + i * series;
      out[k] = (out[k] as number) - sum / length;
    }
  }
  return out;
};

/** Cosine of the angle between two pictures taken as vectors, −1 to 1; 0 if one of them is missing. */
export const alike = (a: Float32Array | null, b: Float32Array | null): number => {
  if (a === null || b === null) return 0;
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let i = 0; i < a.length; i++) {
    ab += (a[i] as number) * (b[i] as number);
    aa += (a[i] as number) ** 2;
    bb += (b[i] as number) ** 2;
  }
  return ab / Math.sqrt(aa * bb + 1e-9);
};
