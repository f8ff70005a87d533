import type { WorkImage } from '../image';
import { tilePx } from './autocorrelation';
import { type Basis, type BasisFinding, findBases, sameLattice } from './basis';
import { lumaShrunk, type Vec } from './raster';
import { centreOf, findPatches, isFull, mapTiles, type Patch, type Tile, tileCorners } from './region';

/** A patch of fabric with its lattice, in photo px. */
export interface Candidate {
  readonly basis: Basis;
  /** Where it repeats most clearly, and where it lies deepest inside the patch, photo px. */
  readonly seeds: readonly Vec[];
  readonly extent: readonly Vec[];
  /** Whether a place (photo px) lies on one of the patch's tiles. */
  readonly covers: (photo: Vec) => boolean;
  /** How much of the photo repeats in this way, square photo px. */
  readonly area: number;
  /** Number of tiles in the patch, by how clearly they repeat, times how well the lattice explains them. */
  readonly weight: number;
  /** Whether another lattice explains the same tiles better. */
  readonly second: boolean;
}

/** Deviation window for the survey, px: about a wale at the scales at which stitches are found. */
const flattenPx = 8;

/**
 * Looks for patches of repeating texture on a shrunken copy of the photo. Stitches are found when their wales come out at about 5 to 22 px; other
 * sizes need another scale.
 * @param shrink Work px per survey px.
 * @param stride Distance between tiles, survey px.
 * @param allowed Whether a place (photo px) may be fabric.
 */
export const survey = (
  work: WorkImage,
  shrink: number,
  stride: number,
  allowed: (photo: Vec) => boolean,
): Candidate[] => {
  const luma = lumaShrunk(work.image, shrink);
  const perPixel = shrink * work.photoPxPerWorkPx;
  const corners = tileCorners(luma, stride, (p) => allowed({ x: p.x * perPixel, y: p.y * perPixel })).filter(
    (corner) => isFull(luma, corner),
  );
  return findPatches(mapTiles(luma, corners, flattenPx), stride)
    .flatMap((patch) => candidatesOf(patch, perPixel, stride))
    .sort((a, b) => b.weight - a.weight);
};

const candidatesOf = (patch: Patch, perPixel: number, stride: number): Candidate[] => {
  const start = patch.tiles[0];
  if (start === undefined) return [];
  const scaled = (v: Vec): Vec => ({ x: v.x * perPixel, y: v.y * perPixel });
  const shared = {
    seeds: [scaled(centreOf(start)), scaled(centreOf(deepest(patch.tiles) ?? start))],
    extent: patch.tiles.flatMap((t) =>
      [0, tilePx].flatMap((dx) => [0, tilePx].map((dy) => scaled({ x: t.x + dx, y: t.y + dy }))),
    ),
    covers: coverOf(patch, perPixel),
    area: patch.tiles.length * (stride * perPixel) ** 2,
  };
  return basesOf(patch).map(({ basis: { wale, course }, score, second }) => ({
    ...shared,
    weight: patch.weight * score,
    basis: { wale: scaled(wale), course: scaled(course) },
    second,
  }));
};

/** The tile nearest to the middle of them all. */
const deepest = (tiles: readonly Tile[]): Tile | undefined => {
  const x = tiles.reduce((sum, t) => sum + t.x, 0) / tiles.length;
  const y = tiles.reduce((sum, t) => sum + t.y, 0) / tiles.length;
  return [...tiles].sort((a, b) => Math.hypot(a.x - x, a.y - y) - Math.hypot(b.x - x, b.y - y))[0];
};

/** A lattice of a patch, and whether another explains it better. */
interface PatchBasis extends BasisFinding {
  readonly second: boolean;
}

/** Lattices that are told of each map. */
const basesTold = 3;

/**
 * The likeliest lattice, and what the yarn's direction says alone if that is another: stripes and marl mislead lightness. Then those that are less likely by either: the
 * plies of a marl make a lattice of their own, and may outweigh the stitches.
 */
const basesOf = ({ map, direction }: Patch): PatchBasis[] => {
  const told = [map, direction].map((of) => (of === null ? [] : findBases(of, basesTold)));
  const ranked = Array.from({ length: basesTold }).flatMap((_, rank) =>
    told.flatMap((bases) => bases.slice(rank, rank + 1)),
  );
  const likeliest = told.flatMap((bases) => bases.slice(0, 1));
  const distinct: PatchBasis[] = [];
  for (const found of ranked)
    if (!distinct.some(({ basis }) => sameLattice(basis, found.basis)))
      distinct.push({ ...found, second: !likeliest.includes(found) });
  return distinct;
};

/** The fabric ends within half a tile of the last tile that is full of it. */
const coverOf = (patch: Patch, perPixel: number): ((photo: Vec) => boolean) => {
  const centres = patch.tiles.map(centreOf);
  const reach = 0.55 * tilePx;
  return (photo) => {
    const x = photo.x / perPixel;
    const y = photo.y / perPixel;
    return centres.some((c) => Math.abs(c.x - x) < reach && Math.abs(c.y - y) < reach);
  };
};
