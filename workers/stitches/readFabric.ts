import type { Stage } from '../contract';
import type { GreyImage, WorkImage } from '../image';
import { type Attempt, clearScore, readStitches, type Task } from './attempt';
import type { Basis } from './basis';
import { flatten } from './flatten';
import { laddersIn } from './ladders';
import { orientation } from './orientation';
import { type Reading, readTemplate } from './phase';
import { lengthOf, lumaShrunk, type Vec } from './raster';
import { cellPx, type Frame, fromSource, rectify, toSource } from './rectify';
import { type Repeats, repeatsOf } from './repeats';
import { sharedDownTheWales } from './shared';
import type { Lattice } from './smooth';
import { cut, interleave, learnTemplate, narrowTemplate, wideTemplate } from './template';

/** Pixels that one wale and one course fill in the picture the straightened one is sampled from: a little more than their cell. */
const walePx = 18;
const coursePx = 13;
/** Weights of lightness and of the two parts of the yarn's direction when stitches are compared. */
export const channelWeights = [0.6, 1, 1] as const;
/** Lightness left out: stripes and marl drown the stitch in it. */
const directionAlone = [0, 1, 1] as const;

/** A fabric read from one seed: its grid and what was measured on the way. */
export interface FabricReading {
  readonly lattice: Lattice;
  /** From the straightened picture to work px; work px × `photoPxPerWorkPx` are photo px. */
  readonly toPhoto: (p: Vec) => Vec;
  readonly template: Reading;
  readonly medianScore: number;
  readonly stitchCount: number;
  readonly clashes: readonly Vec[];
  /** Middles of ladders that dropped stitches left. */
  readonly ladders: readonly Vec[];
  /** Width of a column over the height of a course, known beforehand where columns are not evenly spaced; null where the lattice shows it. */
  readonly columnShape: number | null;
  /** How clearly the columns that are counted differ from those that are not, 1 without a doubt. */
  readonly columnsClear: number;
  /** Null when too few stitches have neighbours all around. */
  readonly repeats: Repeats | null;
  /** How much of what changes down the wales all stitches share (`shared.ts`); null with too few. */
  readonly shared: number | null;
  /** The way of reading that gave most, where the first one did not give enough; null where it did. */
  readonly way: Way | null;
}

/** One of the ways of reading stitches. */
export interface Way {
  /** Lightness left out. */
  readonly colourBlind: boolean;
  /** With needles out: the stitch is learnt one wale wide. */
  readonly uneven: boolean;
  /** Where the stitch is learnt, photo px. */
  readonly start: Vec;
}

/** Where and how to read. */
export interface ReadingStart {
  /** Lattice steps at the seed, photo px. */
  readonly basis: Basis;
  /** Places well inside the fabric, photo px, the best first. */
  readonly seeds: readonly Vec[];
  /** Points (photo px) that the fabric is thought to reach. */
  readonly extent: readonly Vec[];
  /** How much fabric there should be, square photo px; null if unknown. */
  readonly area: number | null;
  /** Whether a place (photo px) may be fabric. */
  readonly allowed: (photo: Vec) => boolean;
  /** Whether all wales are known to be alike: needles out are not looked for. */
  readonly alike?: boolean;
  /** The only way to read in, where a part told which suits the fabric. */
  readonly way?: Way | null;
  /** Told how many stitches have room in what is looked at, each time that it is. */
  readonly onLook?: (stitches: number) => void;
  readonly onStage: (stage: Stage, share: number) => void;
}

/**
 * Reads the stitch grid that holds around a seed: straightens the surroundings by the local lattice, learns the stitch, grows the grid.
 * Null where no grid of at least four wales and courses grows.
 */
