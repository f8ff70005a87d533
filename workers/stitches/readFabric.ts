import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { flatten } from './flatten';
import { grow, medianScore } from './growth';
import { orientation } from './orientation';
import { type Reading, readTemplate } from './phase';
import { lengthOf, lumaShrunk, type Vec } from './raster';
import { type Frame, fromSource, rectify, toSource } from './rectify';
import { type Lattice, smoothLattice } from './smooth';
import { interleave, learnTemplate, match } from './template';

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
}

/**
 * Reads the stitch grid that holds around a seed: straightens the surroundings by the local lattice, learns the stitch, grows the grid.
 * @param basis Lattice steps at the seed, photo px.
 * @param seed A place well inside the fabric, photo px.
 * @param extent Points (photo px) that the fabric is thought to reach.
 */
export const readFabric = (
  work: WorkImage,
  basis: Basis,
  seed: Vec,
  extent: readonly Vec[],
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
  const template = learnTemplate(channels, { x: Math.round(start.x), y: Math.round(start.y) });
  onStage('grid', 0);
  const response = match(channels, template);
  const growth = grow(response, start, 0.25);
  const lattice = smoothLattice(growth);
  if (lattice === null) return null;
  const reading = readTemplate(template);
  const { shift } = reading;
  const toPhoto = photoMap(frame, perPixel, shift);
  return {
    lattice,
    toPhoto,
    template: reading,
    medianScore: medianScore(growth.stitches.values()),
    stitchCount: growth.stitches.size,
    clashes: growth.clashes,
  };
};

const photoMap =
  (frame: Frame, perPixel: number, shift: Vec) =>
  (p: Vec): Vec => {
    const q = toSource(frame, p.x + shift.x, p.y + shift.y);
    return { x: q.x * perPixel, y: q.y * perPixel };
  };
