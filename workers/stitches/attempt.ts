import type { Stage } from '../contract';
import {
  gapClearness,
  gapFurrow,
  gapsAllTheWay,
  markGaps,
  type WalePictures,
  waleFrom,
  waleLikeness,
  walePictures,
} from './columns';
import { type Growth, grow, medianScore } from './growth';
import { type Reading, readTemplate } from './phase';
import type { Vec } from './raster';
import { cellPx } from './rectify';
import { type Lattice, smoothLattice } from './smooth';
import {
  averagePatch,
  broadTemplate,
  type Channels,
  learnTemplate,
  match,
  narrowTemplate,
  type TemplateSize,
} from './template';

/** What every way of reading works on, in the straightened picture. */
export interface Task {
  readonly channels: Channels;
  /** What the wales are compared in, the same for all ways. */
  readonly judged: Channels;
  /** Fewest wales of a fabric; undefined for the usual number. */
  readonly leastWales: number | undefined;
  readonly allowed: (place: Vec) => boolean;
  readonly onStage: (stage: Stage, share: number) => void;
}

/** What one way of reading gave. */
export interface Attempt {
  readonly lattice: Lattice;
  readonly growth: Growth;
  readonly template: Reading;
  readonly score: number;
  readonly columnsClear: number;
  /** Stitches found on wales that carry stitches, each counted by how much its wale looks like the others. */
  readonly worth: number;
}

/** Stitches less alike than this are learnt once more from all that were found, at most so many times. */
export const clearScore = 0.55;
const relearnRounds = 2;

/** Reads all stitches that look like what lies at a place, and finds which wales carry none. */
export const readStitches = (task: Task, start: Vec, size: TemplateSize): Attempt | null => {
  const { channels, allowed } = task;
  let template = learnTemplate(channels, start, size);
  task.onStage('grid', 0);
  const uneven = size === narrowTemplate;
  const threshold = uneven ? 0.35 : 0.25;
  let growth = grow(match(channels, template), start, { threshold, jumps: uneven, allowed });
  // Where the yarn's own pattern is stronger than the stitch's (marl), only the mean over many stitches shows the stitch.
  for (let round = 0; round < relearnRounds; round++) {
    if (growth.stitches.size < 40 || medianScore(growth.stitches.values()) >= clearScore) break;
    template = averagePatch(channels, [...growth.stitches.values()], uneven ? size : broadTemplate);
    growth = grow(match(channels, template), start, { threshold: 0.6 * threshold, jumps: uneven, allowed });
  }
  return judge(task, growth, template, uneven);
};

/** Finds the wales among the stitches grown, and which of them carry none. */
const judge = (task: Task, growth: Growth, template: Channels, uneven: boolean): Attempt | null => {
  const { judged, leastWales } = task;
  const smooth = smoothLattice(growth, uneven, leastWales);
  if (smooth === null) return null;
  const { read, pictures, likeness, between } = rightWayUp(readTemplate(template), (x) =>
    walePictures(judged, moved(smooth, x)),
  );
  const marked = markGaps(smooth.gaps, likeness);
  const gaps = gapsAllTheWay(judged, moved(smooth, read.shift.x), pictures, marked);
  // Beside a gap the wales are unevenly spaced, and must not be smoothed across it.
  const spaced = gaps.some(Boolean) ? smoothLattice(growth, true, leastWales) : null;
  const lattice = seenBetween(
    spaced === null ? { ...smooth, gaps } : withGaps(spaced, smooth, gaps),
    between,
  );
  const seenAs = fromFirst(likeness, lattice, smooth);
  const furrow = gapFurrow(judged, moved(lattice, read.shift.x));
  return {
    lattice: furrow === null ? lattice : { ...lattice, furrow },
    growth,
    template: read,
    score: medianScore(growth.stitches.values()),
    columnsClear: gapClearness(lattice.gaps, seenAs),
    worth: worthOf(lattice, seenAs),
  };
};

