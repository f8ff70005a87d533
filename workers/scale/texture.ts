import type { Homography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';

/** Side of the squares that a face is looked at in, mm: about half a stitch of hand and machine knitting (common practice), so that stitches show in every one. */
const squareMm = 4;
/** Each square is read in so many places along its sides, each the mean of what the photo shows of it. */
const placesAcross = 7;
/** A place is the mean of so many points along its sides, one for each px; more would average away nothing but noise that is gone already. */
const pointsAcross = { least: 2, most: 6 };
/** Faces darker than this are judged as if they were as light, grey levels: noise does not fade with the light. */
const leastLight = 25;
/** The smoothest share of a face speaks for it: print and glare may lie on the rest. */
const smoothShare = 0.25;

/**
 * Spread of the brightness from place to place within a square, as a share of its mean; NaN beyond the photo. What the points of one place differ by makes their mean
 * uncertain, and that much of the spread is noise, not texture: it is taken off (analysis of variance with one factor; R. A. Fisher 1925).
 */
const spreadIn = (
  image: GreyImage,
  planeToPhoto: Homography,
  fromX: number,
  fromY: number,
  points: number,
): number => {
  const step = squareMm / (points * placesAcross);
  const count = points ** 2;
  let [sum, squares, within] = [0, 0, 0];
  for (let i = 0; i < placesAcross; i++) {
    for (let j = 0; j < placesAcross; j++) {
      let [ofPlace, squaresOfPlace] = [0, 0];
      for (let k = 0; k < count; k++) {
        const a = points * i + (k % points) + 0.5;
        const b = points * j + Math.floor(k / points) + 0.5;
        const [x, y] = mapPoint(planeToPhoto, fromX + a * step, fromY + b * step);
        const value = sampleAt(image, x, y);
        ofPlace += value / count;
        squaresOfPlace += value * value;
      }
      within += (squaresOfPlace - count * ofPlace * ofPlace) / (count - 1);
      sum += ofPlace;
      squares += ofPlace * ofPlace;
    }
  }
  const places = placesAcross ** 2;
  const mean = sum / places;
  const ofNoise = within / places / count;
  return Math.sqrt(Math.max(0, squares / places - mean * mean - ofNoise)) / Math.max(leastLight, mean);
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
  const [origin, along] = [mapPoint(planeToPhoto, 0, 0), mapPoint(planeToPhoto, longMm, 0)];
  const pxPerMm = Math.hypot(along[0] - origin[0], along[1] - origin[1]) / longMm;
  const seen = Math.ceil((squareMm / placesAcross) * pxPerMm);
  const points = Math.max(pointsAcross.least, Math.min(pointsAcross.most, seen));
  const spreads: number[] = [];
  for (let x = squareMm; x < longMm - 2 * squareMm; x += squareMm) {
    for (let y = squareMm; y < shortMm - 2 * squareMm; y += squareMm) {
      const spread = spreadIn(image, planeToPhoto, x, y, points);
      if (!Number.isNaN(spread)) spreads.push(spread);
    }
  }
  spreads.sort((p, q) => p - q);
  return spreads[Math.floor(smoothShare * spreads.length)] ?? 0;
};