export const readFabric = (work: WorkImage, from: ReadingStart): FabricReading | null => {
  const { basis, seeds, extent, area, onStage } = from;
  const { planes, frame, perPixel, toPhoto } = straighten(work, basis, extent);
  const room = (planes[0]?.data.length ?? 0) / (cellPx.width * cellPx.height);
  const onLook = (): void => from.onLook?.(room);
  const scaled = (p: Vec): Vec => ({ x: p.x / perPixel, y: p.y / perPixel });
  onStage('template', 0);
  const coloured = interleave(planes, channelWeights);
  const task: Task = {
    channels: coloured,
    judged: coloured,
    leastWales: from.alike === true ? leastRepeats : undefined,
    allowed: (p) => from.allowed(toPhoto(p)),
    onStage: (stage, share) => {
      if (stage === 'grid') onLook();
      onStage(stage, share);
    },
  };
  const cells =
    area === null ? null : area / Math.abs(basis.wale.x * basis.course.y - basis.wale.y * basis.course.x);
  const starts = seeds.map((seed) => fromSource(frame, scaled(seed)));
  const withoutColour = once(() => interleave(planes, directionAlone));
  const colourBlind = (): Task => ({ ...task, channels: withoutColour() });
  const known = from.way ?? null;
  onLook();
  const tried =
    known === null
      ? bestAttempt({ task, colourBlind, starts, cells, alike: from.alike === true })
      : readIn(task, colourBlind, { ...known, start: fromSource(frame, scaled(known.start)) });
  if (tried === null) return null;
  const { best, way } = tried;
  const { shift } = best.template;
  return {
    lattice: best.lattice,
    toPhoto: (p) => toPhoto({ x: p.x + shift.x, y: p.y + shift.y }),
    template: best.template,
    medianScore: best.score,
    stitchCount: best.growth.stitches.size,
    columnShape: null,
    columnsClear: best.columnsClear,
    clashes: best.growth.clashes,
    ladders: laddersIn(withoutColour(), best.lattice, shift),
    // Colour comes in rhythms of its own.
    repeats: repeatsOf(withoutColour(), best.lattice),
    shared: sharedDownTheWales(withoutColour(), best.lattice),
    way: way && { ...way, start: toPhoto(way.start) },
  };
};

/** A part of a photo made straight by a lattice: lightness and the two parts of the yarn's direction, and the way back to photo px. */
export interface Straightened {
  readonly planes: readonly GreyImage[];
  readonly frame: Frame;
  /** Photo px per pixel of the picture that the frame lies in. */
  readonly perPixel: number;
  readonly toPhoto: (p: Vec) => Vec;
}

/** Straightens what lies around some points (photo px) by a lattice (photo px). */
export const straighten = (work: WorkImage, basis: Basis, extent: readonly Vec[]): Straightened => {
  const perWork = work.photoPxPerWorkPx;
  const shrink = Math.max(
    1,
    Math.min(lengthOf(basis.wale) / walePx, lengthOf(basis.course) / coursePx) / perWork,
  );
  const perPixel = shrink * perWork;
  const scaled = (p: Vec): Vec => ({ x: p.x / perPixel, y: p.y / perPixel });
  const { image, frame } = rectify(
    lumaShrunk(work.image, shrink),
    { wale: scaled(basis.wale), course: scaled(basis.course) },
    extent.map(scaled),
    4,
  );
  return {
    planes: [flatten(image, 10), ...orientation(image, 12)],
    frame,
    perPixel,
    toPhoto: photoMap(frame, perPixel),
  };
};

/** Repeats that a rib or a fabric with needles out shows at least side by side, to be told from chance. */
const leastRepeats = 3;

/**
 * Tries the ways of reading one after another until one gives most of the stitches that there should be: all alike with lightness, without
 * lightness, from another place, and with needles out.
 */
const bestAttempt = (trial: Trial): Tried | null => {
  const { task, colourBlind, starts, cells, alike } = trial;
  const [first, second] = starts;
  if (first === undefined) return null;
  const read = (way: Way): Tried | null => readIn(task, colourBlind, way);
  const plain = read({ colourBlind: false, uneven: false, start: first });
  const poor = isPoor(plain, cells);
  const unclear = isUnclear(plain, cells);
  const uneven = !alike && (poor || cells === null || hasGaps(plain));
  if (!poor && !unclear && !uneven) return plain && { ...plain, way: null };
  let best = plain;
  if (poor || unclear) best = better(best, read({ colourBlind: true, uneven: false, start: first }));
  if (poor && second !== undefined)
    best = better(best, read({ colourBlind: false, uneven: false, start: second }));
  return uneven ? better(best, bestUneven(trial)) : best;
};

