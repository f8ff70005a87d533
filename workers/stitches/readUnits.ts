import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { placeByColumns } from './columnStitches';
import { repeated, squared } from './finer';
import { placeBeyond } from './latticePlace';
import { columnIn, type MeanUnit, meanUnit, partOfCourseIn, profileOf, unroll } from './meanUnit';
import { levelLikeness, levelSteps, lowered, middleOf } from './mirror';
import { lengthOf, lumaShrunk, medianOf, type Vec } from './raster';
import { type FabricReading, type ReadingStart, readFabric } from './readFabric';
import { cellPx } from './rectify';
import { WALES_ARE_ALIKE } from './repeats';
import type { Lattice } from './smooth';
import { type UnitColumns, unitColumns } from './unitColumns';

/** A usual column, in courses: sets how finely a repeat is sampled. */
const usualShape = 1.35;
/** What differs more than this in turn is no repeat: true ones come to 0.8. */
const repeatsAreAlike = 0.75;
/** A repeat may turn out to be a part of one, so many times. */
const longerRounds = 1;

/**
 * Reads ribs and fabric with needles out, whose columns are not alike: finds the lattice of their repeats first, which are, then the knit columns in the
 * mean picture of a repeat, and marks them in every one.
 * @param from As for a plain reading, with a basis whose wale step is one whole repeat.
 */
export const readUnits = (
  work: WorkImage,
  from: ReadingStart,
  rounds = longerRounds,
): FabricReading | null => {
  const unit = readFabric(work, { ...from, alike: true });
  if (unit === null) return null;
  const meanOf = meanPictures(work, from.basis, unit);
  const level = rounds > 0 ? levelled(usualSteps(unit), unit, meanOf) : null;
  if (level !== null) return readUnits(work, { ...from, basis: level }, rounds - 1);
  const { every, alike } = unit.repeats?.oddWales ?? { every: 1, alike: 1 };
  if (rounds > 0 && alike < WALES_ARE_ALIKE) {
    const longer = readUnits(work, { ...from, basis: repeated(from.basis, every) }, rounds - 1);
    if (longer !== null && (alike < repeatsAreAlike || isClearer(longer, alike))) return longer;
  }
  if (alike < repeatsAreAlike) return null;
  const shape = lengthOf(from.basis.wale) / lengthOf(from.basis.course);
  const mean = meanOf(unit.lattice);
  const { widthPx } = mean;
  const found = unitColumns(profileOf(mean), widthPx / shape);
  if (found.columns.length === 0) return null;
  if (found.columns.length === 1) {
    // One column to a repeat is no repeat: needles may be out between them in a rhythm of their own.
    const plain = readFabric(work, from);
    if (plain?.lattice.gaps.some(Boolean) === true) return plain;
  }
  const column = found.width / widthPx;
  const { wale, course } = from.basis;
  const basis = { wale: { x: column * wale.x, y: column * wale.y }, course };
  return placeByColumns(work, basis, divided(unit, found, mean));
};

/** Whether the repeats of a longer lattice are more alike than those of the shorter by half of what those lack: in a small photo all of them differ. */
const isClearer = ({ repeats }: FabricReading, alike: number): boolean =>
  repeats !== null && repeats.oddWales.alike > (1 + alike) / 2;

/** Makes the mean picture of a repeat, for the lattice that was read or another through the same places. */
const meanPictures = (
  work: WorkImage,
  { wale, course }: Basis,
  { toPhoto }: FabricReading,
): ((lattice: Lattice) => MeanUnit) => {
  const shape = lengthOf(wale) / lengthOf(course);
  const widthPx = cellPx.width * Math.max(2, Math.round(shape / usualShape));
  const shrink = Math.max(1, lengthOf(course) / work.photoPxPerWorkPx / cellPx.height);
  const luma = lumaShrunk(work.image, shrink);
  const perPixel = shrink * work.photoPxPerWorkPx;
  return (lattice) => {
    const picture = unroll(luma, lattice, widthPx, (p) => {
      const photo = toPhoto(p);
      return { x: photo.x / perPixel, y: photo.y / perPixel };
    });
    return meanUnit(picture, lattice, widthPx);
  };
};

/** Rows that follow the courses make the step to the next repeat shorter than this share of one that runs aslant. */
const aslantFrom = 0.98;
/** And its mean picture more its own mirror image by this much. */
const clearlyMirrored = 0.15;

