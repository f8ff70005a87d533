import type { Uncertain } from './gauge';
import { inchesToMm } from './units';

/** Negative ease of a sock around the foot: about 10 %, 10 to 20 % advised by various pattern writers (common practice). */
export const USUAL_EASE = 0.1;
/** A sock's foot is knit about 1 cm shorter than the foot (common practice). */
export const USUAL_LENGTH_EASE_MM = 10;
/** Foot circumferences that occur, 5.5 to 12 in (K. Atherley, Custom Socks). */
export const FOOT_GIRTH_MM = { least: inchesToMm(5.5), most: inchesToMm(12) } as const;
/** Cylinders of hand-cranked sock machines have had 48 to 140 needles (makers' historic lists). */
export const CYLINDER_NEEDLES = { least: 48, most: 140 } as const;
/** Finished sock circumferences to start from, mm (common practice). */
export const USUAL_SOCK_GIRTH_MM = {
  infant: inchesToMm(4),
  toddler: inchesToMm(5),
  preschool: inchesToMm(6),
  gradeSchool: inchesToMm(7),
  women: inchesToMm(8),
  men: inchesToMm(9.25),
} as const;

/** Circumference of the tube, mm: needles over stitches per mm. */
export const tubeGirth = (needles: number, walesPerMm: number): number => needles / walesPerMm;

/** Circumference of the tube with its ±; the needle count is exact, so the relative ± is that of the gauge. */
export const uncertainTubeGirth = (needles: number, walesPerMm: Uncertain): Uncertain => {
  const value = tubeGirth(needles, walesPerMm.value);
  return { value, plusMinus95: (value * walesPerMm.plusMinus95) / walesPerMm.value };
};

/** Circumference of a finished sock for a body measure, mm. `ease` is the share by which the sock is smaller. */
export const easedGirth = (bodyMm: number, ease: number = USUAL_EASE): number => bodyMm * (1 - ease);

/** Share by which a sock of this circumference is smaller than the foot; negative when it is larger. */
export const easeOf = (bodyMm: number, sockMm: number): number => 1 - sockMm / bodyMm;

/** Stitches around, fractions included, for a circumference in mm. */
export const stitchesAround = (girthMm: number, walesPerMm: number): number => girthMm * walesPerMm;

/** Stitches per mm that a cylinder must knit for a circumference: the gauge decides the size, the needles are fixed. */
export const walesPerMmFor = (needles: number, girthMm: number): number => needles / girthMm;

/** Whole rounds for a length in mm. */
export const roundsFor = (lengthMm: number, coursesPerMm: number): number =>
  Math.round(lengthMm * coursesPerMm);

/** Length of so many rounds, mm. */
export const lengthOfRounds = (rounds: number, coursesPerMm: number): number => rounds / coursesPerMm;

/** Length of the foot of the sock, mm, for a foot length in mm. */
export const sockFootLength = (footLengthMm: number, easeMm: number = USUAL_LENGTH_EASE_MM): number =>
  footLengthMm - easeMm;

/**
 * Girth at the ball of the foot, mm, from breadth and length, for one who measured only these: least squares over 6068 adults
 * (ANSUR II survey, Gordon et al. 2014; R² 0.865).
 */
export const ballGirthFrom = (breadthMm: number, lengthMm: number): number =>
  1.985 * breadthMm + 0.176 * lengthMm + 1.6;

/** Girth at the ball of the foot, mm, from the length alone: 0.93 of it for men and women (means of the same survey). */
export const ballGirthFromLength = (lengthMm: number): number => 0.93 * lengthMm;

/** What a tube comes to on one cylinder. */
export interface TubeOnCylinder {
  readonly needles: number;
  readonly girth: Uncertain;
  /** Share by which it is smaller than the body measure. */
  readonly ease: number;
}

/** The tubes that cylinders of these needle counts give at one gauge, nearest to the wanted circumference first. */
export const tubesOnCylinders = (
  needleCounts: readonly number[],
  walesPerMm: Uncertain,
  bodyMm: number,
  ease: number = USUAL_EASE,
): readonly TubeOnCylinder[] => {
  const wanted = easedGirth(bodyMm, ease);
  return needleCounts
    .map((needles) => {
      const girth = uncertainTubeGirth(needles, walesPerMm);
      return { needles, girth, ease: easeOf(bodyMm, girth.value) };
    })
    .toSorted((a, b) => Math.abs(a.girth.value - wanted) - Math.abs(b.girth.value - wanted));
};