/** Reads in one way; the way's start lies in the straightened picture. */
const readIn = (task: Task, colourBlind: () => Task, way: Way): Tried | null => {
  const best = readStitches(
    way.colourBlind ? colourBlind() : task,
    way.start,
    way.uneven ? narrowTemplate : wideTemplate,
  );
  return best && { best, way };
};

/** With needles out, from one start or the other. */
const bestUneven = ({ task, colourBlind, starts, cells }: Trial): Tried | null => {
  let best: Tried | null = null;
  for (const start of starts) {
    const middle = unevenStart(task, start);
    if (middle === null) continue;
    const read = readIn(task, colourBlind, { colourBlind: false, uneven: true, start: middle });
    best = better(best, read);
    if (!isPoor(read, cells)) break;
  }
  return best;
};

/** The best that was read, and in which way; null for the first one of all. */
interface Tried {
  readonly best: Attempt;
  readonly way: Way | null;
}

/** What there is to try. */
interface Trial {
  readonly task: Task;
  /** The same without lightness. */
  readonly colourBlind: () => Task;
  readonly starts: readonly Vec[];
  /** How many stitches there should be; null if unknown. */
  readonly cells: number | null;
  readonly alike: boolean;
}

/** Makes a thing when it is first asked for, and only then. */
const once = <T>(make: () => T): (() => T) => {
  let made: { value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
};

/** Few of the stitches that there should be. */
const isPoor = (tried: Tried | null, cells: number | null): boolean =>
  tried === null || (cells !== null && tried.best.worth < 0.3 * cells);

/** Stitches that look little alike, and not nearly as many as there should be. */
const isUnclear = (tried: Tried | null, cells: number | null): boolean =>
  tried !== null && tried.best.score < clearScore && cells !== null && tried.best.worth < 0.7 * cells;

const hasGaps = (tried: Tried | null): boolean => tried?.best.lattice.gaps.some(Boolean) === true;

/**
 * Where to learn the stitch of fabric with needles out, one wale wide. The seed may lie on a gap or between two wales, so several columns are tried in the part
 * around it, each from the middle of what it shows.
 */
const unevenStart = (task: Task, start: Vec): Vec | null => {
  const { part, origin } = partAround(task, start);
  let best: { readonly middle: Vec; readonly worth: number } | null = null;
  for (let step = 0; step < 4; step++) {
    const from = { x: start.x - origin.x + step * cellPx.width, y: start.y - origin.y };
    const { shift } = readTemplate(learnTemplate(part.channels, from, narrowTemplate));
    const middle = { x: from.x + shift.x, y: from.y };
    const worth = readStitches(part, middle, narrowTemplate)?.worth ?? -1;
    if (worth > (best?.worth ?? -1)) best = { middle, worth };
  }
  return best && { x: best.middle.x + origin.x, y: best.middle.y + origin.y };
};

/** Stitches either way that a start is tried on before the whole is read from it. */
const trialReach = 14;

const partAround = (task: Task, start: Vec): { readonly part: Task; readonly origin: Vec } => {
  const reach = [start, trialReach * cellPx.width, trialReach * cellPx.height] as const;
  const { part: channels, origin } = cut(task.channels, ...reach);
  const part: Task = {
    ...task,
    channels,
    judged: task.judged === task.channels ? channels : cut(task.judged, ...reach).part,
    allowed: (p) => task.allowed({ x: p.x + origin.x, y: p.y + origin.y }),
    onStage: () => {},
  };
  return { part, origin };
};

const better = (a: Tried | null, b: Tried | null): Tried | null => {
  if (a === null || b === null) return a ?? b;
  return a.best.worth >= b.best.worth ? a : b;
};

const photoMap =
  (frame: Frame, perPixel: number) =>
  (p: Vec): Vec => {
    const q = toSource(frame, p.x, p.y);
    return { x: q.x * perPixel, y: q.y * perPixel };
  };
