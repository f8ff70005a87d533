import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { flatten } from './flatten';
import { type Growth, grow, medianScore } from './growth';
import { orientation } from './orientation';
import { type Reading, readTemplate } from './phase';
import { lengthOf, lumaShrunk, type Vec } from './raster';
import { cellPx, type Frame, fromSource, rectify, toSource } from './rectify';
import { type Repeats, repeatsOf } from './repeats';
import { type Lattice, smoothLattice } from './smooth';
import {
  type Channels,
  interleave,
  learnTemplate,
  match,
  narrowTemplate,
  type TemplateSize,
  wideTemplate,
} from './template';

/** Work pixels that one wale fills in the picture the straightened one is sampled from: a little more than its cell. */
const walePx = 18;
/** Weights of lightness and of the two parts of the yarn's direction when stitches are compared. */
const channelWeights = [0.6, 1, 1] as const;

/** A fabric read from one seed: its grid and what was measured on the way. */
export interface FabricReading {
  readonly lattice: Lattice;
  /** From the straightened picture to work px; work px × `photoPxPerWorkPx` are photo px. */
  readonly toPhoto: (p: Vec) => Vec;
  readonly template: Reading;
  readonly medianScore: number;
  readonly stitchCount: number;
  readonly clashes: readonly Vec[];
  /** Null when too few stitches have neighbours all around. */
  readonly repeats: Repeats | null;
}

/**
 * Reads the stitch grid that holds around a seed: straightens the surroundings by the local lattice, learns the stitch, grows the grid.
 * @param basis Lattice steps at the seed, photo px.
 * @param seed A place well inside the fabric, photo px.
 * @param extent Points (photo px) that the fabric is thought to reach.
 * @param fabricArea How much fabric there should be, square photo px; null if unknown.
 */
export const readFabric = (
  work: WorkImage,
  basis: Basis,
  seed: Vec,
  extent: readonly Vec[],
  fabricArea: number | null,
  onStage: (stage: Stage, share: number) => void,
): FabricReading | null => {
  const perWork = work.photoPxPerWorkPx;
  const shrink = Math.max(1, lengthOf(basis.wale) / perWork / walePx);
  const perPixel = shrink * perWork;
  const scaled = (p: Vec): Vec => ({ x: p.x / perPixel, y: p.y / perPixel });
  const luma = lumaShrunk(work.image, shrink);
  const { image, frame } = rectify(
    luma,
    { wale: scaled(basis.wale), course: scaled(basis.course) },
    extent.map(scaled),
    4,
  );
  onStage('template', 0);
  const channels = interleave([flatten(image, 10), ...orientation(image, 12)], channelWeights);
  const start = fromSource(frame, scaled(seed));
  const same = readStitches(channels, start, wideTemplate, onStage);
  const cellArea = Math.abs(basis.wale.x * basis.course.y - basis.wale.y * basis.course.x);
  const enough =
    same !== null && fabricArea !== null && same.growth.stitches.size > (0.5 * fabricArea) / cellArea;
  const best = enough ? same : better(same, readUneven(channels, start, onStage));
  if (best === null) return null;
  return {
    lattice: best.lattice,
    toPhoto: photoMap(frame, perPixel, best.template.shift),
    template: best.template,
    medianScore: best.score,
    stitchCount: best.growth.stitches.size,
    clashes: best.growth.clashes,
    repeats: repeatsOf(channels, best.lattice),
  };
};

/** What one way of reading gave. */
interface Attempt {
  readonly lattice: Lattice;
  readonly growth: Growth;
  readonly template: Reading;
  readonly score: number;
}

const readStitches = (
  channels: Channels,
  start: Vec,
  size: TemplateSize,
  onStage: (stage: Stage, share: number) => void,
): Attempt | null => {
  const template = learnTemplate(channels, start, size);
  onStage('grid', 0);
  const uneven = size === narrowTemplate;
  const response = match(channels, template);
  const growth = grow(response, start, { threshold: uneven ? 0.35 : 0.25, jumps: uneven });
  const lattice = smoothLattice(growth, uneven);
  if (lattice === null) return null;
  return { lattice, growth, template: readTemplate(template), score: medianScore(growth.stitches.values()) };
};

/**
 * Fabric with needles out: the stitch is learnt one wale wide, and the growth may step over an empty place. The seed may lie on a gap, so
 * several columns are tried.
 */
const readUneven = (
  channels: Channels,
  start: Vec,
  onStage: (stage: Stage, share: number) => void,
): Attempt | null => {
  let best: Attempt | null = null;
  for (let step = 0; step < 4; step++) {
    const from = { x: start.x + step * cellPx.width, y: start.y };
    best = better(best, readStitches(channels, from, narrowTemplate, onStage));
  }
  return best;
};

/** Many stitches that look alike; likeness counts most, since a wrong picture can be found in many places. */
const worth = (a: Attempt): number => a.growth.stitches.size * a.score ** 3;

const better = (a: Attempt | null, b: Attempt | null): Attempt | null => {
  if (a === null || b === null) return a ?? b;
  return worth(a) >= worth(b) ? a : b;
};

const photoMap =
  (frame: Frame, perPixel: number, shift: Vec) =>
  (p: Vec): Vec => {
    const q = toSource(frame, p.x + shift.x, p.y + shift.y);
    return { x: q.x * perPixel, y: q.y * perPixel };
  };
