import { fitStraightLine } from '../../src/domain/regression';
import type { DepthHeights } from './rulerClasses';
import type { Peak } from './rulerNumbering';
import { brightnessAt, halfMarkOf, type MarkRow } from './rulerRow';

/** Depths at which all marks are looked at, steps apart, from where they were met on. */
const depthSteps = { every: 0.4, most: 10 };
/** So near to where it must be a mark is looked for at the next depth, steps and px, and at so many places to either side. */
const near = { steps: 0.3, px: 1.5, places: 2 };

/** Fewer marks than these tell no common way. */
const leastToFollow = 4;

interface Seen {
  readonly t: number;
  readonly moved: number;
  readonly height: number;
}

const stepOf = (marks: ReadonlyMap<number, Peak>): number => {
  const numbers = [...marks.keys()];
  const [first, last] = [Math.min(...numbers), Math.max(...numbers)];
  const along = Math.abs((marks.get(last)?.t ?? 0) - (marks.get(first)?.t ?? 0));
  return along / Math.max(1, last - first);
};

/** How all marks together have moved since the last depth, as a straight line along the row; marks that stand out more count more. */
const movedTogether = (seen: readonly Seen[]): ((t: number) => number) => {
  const shown = seen.filter(({ height }) => height > 0);
  if (shown.length < leastToFollow) return () => 0;
  const [start = 0, slope = 0] = fitStraightLine(
    shown.map(({ t }) => t),
    shown.map(({ moved }) => moved),
    shown.map(({ height }) => height * height),
  ).coefficients;
  return (t) => start + slope * t;
};

/**
 * How much each mark stands out at one depth after another, grey levels. Where marks lean, all of them are followed together: which of them go on is not known yet.
 */
export const heightsByDepth = (
  f: MarkRow,
  marks: ReadonlyMap<number, Peak>,
  metPx: number,
): DepthHeights[] => {
  const stepPx = stepOf(marks);
  const half = halfMarkOf(f.spacingPx);
  const reach = Math.min(near.px, near.steps * stepPx);
  const standsOut = (t: number, off: number): number =>
    f.sign *
    (brightnessAt(f, t, off) - (brightnessAt(f, t - half, off) + brightnessAt(f, t + half, off)) / 2);
  const centres = new Map([...marks].map(([index, { t }]) => [index, t]));
  const out: DepthHeights[] = [];
  for (let deeper = 0; deeper < depthSteps.most; deeper += depthSteps.every) {
    const off = metPx + deeper * stepPx;
    const heights = new Map<number, number>();
    const seen: Seen[] = [];
    for (const [index, centre] of centres) {
      let best = { moved: 0, height: 0 };
      for (let k = -near.places; k <= near.places; k++) {
        const moved = (k * reach) / near.places;
        const height = standsOut(centre + moved, off);
        if (height > best.height) best = { moved, height };
      }
      heights.set(index, best.height);
      seen.push({ t: centre, ...best });
    }
    const moved = movedTogether(seen);
    const drift = depthSteps.every * stepPx * f.lean;
    for (const [index, t] of centres) centres.set(index, t + moved(t) + drift);
    out.push(heights);
  }
  return out;
};
