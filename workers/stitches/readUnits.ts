import type { GreyImage, WorkImage } from '../image';
import { orientation } from './orientation';
import { alike } from './patches';
import { lengthOf, lumaShrunk, sample, type Vec } from './raster';
import { type FabricReading, type ReadingStart, readFabric } from './readFabric';
import { cellPx } from './rectify';
import type { PartMatch } from './repeats';
import type { Lattice } from './smooth';
import { type UnitColumn, unitColumns } from './unitColumns';

/** A usual column, in courses: sets how finely a repeat is sampled. */
const usualShape = 1.35;

/**
 * Reads ribs and fabric with needles out, whose columns are not alike: finds the lattice of their repeats first, which are, then the knit columns in the
 * mean picture of a repeat, and marks them in every one.
 * @param from As for a plain reading, with a basis whose wale step is one whole repeat.
 */
export const readUnits = (work: WorkImage, from: ReadingStart): FabricReading | null => {
  const unit = readFabric(work, { ...from, alike: true });
  if (unit === null) return null;
  const shape = lengthOf(from.basis.wale) / lengthOf(from.basis.course);
  const widthPx = cellPx.width * Math.max(2, Math.round(shape / usualShape));
  const shrink = Math.max(1, lengthOf(from.basis.course) / work.photoPxPerWorkPx / cellPx.height);
  const luma = lumaShrunk(work.image, shrink);
  const perPixel = shrink * work.photoPxPerWorkPx;
  const picture = unroll(luma, unit.lattice, widthPx, (p) => {
    const photo = unit.toPhoto(p);
    return { x: photo.x / perPixel, y: photo.y / perPixel };
  });
  const mean = meanUnit(picture, unit.lattice, widthPx);
  const columns = unitColumns(leanOf(mean), widthPx / shape);
  return columns.length < 2 ? null : divided(unit, columns, partOfCourseIn(mean));
};

/** The fabric with its repeats laid side by side, each `widthPx` × one cell high; empty where it was not read. */
const unroll = (
  source: GreyImage,
  lattice: Lattice,
  unitPx: number,
  toSource: (p: Vec) => Vec,
): GreyImage => {
  const widthPx = (lattice.wales - 1) * unitPx;
  const heightPx = (lattice.courses - 1) * cellPx.height;
  const data = new Float32Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const place = placeAt(lattice, (x + 0.5) / unitPx, (y + 0.5) / cellPx.height);
      if (place === null) continue;
      const p = toSource(place);
      data[y * widthPx + x] = sample(source, p.x, p.y);
    }
  }
  return { widthPx, heightPx, data };
};

/** The place at fractional line numbers; null outside what was read. */
const placeAt = ({ places }: Lattice, wale: number, course: number): Vec | null => {
  const w = Math.floor(wale);
  const c = Math.floor(course);
  const s = wale - w;
  const t = course - c;
  const p = places[w]?.[c] ?? null;
  const right = s === 0 ? p : (places[w + 1]?.[c] ?? null);
  const below = t === 0 ? p : (places[w]?.[c + 1] ?? null);
  if (p === null || right === null || below === null) return null;
  return {
    x: p.x + s * (right.x - p.x) + t * (below.x - p.x),
    y: p.y + s * (right.y - p.y) + t * (below.y - p.y),
  };
};

/** The mean repeat, `unitPx` × one cell high: the two parts of the yarn's direction, row by row, over all repeats that were wholly read. */
interface MeanUnit {
  readonly widthPx: number;
  readonly even: Float32Array;
  readonly odd: Float32Array;
}

const meanUnit = (picture: GreyImage, lattice: Lattice, unitPx: number): MeanUnit => {
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

/** Lean of the yarn across the repeat, summed along the wale. */
const leanOf = ({ widthPx, odd }: MeanUnit): number[] =>
  Array.from({ length: widthPx }, (_, x) =>
    Array.from({ length: cellPx.height }, (_, y) => odd[y * widthPx + x] as number).reduce(
      (a, b) => a + b,
      0,
    ),
  );

/** How the mean repeat matches itself a half or a third of a course away; what is the same all along the wale does not count. */
const partOfCourseIn = (unit: MeanUnit): PartMatch => {
  const own = [alongWale(unit.even, unit.widthPx), alongWale(unit.odd, unit.widthPx)];
  const matchAt = (rows: number): number => {
    const shifted = own.map((plane) => rolled(plane, rows * unit.widthPx));
    return alike(joined(own), joined(shifted));
  };
  const half = matchAt(cellPx.height / 2);
  const third = matchAt(cellPx.height / 3);
  return half >= third ? { parts: 2, alike: half } : { parts: 3, alike: third };
};

const alongWale = (plane: Float32Array, widthPx: number): Float32Array =>
  plane.map((v, i) => {
    let sum = 0;
    for (let k = i % widthPx; k < plane.length; k += widthPx) sum += plane[k] as number;
    return v - sum / cellPx.height;
  });

const rolled = (plane: Float32Array, by: number): Float32Array =>
  plane.map((_, i) => plane[(i + by) % plane.length] as number);

const joined = (planes: readonly Float32Array[]): Float32Array =>
  Float32Array.from(planes.flatMap((plane) => [...plane]));

/** Whether a cell and those above and below it were read. */
const isWhole = ({ places }: Lattice, w: number, c: number): boolean =>
  [w, w + 1].every((wale) =>
    [c - 1, c, c + 1, c + 2].every((course) => (places[wale]?.[course] ?? null) !== null),
  );

/** The reading with each repeat divided into its columns. */
const divided = (
  unit: FabricReading,
  columns: readonly UnitColumn[],
  partOfCourse: PartMatch,
): FabricReading => {
  const { lattice } = unit;
  const repeats = lattice.wales - 1;
  const lines = Array.from({ length: repeats * columns.length }, (_, i) => {
    const { offset, gap } = columns[i % columns.length] as UnitColumn;
    const wale = Math.floor(i / columns.length) + offset;
    return { wale, gap };
  });
  const nearest = (wale: number): number => Math.min(lattice.wales - 1, Math.round(wale));
  const courses = Array.from({ length: lattice.courses }, (_, c) => c);
  const knit = columns.filter((column) => !column.gap).length;
  return {
    ...unit,
    lattice: {
      ...lattice,
      wales: lines.length,
      places: lines.map(({ wale }) => courses.map((c) => placeAt(lattice, wale, c))),
      seen: lines.map(({ wale }) => courses.map((c) => lattice.seen[nearest(wale)]?.[c] === true)),
      gaps: lines.map(({ gap }) => gap),
      first: { wale: 0, course: lattice.first.course },
      scatter: { wale: lattice.scatter.wale * columns.length, course: lattice.scatter.course },
    },
    template: { ...unit.template, face: 'knit' },
    stitchCount: unit.stitchCount * knit,
    repeats: unit.repeats && {
      ...unit.repeats,
      partOfWale: { parts: 2, alike: 0 },
      partOfCourse,
      halfOfBoth: 0,
    },
  };
};
