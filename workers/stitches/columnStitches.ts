import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { type Growth, medianScore, placeKey, type Stitch } from './growth';
import { readTemplate } from './phase';
import type { Vec } from './raster';
import { channelWeights, type FabricReading, straighten } from './readFabric';
import { cellPx, fromSource } from './rectify';
import { type Lattice, smoothLattice } from './smooth';
import { averagePatch, interleave, match, snap, type TemplateSize } from './template';

/** Least likeness of a stitch, −1 to 1, as for fabric with needles out. */
const threshold = 0.35;
/** The legs of a stitch and nothing of what lies beside it: a ladder must not have its say. */
const legs: TemplateSize = { width: 0.75 * cellPx.width, height: 2 * cellPx.height };

/**
 * Places every stitch of a reading anew by itself. Repeats of unlike columns are placed by what contrasts most in them, which may be the ladders of
 * needles out: they lie deeper than the stitches, are farther from the camera and look closer together. Null where too few stitches are found.
 * @param basis Steps to the next column and course within a repeat, photo px.
 */
export const placeByColumns = (
  work: WorkImage,
  basis: Basis,
  reading: FabricReading,
): FabricReading | null => {
  const { lattice } = reading;
  const photo = lattice.places.map((wale) => wale.map((p) => (p === null ? null : reading.toPhoto(p))));
  const known = photo.flat().filter((p) => p !== null);
  if (known.length === 0) return null;
  const { planes, frame, perPixel, toPhoto } = straighten(work, basis, known);
  const straight = (p: Vec): Vec => fromSource(frame, { x: p.x / perPixel, y: p.y / perPixel });
  const guesses = photo.flatMap((wale, w) =>
    lattice.gaps[w] === true
      ? []
      : wale.flatMap((p, course) => (p === null ? [] : [{ ...straight(p), wale: w, course }])),
  );
  const channels = interleave(planes, channelWeights);
  const seen = guesses.filter(({ wale, course }) => lattice.seen[wale]?.[course] === true);
  const template = averagePatch(channels, seen, legs);
  const response = match(channels, template);
  const found = guesses
    .map((guess): Stitch => ({ wale: guess.wale, course: guess.course, ...snap(response, guess) }))
    .filter(({ score }) => score >= threshold);
  const growth: Growth = {
    stitches: new Map(found.map((stitch) => [placeKey(stitch.wale, stitch.course), stitch])),
    clashes: [],
  };
  const placed = smoothLattice(growth, true);
  if (placed === null) return null;
  return {
    ...reading,
    lattice: withGaps(placed, lattice),
    toPhoto,
    template: { ...reading.template, ...leanOf(readTemplate(template)) },
    medianScore: medianScore(found),
    stitchCount: found.length,
    clashes: reading.clashes.map((p) => straight(reading.toPhoto(p))),
    ladders: [],
  };
};

const leanOf = ({ face, lean }: FabricReading['template']) => ({ face, lean });

/** What is a gap is known, whatever was found there. */
const withGaps = (placed: Lattice, { gaps, perRepeat, furrow }: Lattice): Lattice => ({
  ...placed,
  gaps: placed.gaps.map((_, w) => gaps[w + placed.first.wale] === true),
  ...(perRepeat === undefined ? {} : { perRepeat }),
  ...(furrow === undefined ? {} : { furrow }),
});
