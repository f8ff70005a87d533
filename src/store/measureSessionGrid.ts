import { defaultWindow } from '../domain/countWindow';
import { type Crossings, crossingsOf } from '../domain/crossings';
import { applyEdit } from '../domain/editApply';
import type { GridEdit } from '../domain/edits';
import { type GaugeResult, gaugeOf, type NoGauge, summariseGauge } from '../domain/gaugeOf';
import type { CountWindow, StitchGrid } from '../domain/grid';
import type { StitchFinding } from '../domain/measurement';
import type { Swatch } from '../domain/records';
import { scaleDoubtsOf } from './measureSessionScale';

/** The stitch grid and the counted window as corrected so far. */
export interface DerivedGrid {
  readonly grid: StitchGrid;
  readonly window: CountWindow | null;
}

const noLines: StitchGrid = { wales: [], courses: [] };

const detectedOf = (finding: StitchFinding | null): DerivedGrid => ({
  grid: finding?.grid ?? noLines,
  window: finding?.window ?? null,
});

/** A grid placed by hand has no proposed window yet: it gets the usual one as soon as there are lines enough. */
const windowed = new WeakMap<DerivedGrid, DerivedGrid>();
const withWindow = (derived: DerivedGrid): DerivedGrid => {
  if (derived.window) return derived;
  const known = windowed.get(derived);
  if (known) return known;
  const fresh = { grid: derived.grid, window: defaultWindow(derived.grid) };
  windowed.set(derived, fresh);
  return fresh;
};

export interface Deriver {
  /** The grid as corrected, with one more correction tried on it if given. */
  readonly derive: (swatch: Swatch, preview: GridEdit | null) => DerivedGrid;
  /** Whether a correction would change anything. */
  readonly changes: (swatch: Swatch, edit: GridEdit) => boolean;
  /** The gauge with all that explains it; null while there is no scale or no window. */
  readonly gauge: (swatch: Swatch, preview: GridEdit | null) => GaugeResult | NoGauge | null;
  /** The swatch with its window and its gauge brought up to date. */
  readonly summarised: (swatch: Swatch) => Swatch;
}

/**
 * Keeps every step from the detected grid to the corrected one, so that one more correction or one taken back costs a single
 * step and not a replay of all of them.
 */
export const createDeriver = (): Deriver => {
  let finding: StitchFinding | null = null;
  let edits: readonly GridEdit[] = [];
  let trail: DerivedGrid[] = [detectedOf(null)];
  let tried: { readonly from: DerivedGrid; readonly edit: GridEdit; readonly result: DerivedGrid } | null =
    null;

  /** A correction is often tried before it is made: what comes of it is then known already, crossings and all. */
  const applied = (from: DerivedGrid, edit: GridEdit): DerivedGrid => {
    if (tried?.from !== from || tried.edit !== edit) tried = { from, edit, result: applyEdit(from, edit) };
    return tried.result;
  };

  const derive = (swatch: Swatch, preview: GridEdit | null): DerivedGrid => {
    const now = swatch.measurement?.stitches ?? null;
    if (now !== finding) {
      finding = now;
      edits = [];
      trail = [detectedOf(now)];
    }
    let known = 0;
    while (known < edits.length && known < swatch.edits.length && edits[known] === swatch.edits[known])
      known += 1;
    trail = trail.slice(0, known + 1);
    for (const edit of swatch.edits.slice(known)) {
      trail.push(applied(withWindow(trail.at(-1) ?? detectedOf(now)), edit));
    }
    edits = swatch.edits;
    const last = trail.at(-1) ?? detectedOf(now);
    return withWindow(preview ? applied(withWindow(last), preview) : last);
  };

  const gauge: Deriver['gauge'] = (swatch, preview) => {
    const plane = swatch.scale?.reference.plane;
    const { grid, window } = derive(swatch, preview);
    if (!plane || !window) return null;
    return gaugeOf(grid, window, plane, { thicknessMm: swatch.thicknessMm, layers: swatch.layers });
  };

  const summarised = (swatch: Swatch): Swatch => {
    const moved = swatch.edits.findLast((edit) => edit.kind === 'setWindow');
    const window = moved?.kind === 'setWindow' ? moved.window : null;
    const result = gauge(swatch, null);
    const found = swatch.measurement?.stitches.confidence.status;
    // The lines that were found may be sure; what was made of them, or the scale, is not always.
    const isSure =
      found === 'measured' &&
      result?.ok === true &&
      result.warnings.length === 0 &&
      scaleDoubtsOf(swatch).length === 0;
    const asFound = isSure ? 'measured' : 'proposal';
    const status = swatch.gauge?.status === 'byHand' ? 'byHand' : asFound;
    return { ...swatch, window, gauge: result?.ok ? summariseGauge(result, status) : null };
  };

  return {
    derive,
    changes: (swatch, edit) => derive(swatch, edit) !== derive(swatch, null),
    gauge,
    summarised,
  };
};

/** Mean distance from each crossing to the one that lies `stride` entries on, where both are known. */
const meanStep = (
  { x, y }: Pick<Crossings, 'x' | 'y'>,
  stride: number,
  follows: (index: number) => boolean,
): number => {
  let sum = 0;
  let count = 0;
  for (let i = 0; i + stride < x.length; i += 1) {
    if (!follows(i)) continue;
    const length = Math.hypot(
      (x[i + stride] as number) - (x[i] as number),
      (y[i + stride] as number) - (y[i] as number),
    );
    if (Number.isNaN(length)) continue;
    sum += length;
    count += 1;
  }
  return sum / count;
};

/**
 * Mean distance between neighbouring lines on the photo, px; null while there are too few. For drawing and for telling what a
 * finger meant: it is had in a fraction of the time that the gauge takes, and counts for nothing in it.
 */
export const pitchOnPhoto = ({ grid }: DerivedGrid): { wale: number; course: number } | null => {
  if (grid.wales.length < 2 || grid.courses.length < 2) return null;
  const crossings = crossingsOf(grid);
  const { courseCount } = crossings;
  const wale = meanStep(crossings, courseCount, () => true);
  const course = meanStep(crossings, 1, (i) => (i + 1) % courseCount !== 0);
  return wale > 0 && course > 0 ? { wale, course } : null;
};