/** What is known of each wale of one lattice, told for the wales of another: their ragged ends may be cut off at different places. */
const fromFirst = <T>(values: readonly T[], to: Lattice, from: Lattice): (T | undefined)[] =>
  to.gaps.map((_, w) => values[w + to.first.wale - from.first.wale]);

const withGaps = (spaced: Lattice, smooth: Lattice, gaps: readonly boolean[]): Lattice => {
  const known = fromFirst(gaps, spaced, smooth);
  return { ...spaced, gaps: spaced.gaps.map((gap, w) => known[w] ?? gap) };
};

/** Where the wales lie between those that were grown, to their right (1) or left (−1), a stitch is seen where either of the two was. */
const seenBetween = (lattice: Lattice, side: number): Lattice => {
  if (side === 0) return lattice;
  const seen = lattice.seen.map((marks, w) =>
    marks.map((mark, c) => mark || lattice.seen[w + side]?.[c] === true),
  );
  return { ...lattice, seen };
};

/** Moved along the course: the seed may have lain between two wales, and half a stitch beside a needle gap looks like neither. */
const moved = (lattice: Lattice, x: number): Lattice => ({
  ...lattice,
  places: lattice.places.map((wale) => wale.map((p) => (p === null ? null : { x: p.x + x, y: p.y }))),
});

/**
 * Upside down, the legs of neighbouring wales make the V, and a stitch is taken to lie half a wale from where it does. Plain fabric does not tell, and
 * it does not matter there; needle gaps do: from the true middles a wale looks either like the others or like none, and one wale more between two gaps is
 * found than between the wales.
 */
const rightWayUp = (read: Reading, picturesAt: (x: number) => WalePictures): Upright => {
  const pictures = picturesAt(read.shift.x);
  const likeness = waleLikeness(pictures);
  const asRead = { read, pictures, likeness, between: 0 };
  const here = sharesOf(likeness);
  if (here.like > 1 - clearlyMore) return asRead;
  const x = read.shift.x + (read.shift.x > 0 ? -0.5 : 0.5) * cellPx.width;
  const otherPictures = picturesAt(x);
  const other = waleLikeness(otherPictures);
  const there = sharesOf(other);
  return there.like > here.like + clearlyMore && there.undecided < here.undecided + clearlyMore
    ? {
        read: { ...read, shift: { x, y: read.shift.y } },
        pictures: otherPictures,
        likeness: other,
        between: Math.sign(x - read.shift.x),
      }
    : asRead;
};

/** What was read, from the true middles of the stitches. */
interface Upright {
  readonly read: Reading;
  readonly pictures: WalePictures;
  readonly likeness: Likeness;
  /** On which side of the wales that were grown the true ones lie, half a wale off: 1 right, −1 left, 0 where they are those. */
  readonly between: number;
}

/** How much each wale looks like the usual one; null where it cannot be told. */
type Likeness = readonly (number | null)[];

/** Share of the inner wales by which one way of lying must show more wales: gaps are every sixth needle or closer. */
const clearlyMore = 0.08;

/** Shares of the inner wales that look like the others, and that look neither like the others nor like none. */
const sharesOf = (likeness: Likeness): { readonly like: number; readonly undecided: number } => {
  const inner = likeness.slice(1, -1).filter((q) => q !== null);
  const shareOf = (is: (q: number) => boolean): number => inner.filter(is).length / Math.max(1, inner.length);
  return { like: shareOf((q) => q >= waleFrom), undecided: shareOf((q) => q > unlike && q < waleFrom) };
};
const unlike = 0.3;

const worthOf = (lattice: Lattice, likeness: readonly (number | null | undefined)[]): number =>
  lattice.seen.reduce((sum, marks, w) => {
    const stitches = lattice.gaps[w] === true ? 0 : marks.filter(Boolean).length;
    return sum + stitches * Math.max(0, likeness[w] ?? 0) ** 2;
  }, 0);
