import { type Basis, orient } from './basis';
import { lengthOf, type Vec } from './raster';
import { CENTRE_IS_WHOLE, COURSES_ARE_ALIKE, PART_IS_WHOLE, type Repeats, WALES_ARE_ALIKE } from './repeats';

/** A wale is seldom wider than this many courses are high; a wider one is the repeat of a rib, or of needles out. */
export const WIDEST_WALE = 2;

/** Another lattice to read with. */
export interface NextBasis {
  readonly basis: Basis;
  /** Whether its wale step is a whole repeat of a rib or of needles out, with several columns in it. */
  readonly repeat: boolean;
}

/**
 * The lattice that a reading asks for next: where the fabric looks the same a part step away, the step was too long; where a wale is far wider than
 * high, or every n-th looks different, it takes several columns to make a repeat; and where every n-th course does, the columns of a rib may have been taken for
 * courses. Null if there is nothing to divide.
 * @param basis The steps that were read with, photo px.
 */
export const nextBasis = (basis: Basis, repeats: Repeats): NextBasis | null => {
  const { partOfWale, partOfCourse, halfOfBoth } = repeats;
  const wales = partOfWale.alike > PART_IS_WHOLE ? partOfWale.parts : 1;
  const courses = partOfCourse.alike > PART_IS_WHOLE ? partOfCourse.parts : 1;
  if (wales === 1 && courses === 1 && halfOfBoth > CENTRE_IS_WHOLE)
    return { basis: centred(basis), repeat: false };
  const divided = squared({ wale: part(basis.wale, wales), course: part(basis.course, courses) });
  if (lengthOf(divided.wale) > WIDEST_WALE * lengthOf(divided.course))
    return { basis: divided, repeat: true };
  if (wales > 1 || courses > 1) return { basis: divided, repeat: false };
  if (repeats.oddWales.alike < WALES_ARE_ALIKE)
    return { basis: repeated(basis, repeats.oddWales.every), repeat: true };
  if (repeats.oddCourses.alike < COURSES_ARE_ALIKE)
    return {
      basis: squared(orient(part(basis.course, 1 / repeats.oddCourses.every), basis.wale)),
      repeat: true,
    };
  return null;
};

/** The lattice of so many wales together. */
export const repeated = (basis: Basis, wales: number): Basis =>
  squared({ ...basis, wale: part(basis.wale, 1 / wales) });

const part = (v: Vec, parts: number): Vec => ({ x: v.x / parts, y: v.y / parts });

/** The same lattice with the wale step that is squarest to the course: a finer course or a whole repeat leaves room for one. */
export const squared = ({ wale, course }: Basis): Basis => {
  const courses = Math.round((wale.x * course.x + wale.y * course.y) / lengthOf(course) ** 2);
  return { wale: { x: wale.x - courses * course.x, y: wale.y - courses * course.y }, course };
};

/** The lattice that has a place in the middle of each cell as well. */
const centred = ({ wale, course }: Basis): Basis =>
  orient(
    { x: (wale.x + course.x) / 2, y: (wale.y + course.y) / 2 },
    { x: (wale.x - course.x) / 2, y: (wale.y - course.y) / 2 },
  );
