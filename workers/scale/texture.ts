import type { Homography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';

/** Side of the squares that a face is looked at in, mm: about half a stitch of hand and machine knitting (common practice), so that stitches show in every one. */
const squareMm = 4;
/** Each square is read in so many places along its sides, each the mean of two by two. */
const placesAcross = 7;
/** Faces darker than this are judged as if they were as light, grey levels: noise does not fade with the light. */
const leastLight = 25;
/** The smoothest share of a face speaks for it: print and glare may lie on the rest. */
const smoothShare = 0.25;

/** Spread of the brightness within a square, as a share of its mean; NaN beyond the photo. */
const spreadIn = (image: GreyImage, planeToPhoto: Homography, fromX: number, fromY: number): number => {
  const step = squareMm / (2 * placesAcross);
  let [sum, squares] = [0, 0];
  for (let i = 0; i < placesAcross; i++) {
    for (let j = 0; j < placesAcross; j++) {
      let value = 0;
      for (const [a, b] of [
        [0.5, 0.5],
        [1.5, 0.5],
        [0.5, 1.5],
        [1.5, 1.5],
      ] as const) {
        const [x, y] = mapPoint(planeToPhoto, fromX + (2 * i + a) * step, fromY + (2 * j + b) * step);
        value += sampleAt(image, x, y) / 4;
      }
      sum += value;
      squares += value * value;
    }
  }
  const mean = sum / placesAcross ** 2;
  return Math.sqrt(Math.max(0, squares / placesAcross ** 2 - mean * mean)) / Math.max(leastLight, mean);
};

/** From this many px a place on, the noise of a usual photo is averaged away; below it noise roughens a face, up to twice as much, as one px is all that is left. */
const averagedPx = 1.9;

/** By how many times noise roughens a face more than in a photo of usual size. */
export const noiseTimes = (pxPerMm: number): number =>
  Math.max(1, Math.min(2, averagedPx / ((squareMm / placesAcross) * pxPerMm)));

/**
 * How rough the smooth quarter of a face is: the spread of brightness within squares of half a stitch, as a share of the brightness. A card is plain for the most
 * part; a piece of knitting is rough all over.
 * @param image lightness.
 * @param planeToPhoto from mm on the face to px.
 */
export const roughness = (
  image: GreyImage,
  planeToPhoto: Homography,
  { longMm, shortMm }: { readonly longMm: number; readonly shortMm: number },
): number => {
  const spreads: number[] = [];
  for (let x = squareMm; x < longMm - 2 * squareMm; x += squareMm) {
    for (let y = squareMm; y < shortMm - 2 * squareMm; y += squareMm) {
      const spread = spreadIn(image, planeToPhoto, x, y);
      if (!Number.isNaN(spread)) spreads.push(spread);
    }
  }
  spreads.sort((p, q) => p - q);
  return spreads[Math.floor(smoothShare * spreads.length)] ?? 0;
};
