import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import type { GrowthSeeds, Stage } from '../contract';
import type { WorkImage } from '../image';
import { tilePx } from './autocorrelation';
import { type Basis, findBases } from './basis';
import { confidenceOf, unreadable } from './confidence';
import { gridOf, outlineOf, windowOf } from './lines';
import { lumaShrunk, type Vec } from './raster';
import { type FabricReading, readFabric } from './readFabric';
import { centreOf, findPatches, isFull, mapTiles, type Patch, tileCorners } from './region';

export interface StitchOptions {
  /** Only look inside this polygon (photo px); null looks everywhere. */
  readonly region: readonly PhotoPoint[] | null;
  /** Polygons (photo px) that are not fabric: references. */
  readonly maskOut?: readonly (readonly PhotoPoint[])[];
  readonly onStage?: (stage: Stage, share: number) => void;
}

const ignoreStage = (): void => {};

/** A patch of fabric with its lattice, in photo px. */
interface Candidate {
  readonly basis: Basis;
  readonly seed: Vec;
  readonly extent: readonly Vec[];
  /** How much of the photo repeats in this way, square photo px. */
  readonly area: number;
  readonly weight: number;
}

/** Long side of the picture on which the fabric is first looked for, px. */
const surveyPx = 1000;
const stride = 64;

/**
 * Finds the stitch grid in a photo of knitted fabric: where the texture repeats, its lattice, what its stitch looks like, and from there
 * every stitch. Pure; `opencvReady()` must have resolved before.
 */
export const findStitches = (work: WorkImage, options: StitchOptions): StitchFinding => {
  const onStage = options.onStage ?? ignoreStage;
  onStage('pitch', 0);
  const candidates = survey(work, options);
  let best: FabricReading | null = null;
  for (const candidate of candidates.slice(0, 2)) {
    const reading = readFabric(
      work,
      candidate.basis,
      candidate.seed,
      candidate.extent,
      candidate.area,
      onStage,
    );
    if (reading !== null && (best === null || worth(reading) > worth(best))) best = reading;
  }
  onStage('confidence', 0);
  return best === null ? nothingFound() : findingOf(best);
};

/**
 * Grows the grid from two neighbouring columns and two neighbouring rows that the user tapped: she gives the lattice, the fabric around
 * teaches the stitch. Pure; `opencvReady()` must have resolved before.
 */
export const growFromSeeds = (work: WorkImage, seeds: GrowthSeeds): StitchFinding => {
  const [left, right] = seeds.wales;
  const [above, below] = seeds.courses;
  const basis = basisBetween(
    { x: right.x - left.x, y: right.y - left.y },
    { x: below.x - above.x, y: below.y - above.y },
  );
  if (basis === null) return nothingFound();
  const seed = { x: (left.x + right.x) / 2, y: (left.y + right.y) / 2 };
  const { image, photoPxPerWorkPx } = work;
  const farX = image.widthPx * photoPxPerWorkPx;
  const farY = image.heightPx * photoPxPerWorkPx;
  const whole = [0, farX].flatMap((x) => [0, farY].map((y) => ({ x, y })));
  const reading = readFabric(work, basis, seed, whole, null, ignoreStage);
  return reading === null ? nothingFound() : findingOf(reading);
};

/** The tapped steps, turned so that wales run right and courses down; null if they hardly differ in direction or are no longer than a pixel or two. */
const basisBetween = (wale: Vec, course: Vec): Basis | null => {
  const cross = wale.x * course.y - wale.y * course.x;
  const lengths = Math.hypot(wale.x, wale.y) * Math.hypot(course.x, course.y);
  if (lengths < 9 || Math.abs(cross) < 0.5 * lengths) return null;
  const turnWale = Math.abs(wale.x) >= Math.abs(wale.y) ? wale.x < 0 : wale.y > 0;
  const w = turnWale ? { x: -wale.x, y: -wale.y } : wale;
  const turnCourse = w.x * course.y - w.y * course.x < 0;
  return { wale: w, course: turnCourse ? { x: -course.x, y: -course.y } : course };
};

