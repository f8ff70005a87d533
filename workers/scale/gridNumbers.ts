import type { Homography } from '../../src/domain/plane';
import { fitPlaneToLines } from '../../src/domain/planeFit';
import { jacobianAt, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { type LensBow, straightened } from '../../src/domain/planeFitLens';
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

const sightingsOf = (lines: readonly MeasuredLine[], lens: LensBow): LineSighting[] =>
  lines.flatMap((line) => {
    const every = Math.max(1, Math.floor(line.places.length / placesPerLine));
    return line.places
      .filter((_, i) => i % every === 0)
      .map((p) => {
        const [x, y] = straightened(lens, p.x, p.y);
        return { x, y, axis: line.axis, index: line.index, group: 2 * line.index + line.axis };
      });
  });

/** Root mean square distance of all sightings, px: here no line may be left out as an outlier. */
const offPx = (h: Homography, sightings: readonly LineSighting[]): number => {
  let squares = 0;
  for (const s of sightings) {
    const value = mapPoint(h, s.x, s.y)[s.axis];
    const [ux, uy, vx, vy] = jacobianAt(h, s.x, s.y);
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

/**
 * Where a swatch hides many lines in a row, one too many or too few may have been counted across it; the lines on either side then lie askew
 * of the plane. Tries to count anew across every gap and keeps what brings the lines into one plane.
 * @param toLattice straightened picture px → (u, v), whole numbers on the lines, as it was guessed.
 * @returns the map with the right count; the given one where it was right.
 */
export const recounted = (
  lines: readonly MeasuredLine[],
  toLattice: Homography,
  lens: LensBow,
): Homography => {
  let best = fitPlaneToLines(sightingsOf(lines, lens), toLattice)?.photoToPlane ?? toLattice;
  let least = offPx(best, sightingsOf(lines, lens));
  if (least < leastOffPx) return toLattice;
  let changed = false;
  let counted = lines;
  for (const axis of [0, 1] as const) {
    for (const from of beyondGaps(counted, axis)) {
      const base = counted;
      for (const shift of shifts) {
        const moved = base.map((l) =>
          l.axis === axis && l.index >= from ? { ...l, index: l.index + shift } : l,
        );
        const sightings = sightingsOf(moved, lens);
        const fit = fitPlaneToLines(sightings, best);
        const off = fit === null ? Number.POSITIVE_INFINITY : offPx(fit.photoToPlane, sightings);
        if (fit === null || off > mustFallTo * least) continue;
        best = fit.photoToPlane;
        least = off;
        counted = moved;
        changed = true;
      }
    }
  }
  return changed ? best : toLattice;
};
