import type { GridLine } from './grid';
import { needleGapsOf } from './needleGaps';
import { mean, scaledMad, standardDeviation } from './statistics';

/** Standard uncertainty of the place of one whole line, in the unit of the surface. */
export interface LineUncertainty {
  readonly value: number;
  readonly degreesOfFreedom: number;
}

/** Blocks that a line is cut into to see how its errors hang together along it. */
const BLOCKS = 5;

/** Mean with Huber's weights about the plain mean, so that a few slipped stitches do not move a line. NaN values are left out. */
export const steadyMean = (
  values: Float64Array,
  from: number,
  step: number,
  count: number,
  limit: number,
): number => {
  let centre = 0;
  for (let round = 0; round < 3; round += 1) {
    let sum = 0;
    let total = 0;
    for (let k = 0; k < count; k += 1) {
      const v = values[from + k * step] as number;
      if (Number.isNaN(v)) continue;
      const w = round === 0 ? 1 : Math.min(1, limit / Math.max(Math.abs(v - centre), 1e-300));
      sum += w * v;
      total += w;
    }
    if (total === 0) return Number.NaN;
    centre = sum / total;
  }
  return centre;
};

/**
 * Standard uncertainty of a line's mean place: the spread of block means over the root of the number of blocks, pooled over all lines. Errors
 * of neighbouring stitches hang together, so that the plain s/√n would promise too much.
 */
export const blockUncertainty = (
  residuals: Float64Array,
  lines: { readonly count: number; readonly stride: number },
  along: { readonly count: number; readonly stride: number },
): LineUncertainty => {
  const blocks = Math.min(BLOCKS, Math.floor(along.count / 2));
  if (blocks < 2) return { value: 0, degreesOfFreedom: 1 };
  let variance = 0;
  let used = 0;
  for (let line = 0; line < lines.count; line += 1) {
    const means: number[] = [];
    for (let b = 0; b < blocks; b += 1) {
      const from = Math.floor((b * along.count) / blocks);
      const to = Math.floor(((b + 1) * along.count) / blocks);
      const values: number[] = [];
      for (let k = from; k < to; k += 1) {
        const v = residuals[line * lines.stride + k * along.stride] as number;
        if (!Number.isNaN(v)) values.push(v);
      }
      if (values.length > 0) means.push(mean(values));
    }
    if (means.length < 2) continue;
    variance += standardDeviation(means) ** 2 / means.length;
    used += 1;
  }
  if (used === 0) return { value: 0, degreesOfFreedom: 1 };
  return { value: Math.sqrt(variance / used), degreesOfFreedom: used * (blocks - 1) };
};

/** Robust standard deviation of the known values; 0 when there are fewer than two. */
export const spreadOf = (values: Float64Array): number => {
  const known = values.filter((v) => !Number.isNaN(v));
  return known.length < 2 ? 0 : scaledMad(known);
};

/**
 * In a mock rib every wale is drawn toward its nearest gap in the same way in each repeat. That pattern cancels over whole repeats and would
 * bias a window that cuts one, so the mean shift of each place in the repeat is taken out; gaps and unknown lines take the mean of
 * their neighbours.
 */
export const levelRepeats = (
  shift: Float64Array,
  isGap: readonly boolean[],
  wales: readonly GridLine[],
  firstWale: number,
): void => {
  const gaps = needleGapsOf(wales, firstWale, firstWale + shift.length - 1);
  const period = gaps.period;
  if (period !== null && shift.length >= 2 * period) {
    const phaseOf = (w: number): number => (((firstWale + w - gaps.first) % period) + period) % period;
    for (let phase = 0; phase < period; phase += 1) {
      const members = Array.from(shift.keys()).filter((w) => phaseOf(w) === phase && !Number.isNaN(shift[w]));
      if (members.length === 0) continue;
      const centre = mean(members.map((w) => shift[w] as number));
      for (const w of members) shift[w] = (shift[w] as number) - centre;
    }
  }
  for (let w = 0; w < shift.length; w += 1) {
    if (!isGap[w] && !Number.isNaN(shift[w])) continue;
    const near = [shift[w - 1], shift[w + 1]].filter((v): v is number => v !== undefined && !Number.isNaN(v));
    shift[w] = near.length === 0 ? 0 : mean(near);
  }
};
