import { alike, meanCell } from './patches';
import { medianOf, type Vec } from './raster';
import type { Lattice } from './smooth';
import type { Channels } from './template';

/** A dropped stitch runs down at least so many courses before it shows as a ladder of bare strands. */
const LEAST_COURSES = 3;
/** Fewer stitches than this do not tell what is usual. */
const LEAST_STITCHES = 100;
/** A rung looks less like a stitch than this share of what the stitches beside it do. */
const RUNG_SHARE = 0.62;
/** And by so many standard deviations of what stitches differ from those beside them by anyhow: six courses in a row do not do that by chance. */
const RUNG_SIGMAS = 5;

/**
 * Where stitches were dropped: in one wale, over a few courses, nothing looks like a stitch while the wales on both sides go on undisturbed. A shadow's
 * edge, a knot or glare takes neighbours with it and is none.
 * @param shift From the lattice's places to the middles of the stitches, px of the straightened picture.
 * @returns The middle of each ladder in the straightened picture, relative to the lattice (without `shift`), the longest first.
 */
export const laddersIn = (image: Channels, lattice: Lattice, shift: Vec): Vec[] => {
  const looks = likenesses(image, lattice, shift);
  const beside = (w: number, c: number): number | null => {
    const [left, right] = [looks[w - 1]?.[c], looks[w + 1]?.[c]];
    return typeof left === 'number' && typeof right === 'number' ? (left + right) / 2 : null;
  };
  const lacks = looks.map((wale, w) =>
    wale.map((own, c) => {
      const usual = beside(w, c);
      return own === null || usual === null ? null : usual - own;
    }),
  );
  const all = lacks.flat().filter((lack) => lack !== null);
  if (all.length < LEAST_STITCHES) return [];
  // 1.4826 × the median deviation is the standard deviation of a normal scatter.
  const usualLack = 1.4826 * medianOf(all.map(Math.abs));
  const isRung = (w: number, c: number): boolean => {
    const lack = lacks[w]?.[c] ?? 0;
    return lack > RUNG_SIGMAS * usualLack && lack > (1 - RUNG_SHARE) * (beside(w, c) ?? Infinity);
  };
  return Array.from({ length: lattice.wales }, (_, w) => w)
    .filter((w) => ![w - 1, w, w + 1].some((wale) => lattice.gaps[wale] === true))
    .flatMap((w) => runsOf(lattice.courses, (c) => isRung(w, c)).map((run) => ({ ...run, wale: w })))
    .filter((run) => run.length >= LEAST_COURSES)
    .sort((a, b) => b.length - a.length)
    .flatMap((run) => lattice.places[run.wale]?.[run.from + (run.length >> 1)] ?? []);
};

/** Stretches of 0 … count − 1 over which something holds. */
const runsOf = (count: number, holds: (i: number) => boolean): { from: number; length: number }[] => {
  const runs: { from: number; length: number }[] = [];
  let from = 0;
  for (let i = 0; i <= count; i++) {
    if (i < count && holds(i)) continue;
    if (i > from) runs.push({ from, length: i - from });
    from = i + 1;
  }
  return runs;
};

/** How much each stitch looks like the mean of all, by wale and course, each averaged with the two beside it along the wale; null outside. */
const likenesses = (image: Channels, lattice: Lattice, shift: Vec): (number | null)[][] => {
  const at = (p: Vec): Vec => ({ x: p.x + shift.x, y: p.y + shift.y });
  const seen = lattice.places.flatMap((places, w) =>
    places.flatMap((p, c) => (p !== null && lattice.seen[w]?.[c] === true ? [at(p)] : [])),
  );
  const usual = meanCell(image, seen, 20);
  return lattice.places.map((places) => {
    const alone = places.map((p) => {
      const cell = p === null || usual === null ? null : meanCell(image, [at(p)], 1);
      return cell === null ? null : alike(cell, usual);
    });
    return alone.map((own, c) => {
      const around = [alone[c - 1], own, alone[c + 1]].filter((q): q is number => typeof q === 'number');
      return own === null ? null : around.reduce((sum, q) => sum + q, 0) / around.length;
    });
  });
};
