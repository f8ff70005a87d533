import { clipSegment, type HalfPlanes } from './countWindow';
import type { LineFamily } from './grid';
import type { Lattice } from './lattice';

/** From one line of a family to the next, over the part that lies in the window. */
export interface PitchStep {
  /** Whole number of the line that the step starts from. */
  readonly index: number;
  /** Mean length of the step inside the window, in the surface's unit. */
  readonly length: number;
  /** How many whole steps, counted over all lines that cross it, lie in the window: the weight of the mean. */
  readonly weight: number;
}

/** Mean spacing of a family over the window. */
export interface Pitch {
  /** Mean length of a step, in the surface's unit. */
  readonly pitch: number;
  /** Number of steps across the window, fractions included, along a typical line. */
  readonly steps: number;
  readonly perStep: readonly PitchStep[];
}

/**
 * Mean spacing of the wales (or courses) over the window: along every course (or wale) the number of steps inside the window and the length of the arc
 * they cover, fractions of a step included at the window's edges, summed over all lines: length over number. It is how a careful count
 * by hand works, with all lines at once.
 * @returns null when no step lies in the window.
 */
export const pitchOf = (lattice: Lattice, window: HalfPlanes, family: LineFamily): Pitch | null => {
  const { waleCount, courseCount, x, y } = lattice;
  const [count, stride, lines, lineStride, first] =
    family === 'wale'
      ? [waleCount, courseCount, courseCount, 1, lattice.firstWale]
      : [courseCount, 1, waleCount, courseCount, lattice.firstCourse];
  const weight = new Float64Array(count);
  const length = new Float64Array(count);
  const share = new Float64Array(2);
  let total = 0;
  let totalSquares = 0;
  let totalLength = 0;
  for (let line = 0; line < lines; line += 1) {
    let onLine = 0;
    for (let step = 0; step + 1 < count; step += 1) {
      const a = line * lineStride + step * stride;
      const b = a + stride;
      const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = [x[a], y[a], x[b], y[b]];
      if (!clipSegment(window, x0, y0, x1, y1, share)) continue;
      const part = (share[1] as number) - (share[0] as number);
      const covered = part * Math.sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2);
      weight[step] = (weight[step] as number) + part;
      length[step] = (length[step] as number) + covered;
      totalLength += covered;
      onLine += part;
    }
    total += onLine;
    totalSquares += onLine * onLine;
  }
  if (total <= 0) return null;
  const perStep: PitchStep[] = [];
  weight.forEach((w, step) => {
    if (w > 0) perStep.push({ index: first + step, length: (length[step] as number) / w, weight: w });
  });
  return { pitch: totalLength / total, steps: totalSquares / total, perStep };
};

/**
 * How much the mean spacing could shift if each end of the window were put elsewhere by up to one step: relative standard uncertainty, from
 * how far the steps at both ends differ from the mean (rectangular, JCGM 100:2008, 4.3.7).
 */
export const edgeUncertainty = ({ pitch, steps, perStep }: Pitch): number => {
  const first = perStep[0];
  const last = perStep[perStep.length - 1];
  if (first === undefined || last === undefined || steps <= 0) return 0;
  const shift = (step: PitchStep): number => (step.length / pitch - 1) / Math.max(steps, 1);
  return Math.hypot(shift(first), shift(last)) / Math.sqrt(3);
};
