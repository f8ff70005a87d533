import type { GridLine } from './grid';

/** Needle gaps of a mock rib: how they repeat, and which share of the needle positions carries stitches. */
export interface NeedleGaps {
  /** Needle positions from where one gap begins to where the next does, when the same throughout; null without gaps or when irregular. */
  readonly period: number | null;
  /** Index of the first gap; 0 without gaps. */
  readonly first: number;
  /** Visible stitches over needle positions: 1 for a plain fabric, 3/4 when every fourth needle is out. */
  readonly stitchShare: number;
}

/** Wales of [from, to] at which a gap begins: empty needles side by side are one gap. */
const beginnings = (wales: readonly GridLine[], from: number, to: number): number[] =>
  wales.flatMap((line, i) =>
    i >= from && i <= to && line.kind === 'needleGap' && wales[i - 1]?.kind !== 'needleGap' ? [i] : [],
  );

const stitchShareOf = (wales: readonly GridLine[]): number =>
  wales.length === 0 ? 1 : wales.filter(({ kind }) => kind !== 'needleGap').length / wales.length;

/**
 * How the needle gaps repeat. The share is counted over whole repeats, from where the first gap begins to where the last one does, inside wales
 * [from, to]; with fewer than two gaps there over the whole grid; with only one gap at all over the wales of the range.
 */
export const needleGapsOf = (wales: readonly GridLine[], from: number, to: number): NeedleGaps => {
  const everywhere = beginnings(wales, 0, wales.length - 1);
  const first = everywhere[0] ?? 0;
  if (everywhere.length < 2)
    return { period: null, first, stitchShare: stitchShareOf(wales.slice(from, to + 1)) };
  const inside = beginnings(wales, from, to);
  const counted = inside.length >= 2 ? inside : everywhere;
  const stitchShare = stitchShareOf(wales.slice(counted[0], counted[counted.length - 1]));
  const steps = everywhere.slice(1).map((g, i) => g - (everywhere[i] ?? 0));
  const period = steps.every((s) => s === steps[0]) ? (steps[0] ?? null) : null;
  return { period, first, stitchShare };
};
