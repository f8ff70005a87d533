import type { Homography } from '../../src/domain/plane';
import { jacobianAt, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { type LensBow, straightened } from '../../src/domain/planeFitLens';
import { fitBowIfSeen } from './bowIfSeen';
import type { MeasuredLine } from './gridLines';

/** So many lines in a row that were nowhere seen are a gap across which lines may have been miscounted. */
const leastGap = 3;
/** Miscounts that are tried. */
const shifts = [-2, -1, 1, 2];
/** Places of a line that are enough to tell. */
const placesPerLine = 6;
/** A miscount shows: lines then lie off by this much or more (root mean square, px), and the right count brings it down to this share. */
const leastOffPx = 0.3;
const mustFallTo = 0.6;

/** A numbered grid as it lies in the picture: straightened picture px → (u, v), whole numbers on its lines. */
export interface NumberedGrid {
  readonly toLattice: Homography;
  /** How the lens bows its lines. */
  readonly lens: LensBow;
}

const sightingsOf = (lines: readonly MeasuredLine[]): LineSighting[] =>
  lines.flatMap((line) => {
    const every = Math.max(1, Math.floor(line.places.length / placesPerLine));
    return line.places
      .filter((_, i) => i % every === 0)
      .map(({ x, y }) => ({ x, y, axis: line.axis, index: line.index, group: 2 * line.index + line.axis }));
  });

/** Root mean square distance of all sightings, px: here no line may be left out as an outlier. */
const offPx = ({ toLattice: h, lens }: NumberedGrid, sightings: readonly LineSighting[]): number => {
  let squares = 0;
  for (const s of sightings) {
    const [x, y] = straightened(lens, s.x, s.y);
    const value = mapPoint(h, x, y)[s.axis];
    const [ux, uy, vx, vy] = jacobianAt(h, x, y);
    squares += ((value - s.index) / (s.axis === 0 ? Math.hypot(ux, uy) : Math.hypot(vx, vy))) ** 2;
  }
  return Math.sqrt(squares / Math.max(1, sightings.length));
};

/** Numbers of the first line beyond each gap of an axis. */
const beyondGaps = (lines: readonly MeasuredLine[], axis: 0 | 1): number[] => {
  const seen = lines.filter((l) => l.axis === axis && l.places.length > 0).map((l) => l.index);
  seen.sort((a, b) => a - b);
  return seen.filter((index, i) => i > 0 && index - (seen[i - 1] ?? index) > leastGap);
};

/** The grid that fits some numbered lines best, as a lens may bow them; null where they give none. */
const fitted = (lines: readonly MeasuredLine[], start: NumberedGrid): NumberedGrid | null => {
  const fit = fitBowIfSeen(sightingsOf(lines), start.toLattice, start.lens);
  return fit && { toLattice: fit.photoToPlane, lens: fit.lens };
};

/**
 * Where a swatch hides many lines in a row, one too many or too few may have been counted across it; the lines on either side then lie askew
 * of the plane. Tries to count anew across every gap and keeps what brings the lines into one plane, bowed by the lens where they show it: bowing would otherwise hide
 * a miscount.
 * @returns the grid with the right count; the given one where it was right.
 */
export const recounted = (lines: readonly MeasuredLine[], guessed: NumberedGrid): NumberedGrid => {
  let best = fitted(lines, guessed) ?? guessed;
  let least = offPx(best, sightingsOf(lines));
  if (least < leastOffPx) return guessed;
  let changed = false;
  let counted = lines;
  for (const axis of [0, 1] as const) {
    for (const from of beyondGaps(counted, axis)) {
      const base = counted;
      for (const shift of shifts) {
        const moved = base.map((l) =>
          l.axis === axis && l.index >= from ? { ...l, index: l.index + shift } : l,
        );
        const next = fitted(moved, { ...best, lens: guessed.lens });
        const off = next === null ? Number.POSITIVE_INFINITY : offPx(next, sightingsOf(moved));
        if (next === null || off > mustFallTo * least) continue;
        best = next;
        least = off;
        counted = moved;
        changed = true;
      }
    }
  }
  return changed ? best : guessed;
};
