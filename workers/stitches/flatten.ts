import type { GreyImage } from '../image';
import { boxBlur } from './raster';

/** Deviation (in luma steps) below which a place counts as flat: camera noise must not be blown up into texture. */
const noiseFloor = 0.6;
/** Beyond this many deviations a value is cut, so that glints and pinholes do not outweigh the stitches. */
const limit = 3;

/**
 * Evens out light, shadow and colour: each pixel becomes its distance from the local mean in local deviations.
 * Local means within about ± `reachPx` (two box passes, near a Gaussian of deviation 0.8 · reach).
 */
export const flatten = (image: GreyImage, reachPx: number): GreyImage => {
  const radius = Math.max(1, Math.round(reachPx));
  const mean = boxBlur(boxBlur(image, radius), radius).data;
  const count = image.data.length;
  const out = new Float32Array(count);
  const squares = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const d = (image.data[i] as number) - (mean[i] as number);
    out[i] = d;
    squares[i] = d * d;
  }
  const { widthPx, heightPx } = image;
  const variance = boxBlur(boxBlur({ widthPx, heightPx, data: squares }, radius), radius).data;
  for (let i = 0; i < count; i++) {
    const v = (out[i] as number) / Math.sqrt((variance[i] as number) + noiseFloor * noiseFloor);
    out[i] = Math.min(limit, Math.max(-limit, v));
  }
  return { widthPx, heightPx, data: out };
};
