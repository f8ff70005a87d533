import type { GreyImage } from '../image';
import { boxBlur } from './raster';

/**
 * Which way the yarn runs at each pixel, as the two parts of a doubled angle (cos 2θ, sin 2θ) weighted by how clear the direction is: the squared
 * gradient (g·g as a complex number), divided by its local strength.
 * Opposite contrasts give the same value, so that colour changes along the yarn (marl, speckle, stripes) cancel out, and the two legs of a stitch, which
 * mirror each other, give opposite sines: half a wale is never mistaken for a whole one by this picture.
 * Doubled-angle form: Granlund and Knutsson, Signal Processing for Computer Vision, 1995.
 * @param reachPx Local strength is averaged over about ± this many px.
 */
export const orientation = (image: GreyImage, reachPx: number): readonly [GreyImage, GreyImage] => {
  const { widthPx: w, heightPx: h, data } = image;
  const even = new Float32Array(w * h);
  const odd = new Float32Array(w * h);
  const strength = new Float32Array(w * h);
  for (let y = 1; y < h - 1; y++) {
    for (let x = 1; x < w - 1; x++) {
      const k = y * w + x;
      const gx = (data[k + 1] as number) - (data[k - 1] as number);
      const gy = (data[k + w] as number) - (data[k - w] as number);
      even[k] = gx * gx - gy * gy;
      odd[k] = 2 * gx * gy;
      strength[k] = gx * gx + gy * gy;
    }
  }
  const field = (part: Float32Array): GreyImage => boxBlur({ widthPx: w, heightPx: h, data: part }, 1);
  const evenField = field(even);
  const oddField = field(odd);
  const radius = Math.max(1, Math.round(reachPx));
  const mean = boxBlur({ widthPx: w, heightPx: h, data: strength }, radius).data;
  for (let i = 0; i < w * h; i++) {
    const scale = 1 / ((mean[i] as number) + noiseFloor);
    evenField.data[i] = squash((evenField.data[i] as number) * scale);
    oddField.data[i] = squash((oddField.data[i] as number) * scale);
  }
  return [evenField, oddField];
};

/** Squared gradient of camera noise: near-black yarn is hardly above it and must not be lost. */
const noiseFloor = 1;

/** Bends large values down, so that a few strong edges do not outweigh the many. */
const squash = (v: number): number => v / Math.sqrt(1 + v * v);
