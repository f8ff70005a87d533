import type { GridLine } from './grid';

/** Needle gaps of a mock rib: how they repeat, and which share of the needle positions carries stitches. */
export interface NeedleGaps {
  /** Needle positions from one gap to the next when the same throughout; null without gaps or when irregular. */
  readonly period: number | null;
  /** Index of the first gap; 0 without gaps. */
  readonly first: number;
  /** Visible stitches over needle positions: 1 for a plain fabric, 3/4 when every fourth needle is out. */
  readonly stitchShare: number;
}

const gapIndices = (wales: readonly GridLine[], from: number, to: number): number[] =>
  wales.flatMap((line, i) => (line.kind === 'needleGap' && i >= from && i <= to ? [i] : []));

/**
 * How the needle gaps repeat. The share is counted over whole repeats, from the first gap to the last, inside wales [from, to]; with fewer than
 * two gaps there over the whole grid; with only one gap at all over the wales of the range.
 */
export const needleGapsOf = (wales: readonly GridLine[], from: number, to: number): NeedleGaps => {
  const everywhere = gapIndices(wales, 0, wales.length - 1);
  const inside = gapIndices(wales, from, to);
  const first = everywhere[0] ?? 0;
  if (everywhere.length === 0) return { period: null, first, stitchShare: 1 };
  if (everywhere.length === 1) {
    const positions = Math.max(to - from + 1, 1);
    return { period: null, first, stitchShare: (positions - inside.length) / positions };
  }
  const counted = inside.length >= 2 ? inside : everywhere;
  const span = (counted[counted.length - 1] ?? 0) - (counted[0] ?? 0);
  const stitches = span - (counted.length - 1);
  const steps = everywhere.slice(1).map((g, i) => g - (everywhere[i] ?? 0));
  const period = steps.every((s) => s === steps[0]) ? (steps[0] ?? null) : null;
  return { period, first, stitchShare: stitches / span };
};
