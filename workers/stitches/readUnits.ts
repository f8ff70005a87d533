import type { WorkImage } from '../image';
import { placeAt } from './latticePlace';
import { columnIn, columnsAlike, leanOf, type MeanUnit, meanUnit, partOfCourseIn, unroll } from './meanUnit';
import { lengthOf, lumaShrunk } from './raster';
import { type FabricReading, type ReadingStart, readFabric } from './readFabric';
import { cellPx } from './rectify';
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
  return columns.length < 2 ? null : divided(unit, columns, mean);
};

/** The reading with each repeat divided into its columns. */
const divided = (unit: FabricReading, columns: readonly UnitColumn[], mean: MeanUnit): FabricReading => {
  const { lattice } = unit;
  const repeats = lattice.wales - 1;
  const lines = Array.from({ length: repeats * columns.length }, (_, i) => {
    const { offset, gap } = columns[i % columns.length] as UnitColumn;
    const wale = Math.floor(i / columns.length) + offset;
    return { wale, gap };
  });
  const nearest = (wale: number): number => Math.min(lattice.wales - 1, Math.round(wale));
  const courses = Array.from({ length: lattice.courses }, (_, c) => c);
  const knit = columns.filter((column) => !column.gap).map(({ offset }) => offset);
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
    template: columnIn(mean, knit[0] ?? 0),
    stitchCount: unit.stitchCount * knit.length,
    repeats: unit.repeats && {
      ...unit.repeats,
      partOfWale: { parts: 2, alike: 0 },
      partOfCourse: partOfCourseIn(mean),
      halfOfBoth: 0,
      // A furrow of purl columns may lean like a knit one and look quite different.
      oddWales: { every: knit.length === 2 ? 2 : knit.length === 3 ? 3 : 4, alike: columnsAlike(mean, knit) },
    },
  };
};
