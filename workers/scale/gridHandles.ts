import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { PlaneFit } from '../../src/domain/planeFitCovariance';
import { latticeSpan } from './gridLines';

/** Whole numbers of a range, at most `most` of them, evenly thinned. */
const wholeNumbers = (low: number, high: number, most: number): number[] => {
  const all: number[] = [];
  for (let k = Math.ceil(low); k <= high; k++) all.push(k);
  const every = Math.max(1, Math.ceil(all.length / most));
  return all.filter((_, i) => i % every === 0);
};

const areaOf = (ring: readonly PhotoPoint[]): number =>
  ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length] ?? p;
    return sum + (p.x * q.y - q.x * p.y) / 2;
  }, 0);

/** The ring turned so that it runs clockwise (y down) from the corner nearest to the photo's top left. */
const clockwise = (ring: readonly PhotoPoint[]): PhotoPoint[] => {
  const turned = areaOf(ring) < 0 ? [...ring].reverse() : [...ring];
  let first = 0;
  turned.forEach((p, i) => {
    const best = turned[first];
    if (best !== undefined && p.x + p.y < best.x + best.y) first = i;
  });
  return [...turned.slice(first), ...turned.slice(0, first)];
};

const mostLines = 18;

/**
 * The four crossings of drawn lines that the user can drag: the largest rectangle of the grid whose corners lie inside the photo, clockwise
 * from the top left; empty when there is none.
 */
export const gridHandles = (fit: PlaneFit, widthPx: number, heightPx: number): PhotoPoint[] => {
  const toPhoto = invertHomography(fit.photoToPlane);
  const [[u0, u1], [v0, v1]] = latticeSpan(fit.photoToPlane, widthPx, heightPx);
  const us = wholeNumbers(u0, u1, mostLines);
  const vs = wholeNumbers(v0, v1, mostLines);
  const crossings = us.map((u) =>
    vs.map((v) => {
      const [x, y] = mapPoint(toPhoto, u, v);
      return x > 0 && y > 0 && x < widthPx && y < heightPx ? photoPoint(x, y) : null;
    }),
  );
  let best: PhotoPoint[] = [];
  let largest = 0;
  for (let i = 0; i < us.length; i++) {
    for (let k = i + 1; k < us.length; k++) {
      for (let j = 0; j < vs.length; j++) {
        for (let l = vs.length - 1; l > j; l--) {
          const ring = [crossings[i]?.[j], crossings[k]?.[j], crossings[k]?.[l], crossings[i]?.[l]];
          const inside = ring.filter((p) => p !== null && p !== undefined);
          if (inside.length < 4) continue;
          const area = Math.abs(areaOf(inside));
          if (area > largest) {
            largest = area;
            best = inside;
          }
        }
      }
    }
  }
  return clockwise(best);
};