const worth = (r: FabricReading): number => r.stitchCount * r.medianScore;

const survey = (work: WorkImage, options: StitchOptions): Candidate[] => {
  const longSide = Math.max(work.image.widthPx, work.image.heightPx);
  const shrink = Math.max(1, longSide / surveyPx);
  const luma = lumaShrunk(work.image, shrink);
  const perPixel = shrink * work.photoPxPerWorkPx;
  const allowed = (p: Vec): boolean => {
    const photo = { x: p.x * perPixel, y: p.y * perPixel };
    if (options.region !== null && !isInside(photo, options.region)) return false;
    return !(options.maskOut ?? []).some((polygon) => isInside(photo, polygon));
  };
  const corners = tileCorners(luma, stride, allowed).filter((corner) => isFull(luma, corner));
  const patches = findPatches(mapTiles(luma, corners, 8), stride);
  return patches.flatMap((patch) => candidateOf(patch, perPixel)).sort((a, b) => b.weight - a.weight);
};

const candidateOf = (patch: Patch, perPixel: number): Candidate[] => {
  const finding = findBases(patch.map, 3)[0] ?? null;
  const start = patch.tiles[0];
  if (finding === null || start === undefined) return [];
  const scaled = (v: Vec): Vec => ({ x: v.x * perPixel, y: v.y * perPixel });
  return [
    {
      basis: { wale: scaled(finding.basis.wale), course: scaled(finding.basis.course) },
      seed: scaled(centreOf(start)),
      extent: patch.tiles.flatMap((t) =>
        [0, tilePx].flatMap((dx) => [0, tilePx].map((dy) => scaled({ x: t.x + dx, y: t.y + dy }))),
      ),
      area: patch.tiles.length * (stride * perPixel) ** 2,
      weight: patch.weight,
    },
  ];
};

/** Even–odd rule. */
const isInside = (p: Vec, polygon: readonly Vec[]): boolean => {
  let inside = false;
  let before = polygon[polygon.length - 1];
  for (const corner of polygon) {
    if (
      before !== undefined &&
      corner.y > p.y !== before.y > p.y &&
      p.x < ((before.x - corner.x) * (p.y - corner.y)) / (before.y - corner.y) + corner.x
    )
      inside = !inside;
    before = corner;
  }
  return inside;
};

const nothingFound = (): StitchFinding => ({
  grid: null,
  window: null,
  pitchPx: null,
  face: 'unknown',
  region: [],
  scatter: null,
  disagreements: [],
  confidence: unreadable(
    'No knitted fabric could be read in this photo: tap two neighbouring columns and two neighbouring rows, or take a sharper photo from closer.',
  ),
});

const findingOf = (reading: FabricReading): StitchFinding => {
  const { lattice, toPhoto } = reading;
  const grid = gridOf(lattice, toPhoto);
  const counted = windowOf(lattice, toPhoto);
  if (counted === null) return nothingFound();
  const confidence = confidenceOf({
    likeness: reading.medianScore,
    seenShare: counted.seenShare,
    scatter: lattice.scatter,
    wales: lattice.wales,
    courses: lattice.courses,
    coursePx: counted.pitchPx.course,
    ratio: counted.needlePx / counted.pitchPx.course,
    clashShare: reading.clashes.length / reading.stitchCount,
    repeats: reading.repeats,
    gapsRegular: evenlySpaced(lattice.gaps),
  });
  return {
    grid,
    window: counted.window,
    pitchPx: counted.pitchPx,
    face: reading.template.face,
    region: outlineOf(grid),
    scatter: lattice.scatter,
    disagreements: reading.clashes.map(toPhoto).map((p) => photoPoint(p.x, p.y)),
    confidence,
  };
};

/** Whether the gaps, if there are any, lie equally far apart; a single one says nothing and passes. */
const evenlySpaced = (gaps: readonly boolean[]): boolean => {
  const places = gaps.flatMap((gap, w) => (gap ? [w] : []));
  const steps = places.slice(1).map((w, i) => w - (places[i] ?? 0));
  return steps.every((step) => step === steps[0]);
};
