import type { GreyImage } from '../image';
import { orientation } from './orientation';
import { alike, withoutMeans } from './patches';
import { type Reading, readTemplate } from './phase';
import { sample, type Vec } from './raster';
import { cellPx } from './rectify';
import { betterPart, type PartMatch } from './repeats';
import type { Lattice } from './smooth';
import type { UnitProfile } from './unitColumns';

/** The fabric with its repeats laid side by side, each `widthPx` × one cell high; empty where it was not read. */
export const unroll = (
  source: GreyImage,
  lattice: Lattice,
  unitPx: number,
  toSource: (p: Vec) => Vec,
): GreyImage => {
  const widthPx = (lattice.wales - 1) * unitPx;
  const heightPx = (lattice.courses - 1) * cellPx.height;
  const data = new Float32Array(widthPx * heightPx);
  for (let c = 0; c < lattice.courses - 1; c++) {
    for (let w = 0; w < lattice.wales - 1; w++) {
      const p = lattice.places[w]?.[c] ?? null;
      const right = lattice.places[w + 1]?.[c] ?? null;
      const below = lattice.places[w]?.[c + 1] ?? null;
      if (p === null || right === null || below === null) continue;
      for (let i = 0; i < cellPx.height; i++) {
        const t = (i + 0.5) / cellPx.height;
        const row = (c * cellPx.height + i) * widthPx + w * unitPx;
        for (let j = 0; j < unitPx; j++) {
          const s = (j + 0.5) / unitPx;
          const q = toSource({
            x: p.x + s * (right.x - p.x) + t * (below.x - p.x),
            y: p.y + s * (right.y - p.y) + t * (below.y - p.y),
          });
          data[row + j] = sample(source, q.x, q.y);
        }
      }
    }
  }
  return { widthPx, heightPx, data };
};

/** The mean repeat, `unitPx` × one cell high: the two parts of the yarn's direction, row by row, over all repeats that were wholly read. */
export interface MeanUnit {
  readonly widthPx: number;
  readonly even: Float32Array;
  readonly odd: Float32Array;
}

/** Averages the repeats of an unrolled fabric. */
export const meanUnit = (picture: GreyImage, lattice: Lattice, unitPx: number): MeanUnit => {
  const planes = orientation(picture, cellPx.width);
  const sums = planes.map(() => new Float32Array(unitPx * cellPx.height));
  for (let w = 0; w < lattice.wales - 1; w++) {
    for (let c = 1; c < lattice.courses - 2; c++) {
      if (!isWhole(lattice, w, c)) continue;
      planes.forEach((plane, i) => {
        addCell(sums[i] as Float32Array, plane, w * unitPx, c * cellPx.height, unitPx);
      });
    }
  }
  const [even, odd] = sums as [Float32Array, Float32Array];
  return { widthPx: unitPx, even, odd };
};

const addCell = (sum: Float32Array, plane: GreyImage, left: number, top: number, unitPx: number): void => {
  for (let y = 0; y < cellPx.height; y++)
    for (let x = 0; x < unitPx; x++)
      sum[y * unitPx + x] =
        (sum[y * unitPx + x] as number) + (plane.data[(top + y) * plane.widthPx + left + x] as number);
};

/** Contrast below this share of the clearest place's is not blown up. */
const leastContrast = 0.1;

/**
 * Direction of the yarn across the repeat, averaged along the wale, by how clear it is at each place itself: beside a ladder, whose strands outshine them,
 * legs lean as much as elsewhere.
 * @param leastShare contrast below this share of the clearest place's is not blown up.
 */
export const profileOf = (
  { widthPx, even, odd }: MeanUnit,
  leastShare: number = leastContrast,
): UnitProfile => {
  const summed = (valueAt: (k: number) => number): number[] =>
    Array.from({ length: widthPx }, (_, x) => {
      let sum = 0;
      for (let y = 0; y < cellPx.height; y++) sum += valueAt(y * widthPx + x);
      return sum;
    });
  const clear = summed((k) => Math.hypot(even[k] as number, odd[k] as number));
  const floor = leastShare * Math.max(...clear) + 1e-9;
  const share = (sums: number[]): number[] => sums.map((sum, x) => sum / ((clear[x] as number) + floor));
  return { lean: share(summed((k) => odd[k] as number)), steep: share(summed((k) => even[k] as number)) };
};

/** What one knit column of the mean repeat shows, one usual wale wide. */
export const columnIn = (unit: MeanUnit, offset: number): Reading => {
  const count = 3;
  const [even, odd] = pictureIn(unit, offset);
  const data = new Float32Array(even.length * count);
  for (let i = 0; i < even.length; i++) {
    data[i * count + 1] = even[i] as number;
    data[i * count + 2] = odd[i] as number;
  }
  return readTemplate({ widthPx: cellPx.width, heightPx: cellPx.height, data, count });
};

/** Both parts of the direction, one usual wale wide around a share of the repeat. */
const pictureIn = ({ widthPx, even, odd }: MeanUnit, offset: number): [Float32Array, Float32Array] => {
  const left = Math.round(offset * widthPx - cellPx.width / 2) + widthPx;
  const cut = (plane: Float32Array): Float32Array =>
    Float32Array.from({ length: cellPx.width * cellPx.height }, (_, i) => {
      const y = Math.floor(i / cellPx.width);
      const x = (left + (i % cellPx.width)) % widthPx;
      return plane[y * widthPx + x] as number;
    });
  return [cut(even), cut(odd)];
};

/** How the mean repeat matches itself a half or a third of a course away; what is the same all along the wale does not count. */
export const partOfCourseIn = (unit: MeanUnit): PartMatch => {
  const own = [unit.even, unit.odd].map((plane) => withoutMeans(plane, unit.widthPx, cellPx.height));
  const matchAt = (rows: number): number => {
    const shifted = own.map((plane) => rolled(plane, rows * unit.widthPx));
    return alike(joined(own), joined(shifted));
  };
  return betterPart(matchAt(cellPx.height / 2), matchAt(cellPx.height / 3));
};

const rolled = (plane: Float32Array, by: number): Float32Array =>
  plane.map((_, i) => plane[(i + by) % plane.length] as number);

const joined = (planes: readonly Float32Array[]): Float32Array =>
  Float32Array.from(planes.flatMap((plane) => [...plane]));

/** Whether a cell and those above and below it were read. */
const isWhole = ({ places }: Lattice, w: number, c: number): boolean =>
  [w, w + 1].every((wale) =>
    [c - 1, c, c + 1, c + 2].every((course) => (places[wale]?.[course] ?? null) !== null),
  );
