import type { Basis } from './basis';
import type { MeanUnit } from './meanUnit';
import { withoutMeans } from './patches';
import { lengthOf } from './raster';
import { cellPx } from './rectify';
import type { Lattice } from './smooth';

/**
 * How far the mean repeat is its own mirror image, left to right, about the axis that suits it best, −1 to 1. A knit column is: its legs mirror each other about
 * the column's middle, and so are a purl column and a ladder. Where the steps to the next repeat climb or fall by a whole course, each leg is moved along the column
 * against the other, and the likeness is gone. What is the same all along the wale does not count: it is moved onto itself.
 * In a mirror the angle θ of the yarn becomes −θ: cos 2θ stays and sin 2θ changes its sign.
 */
export const mirrorLikeness = ({ widthPx, even, odd }: MeanUnit): number => {
  const [cosine, sine] = [even, odd].map((plane) => withoutMeans(plane, widthPx, cellPx.height)) as [
    Float32Array,
    Float32Array,
  ];
  const energy = [...cosine, ...sine].reduce((sum, v) => sum + v * v, 0);
  let most = -1;
  // The axis lies on a pixel or between two: twice its place is a whole number.
  for (let twice = 0; twice < widthPx; twice++) {
    let sum = 0;
    for (let i = 0; i < cosine.length; i++) {
      const x = i % widthPx;
      const k = i - x + ((twice - x + widthPx) % widthPx);
      sum += (cosine[i] as number) * (cosine[k] as number) - (sine[i] as number) * (sine[k] as number);
    }
    most = Math.max(most, sum / (energy + 1e-9));
  }
  return most;
};

/**
 * How far the yarn that runs along the rows of the mean repeat does so aslant, as a share of all that it shows, −1 to 1: the strands of a ladder and the arcs of a purl column lie along the row or
 * rise and fall alike, so that from one repeat to the next their mean lean is nothing. Where the steps to the next repeat climb or fall by a course, all of them lean.
 */
const strandsAslant = ({ even, odd }: MeanUnit): number => {
  let lean = 0;
  let all = 1e-9;
  for (let i = 0; i < even.length; i++) {
    all += Math.hypot(even[i] as number, odd[i] as number);
    if ((even[i] as number) < 0) lean += odd[i] as number;
  }
  return lean / all;
};

/** How well a mean repeat shows that the steps to the next one are level, −2 to 1: it is its own mirror image, and its strands lie along the row. */
export const levelLikeness = (unit: MeanUnit): number => mirrorLikeness(unit) - Math.abs(strandsAslant(unit));

/** Repeats and courses that tell enough. */
const enough = { wales: 12, courses: 24 } as const;

/** The middle of a large lattice. */
export const middleOf = (lattice: Lattice): Lattice => {
  const wales = Math.min(enough.wales, lattice.wales);
  const courses = Math.min(enough.courses, lattice.courses);
  const left = (lattice.wales - wales) >> 1;
  const top = (lattice.courses - courses) >> 1;
  const part = <T>(table: readonly (readonly T[])[]): T[][] =>
    table.slice(left, left + wales).map((wale) => wale.slice(top, top + courses));
  return {
    ...lattice,
    wales,
    courses,
    places: part(lattice.places),
    seen: part(lattice.seen),
    gaps: lattice.gaps.slice(left, left + wales),
    first: { wale: lattice.first.wale + left, course: lattice.first.course + top },
  };
};

/** The same places with each step to the next wale so many courses lower. */
export const lowered = (lattice: Lattice, by: number): Lattice => {
  if (by === 0) return lattice;
  const drop = Math.abs(by) * (lattice.wales - 1);
  const courses = lattice.courses + drop;
  const start = by > 0 ? -drop : 0;
  const moved = <T>(table: readonly (readonly T[])[], nothing: T): T[][] =>
    table.map((wale, w) => Array.from({ length: courses }, (_, c) => wale[c + start + by * w] ?? nothing));
  return {
    ...lattice,
    courses,
    places: moved(lattice.places, null),
    seen: moved(lattice.seen, false),
  };
};

/** Steps to the next repeat this much longer than the shortest may still be the level ones, seen aslant. */
const stillLevel = 1.2;
/** Courses up or down that are tried. */
const tries = [-2, -1, 0, 1, 2] as const;

/** By how many courses the step to the next repeat may have to be lowered to run along the rows: 0 alone where its length leaves no doubt. */
export const levelSteps = ({ wale, course }: Basis): number[] => {
  const lengths = tries.map((by) => ({
    by,
    length: lengthOf({ x: wale.x + by * course.x, y: wale.y + by * course.y }),
  }));
  const shortest = Math.min(...lengths.map(({ length }) => length));
  return lengths.filter(({ length }) => length < stillLevel * shortest).map(({ by }) => by);
};