const movedBy = ({ wale, course }: Basis, courses: number): Vec => ({
  x: wale.x + courses * course.x,
  y: wale.y + courses * course.y,
});

/**
 * The lattice with its steps to the next repeat along the rows, where those read run aslant from one course to another; null where they are level. A repeat that is
 * seen aslant leaves several steps of nearly one length: the one whose repeat is its own mirror image, its strands along the row, is level.
 */
const levelled = (
  steps: Basis,
  { lattice }: FabricReading,
  meanOf: (lattice: Lattice) => MeanUnit,
): Basis | null => {
  const tried = levelSteps(steps);
  if (tried.length > 1) {
    const middle = middleOf(lattice);
    const [best, second] = tried
      .map((by) => ({ by, likeness: levelLikeness(meanOf(lowered(middle, by))) }))
      .sort((a, b) => b.likeness - a.likeness);
    if (best !== undefined && second !== undefined && best.likeness > second.likeness + clearlyMirrored)
      return best.by === 0 ? null : { ...steps, wale: movedBy(steps, best.by) };
  }
  const straight = squared(steps);
  return lengthOf(straight.wale) < aslantFrom * lengthOf(steps.wale) ? straight : null;
};

/** Usual steps to the next wale and course, photo px: a repeat is wide, and rows may have been read that run aslant from one course to the next. */
const usualSteps = ({ lattice, toPhoto }: FabricReading): Basis => {
  const photo = lattice.places.map((wale) => wale.map((p) => (p === null ? null : toPhoto(p))));
  const usual = (right: number, down: number): Vec => {
    const steps = photo.flatMap((wale, w) =>
      wale.flatMap((p, c) => {
        const q = photo[w + right]?.[c + down] ?? null;
        return p === null || q === null ? [] : [{ x: q.x - p.x, y: q.y - p.y }];
      }),
    );
    return { x: medianOf(steps.map(({ x }) => x)), y: medianOf(steps.map(({ y }) => y)) };
  };
  return { wale: usual(1, 0), course: usual(0, 1) };
};

/** The reading with each repeat divided into its columns. */
const divided = (unit: FabricReading, found: UnitColumns, mean: MeanUnit): FabricReading => {
  const { lattice } = unit;
  const { columns } = found;
  const last = lattice.wales - 1;
  // The outermost repeats reach half their width beyond their middles.
  const lines = Array.from({ length: lattice.wales + 2 }, (_, i) => i - 2)
    .flatMap((repeat) => columns.map(({ offset, gap }) => ({ wale: repeat + offset, gap })))
    .filter(({ wale }) => wale >= -0.5 && wale <= last + 0.5);
  const nearest = (wale: number): number => Math.min(last, Math.max(0, Math.round(wale)));
  const courses = Array.from({ length: lattice.courses }, (_, c) => c);
  const knit = columns.filter((column) => !column.gap).map(({ offset }) => offset);
  return {
    ...unit,
    lattice: {
      ...lattice,
      wales: lines.length,
      places: lines.map(({ wale }) => courses.map((c) => placeBeyond(lattice, wale, c))),
      seen: lines.map(({ wale }) => courses.map((c) => lattice.seen[nearest(wale)]?.[c] === true)),
      gaps: lines.map(({ gap }) => gap),
      furrow: found.furrow,
      perRepeat: columns.length,
      first: { wale: 0, course: lattice.first.course },
      scatter: { wale: lattice.scatter.wale * columns.length, course: lattice.scatter.course },
    },
    columnShape: usualShape,
    columnsClear: clearness(found),
    template: columnIn(mean, knit[0] ?? 0),
    stitchCount: unit.stitchCount * knit.length,
    repeats: unit.repeats && {
      ...unit.repeats,
      partOfWale: { parts: 2, alike: 0 },
      partOfCourse: partOfCourseIn(mean),
      halfOfBoth: 0,
    },
  };
};

/** One column more or less explains worse by this share of what a column does, at least; the number is in doubt from there on. */
const leastLead = 0.25;
/** The columns explain this much at least. */
const leastExplained = 0.55;

/** How clearly the number of columns was told, 1 without a doubt: on the scale of how alike wales are. */
const clearness = ({ columns, explained, next }: UnitColumns): number => {
  const lead = (1 - next / explained) * columns.filter(({ gap }) => !gap).length;
  return 1 - Math.max(0, leastLead - lead) - Math.max(0, leastExplained - explained);
};
