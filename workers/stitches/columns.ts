import { type FurrowKind, furrowIn } from './furrow';
import { profileOf } from './meanUnit';
import { alike, meanCell } from './patches';
import { medianOf, type Vec } from './raster';
import { cellPx } from './rectify';
import type { Lattice } from './smooth';
import type { Channels } from './template';
import type { UnitProfile } from './unitColumns';

/** What each wale looks like: its stitches averaged into one picture; null for wales with fewer than four stitches inside the image. */
export type WalePictures = readonly (Float32Array | null)[];

export const walePictures = (image: Channels, lattice: Lattice): WalePictures =>
  lattice.places.map((places) => waleIn(image, places));

/**
 * How much each wale looks like the usual wale, −1 to 1: its picture against the median picture of all. On plain fabric all are near 1; a needle gap or a purl
 * column of a rib stands out. Null for wales without a picture.
 */
export const waleLikeness = (pictures: WalePictures): (number | null)[] => {
  const usual = medianPicture(pictures.filter((p) => p !== null));
  return pictures.map((p) => (p === null || usual === null ? null : alike(p, usual)));
};

/** The stitches of a wale, or of a part of it, averaged; null with fewer than four inside the picture. */
const waleIn = (image: Channels, places: readonly (Vec | null)[]): Float32Array | null =>
  meanCell(
    image,
    places.filter((p) => p !== null),
    4,
  );

/** Value by value the middle one, so that a few odd wales do not colour it. */
const medianPicture = (pictures: readonly Float32Array[]): Float32Array | null => {
  const first = pictures[0];
  if (first === undefined) return null;
  const middle = pictures.length >> 1;
  const values = new Float32Array(pictures.length);
  return first.map((_, i) => {
    pictures.forEach((p, k) => {
      values[k] = p[i] as number;
    });
    return values.sort()[middle] as number;
  });
};

/** Below this likeness a wale is no wale of stitches: needle gaps come out at −0.2 to 0.3, plain wales above 0.6. */
const gapLikeness = 0.4;

/** From this likeness on a wale carries stitches, even if few of them were found: plain wales come to 0.8 and more. */
export const waleFrom = 0.75;

/** Adds to the gaps already known those wales inside the fabric that look like none, and takes from them those that do look like one; edges roll and are left alone. */
export const markGaps = (known: readonly boolean[], likeness: readonly (number | null)[]): boolean[] =>
  known.map((gap, w) => {
    const q = likeness[w] ?? null;
    const inside = w > 0 && w < known.length - 1;
    return q === null ? gap : (gap && q < waleFrom) || (inside && q < gapLikeness);
  });

/** Parts of a wale's length that are looked at by themselves. */
const lengthParts = 4;

/**
 * Takes back those gaps that show stitches over a part of their length: a needle that is out is out all the way, while a dropped stitch runs down a wale
 * that begins as any other.
 */
export const gapsAllTheWay = (
  image: Channels,
  lattice: Lattice,
  pictures: WalePictures,
  gaps: readonly boolean[],
): boolean[] => {
  if (!gaps.some(Boolean)) return [...gaps];
  const usual = medianPicture(pictures.flatMap((p, w) => (p === null || gaps[w] === true ? [] : [p])));
  if (usual === null) return [...gaps];
  return gaps.map((gap, w) => {
    const places = (gap ? lattice.places[w] : undefined)?.filter((p) => p !== null) ?? [];
    const length = Math.ceil(places.length / lengthParts);
    const parts = Array.from({ length: lengthParts }, (_, k) =>
      waleIn(image, places.slice(k * length, (k + 1) * length)),
    );
    return gap && !parts.some((part) => part !== null && alike(part, usual) >= waleFrom);
  });
};

/** A needle gap looks less like the usual wale than any other wale does, by this much at least where there is no doubt. */
const clearlyUnlike = 0.4;

/** How clearly the gaps differ from all other wales inside the fabric: 1 without a doubt, or without gaps, and less by what the difference lacks. */
export const gapClearness = (
  gaps: readonly boolean[],
  likeness: readonly (number | null | undefined)[],
): number => {
  const inner = (isGap: boolean): number[] =>
    likeness.slice(1, -1).flatMap((q, i) => (typeof q === 'number' && gaps[i + 1] === isGap ? [q] : []));
  const [unlike, like] = [inner(true), inner(false)];
  if (unlike.length === 0 || like.length === 0) return 1;
  return 1 - Math.max(0, clearlyUnlike - (Math.min(...like) - Math.max(...unlike)));
};

/** What the gaps show, all averaged into one picture beside the mean of the other wales; null without gaps, or where too little of them lies in the picture. */
export const gapFurrow = (image: Channels, lattice: Lattice): FurrowKind | null => {
  if (!lattice.gaps.some(Boolean)) return null;
  const placesOf = (gap: boolean): Vec[] =>
    lattice.places.flatMap((places, w) => (lattice.gaps[w] === gap ? places.filter((p) => p !== null) : []));
  const [knit, empty] = [false, true].map((gap) => meanCell(image, placesOf(gap), 4));
  if (knit == null || empty == null) return null;
  const [beside, within] = [profileOfCell(knit, image.count), profileOfCell(empty, image.count)];
  const profile = {
    lean: [...beside.lean, ...within.lean],
    steep: [...beside.steep, ...within.steep],
  };
  const turns = beside.lean.reduce(
    (sum, v, x) => sum + v * Math.sin((2 * Math.PI * (x + 0.5)) / cellPx.width),
    0,
  );
  const { kind, needles } = furrowIn(profile, {
    from: cellPx.width,
    to: 2 * cellPx.width,
    columnWidth: cellPx.width,
    knitSign: Math.sign(turns),
  });
  return kind === 'purl' && needles > 1 ? 'unclear' : kind;
};

/** Direction of the yarn across a cell, averaged along the wale. */
const profileOfCell = (cell: Float32Array, count: number): UnitProfile => {
  const channel = (c: number): Float32Array =>
    Float32Array.from({ length: cell.length / count }, (_, i) => cell[i * count + c] as number);
  return profileOf({ widthPx: cellPx.width, even: channel(1), odd: channel(2) }, 0);
};

/**
 * Needle positions from one gap to the next, taken out in a rhythm: most of the distances are the same. Null without two gaps, and where they come as
 * they like.
 */
export const gapRhythm = (gaps: readonly boolean[]): number | null => {
  const at = gaps.flatMap((gap, w) => (gap ? [w] : []));
  const steps = at.slice(1).map((w, i) => w - (at[i] as number));
  if (steps.length < 1) return null;
  const usual = medianOf(steps);
  return steps.filter((step) => step === usual).length > 0.75 * steps.length ? usual : null;
};
