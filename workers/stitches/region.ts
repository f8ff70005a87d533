import type { GreyImage } from '../image';
import { autocorrelateTiles, type Corner, type LagMap, meanLagMap, tilePx } from './autocorrelation';
import { peaksOf } from './basis';
import { flatten } from './flatten';
import { orientation } from './orientation';
import type { Vec } from './raster';

/** One tile of the survey: where it lies, how it matches itself, and how clearly it repeats in two directions. */
export interface Tile extends Corner {
  readonly map: LagMap;
  /** What the direction of the yarn says alone: it does not see colours. */
  readonly direction: LagMap | null;
  readonly strength: number;
}

/** Tiles that hang together and repeat in the same way. */
export interface Patch {
  readonly tiles: readonly Tile[];
  readonly map: LagMap;
  readonly direction: LagMap | null;
  readonly weight: number;
}

/** Centre of a tile. */
export const centreOf = (tile: Corner): Vec => ({ x: tile.x + tilePx / 2, y: tile.y + tilePx / 2 });

/** Top-left corners of tiles that cover the picture with the given stride; none if it is smaller than a tile. */
export const tileCorners = (image: GreyImage, stride: number, accept: (centre: Vec) => boolean): Corner[] => {
  const along = (extent: number): number[] => {
    const room = extent - tilePx;
    if (room < 0) return [];
    const count = Math.max(1, Math.ceil(room / stride) + 1);
    return Array.from({ length: count }, (_, i) => (count === 1 ? 0 : Math.round((i * room) / (count - 1))));
  };
  const columns = along(image.widthPx);
  return along(image.heightPx)
    .flatMap((y) => columns.map((x) => ({ x, y })))
    .filter((corner) => accept(centreOf(corner)));
};

/** Self-match maps of tiles: the mean of what lightness says and what the direction of the yarn says. */
export const mapTiles = (image: GreyImage, corners: readonly Corner[], flattenPx: number): Tile[] => {
  const light = autocorrelateTiles([flatten(image, flattenPx)], corners);
  const direction = autocorrelateTiles(orientation(image, 12), corners);
  return corners.flatMap((corner, i) => {
    const a = light[i];
    const b = direction[i];
    const map = meanLagMap([a, b].filter((m): m is LagMap => m !== null && m !== undefined));
    return map === null ? [] : [{ ...corner, map, direction: b ?? null, strength: repeatStrength(map) }];
  });
};

/** Height of the second of the two best peaks that lie in clearly different directions: a stripe alone gives none. */
const repeatStrength = (map: LagMap): number => {
  const peaks = peaksOf(map, 0.05).slice(0, 12);
  let best = 0;
  for (const p of peaks) {
    for (const q of peaks) {
      const sine = Math.abs(p.x * q.y - p.y * q.x) / (Math.hypot(p.x, p.y) * Math.hypot(q.x, q.y));
      if (sine < 0.6) continue;
      best = Math.max(best, Math.min(p.value, q.value, p.prominence, q.prominence));
    }
  }
  return best;
};

/** Correlation coefficient of two maps outside their central peak. */
const likeness = (a: LagMap, b: LagMap): number => {
  const side = 2 * a.reach + 1;
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let dy = 0; dy <= 24; dy++) {
    for (let dx = -24; dx <= 24; dx++) {
      if (dx * dx + dy * dy < 16) continue;
      const k = (dy + a.reach) * side + dx + a.reach;
      const x = a.data[k] as number;
      const y = b.data[k] as number;
      ab += x * y;
      aa += x * x;
      bb += y * y;
    }
  }
  return ab / Math.sqrt(aa * bb + 1e-9);
};

/**
 * Groups tiles that touch and repeat alike into patches, the weightiest first. Fabric repeats in the same way all over and changes
 * slowly with tilt and bow; a table does not repeat, and a mat's lines repeat in a way of their own.
 */
export const findPatches = (tiles: readonly Tile[], stride: number): Patch[] => {
  const good = tiles.filter((t) => t.strength > 0.12);
  const seen = new Set<Tile>();
  const patches: Patch[] = [];
  for (const start of [...good].sort((a, b) => b.strength - a.strength)) {
    if (seen.has(start)) continue;
    const members = gather(start, good, seen, stride);
    const kin = members
      .map((tile) => ({ tile, like: likeness(tile.map, start.map) }))
      .sort((a, b) => b.like - a.like)
      .slice(0, 12);
    const map = meanLagMap(kin.map((k) => k.tile.map));
    if (map === null) continue;
    const weight = members.reduce((sum, t) => sum + t.strength, 0);
    const direction = meanLagMap(kin.flatMap((k) => (k.tile.direction === null ? [] : [k.tile.direction])));
    patches.push({ tiles: members, map, direction, weight });
  }
  return patches.sort((a, b) => b.weight - a.weight);
};

/** Spreads from one tile to touching tiles that repeat like the one they touch and not unlike the first one. */
const gather = (start: Tile, good: readonly Tile[], seen: Set<Tile>, stride: number): Tile[] => {
  seen.add(start);
  const members = [start];
  for (let i = 0; i < members.length; i++) {
    const tile = members[i] as Tile;
    for (const other of good) {
      if (seen.has(other)) continue;
      if (Math.abs(other.x - tile.x) > 1.1 * stride || Math.abs(other.y - tile.y) > 1.1 * stride) continue;
      if (likeness(other.map, tile.map) < 0.55 || likeness(other.map, start.map) < 0.35) continue;
      seen.add(other);
      members.push(other);
    }
  }
  return members;
};

/** Luma from which on a pixel is burnt out and shows no detail of its own, 0 to 255. */
const burnt = 250;
/** Least number of pixels that must not be burnt out: a quarter of those looked at. */
const leastUnburnt = tilePx ** 2 / 4 / 4 / 4;

/**
 * Whether the middle of a tile is full of detail, as fabric is: the lower quarter of its gradients against their mean. Lines on
 * an even ground (a mat, a ruler, a card's edge) are all ground and a little line: 0.05 to 0.35; yarn gives 0.4 to 0.6 (measured on
 * rendered and real photos).
 */
export const isFull = (image: GreyImage, corner: Corner): boolean => {
  const { widthPx: w, data } = image;
  const strengths: number[] = [];
  let sum = 0;
  for (let y = corner.y + tilePx / 4; y < corner.y + (3 * tilePx) / 4; y += 2) {
    for (let x = corner.x + tilePx / 4 + ((y >> 1) & 1); x < corner.x + (3 * tilePx) / 4; x += 2) {
      const k = y * w + x;
      if ((data[k] as number) > burnt) continue;
      const g = Math.hypot(
        (data[k + 1] as number) - (data[k - 1] as number),
        (data[k + w] as number) - (data[k - w] as number),
      );
      strengths.push(g);
      sum += g;
    }
  }
  if (strengths.length < leastUnburnt) return false;
  strengths.sort((a, b) => a - b);
  return (strengths[strengths.length >> 2] as number) > (0.33 * sum) / strengths.length;
};
