import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { invertHomography, type PlaneMap } from '../../src/domain/plane';
import { mapPoint, multiply3 } from '../../src/domain/planeFitAlgebra';
import type { PlaneFit } from '../../src/domain/planeFitCovariance';
import { gridsAt } from './gridCorrection';
import {
  coarserFit,
  type FittedGrid,
  flattened,
  inFullPhoto,
  inOtherPlane,
  refineGrid,
  spacingAt,
} from './gridFit';
import { gridHandles } from './gridHandles';
import { latticeSpan, lineInside, type MeasuredLine } from './gridLines';
import { linesOf, sentenceFor } from './gridWords';
import {
  doubtAbout,
  findLevels,
  type GridReading,
  type LineLevels,
  type ReadingDoubt,
  readings,
} from './heavyLines';
import type { LineSegments, ReferenceFinder, ScaleContext } from './kind';
import { crossSquarely, guessLattice, type LatticeGuess, squareness } from './lattice';
import { loneSegments } from './loneSegments';
import { planeMapFrom } from './planeMap';
import type { Polarity } from './ridges';
import type { Segment } from './segments';
import { findBundles } from './vanishing';

/** Printed mats keep their spacing to about a thousandth (assumed; makers rarely state it). */
const matTolerance = 0.0005;
/** Least share of two bundles' length that must lie on numbered lines. */
const leastAgreement = 0.75;

/** Least sureness at which a grid is shown at all. */
const leastSureness = 0.2;
/** From this sureness on no other lines are looked for. */
const likelyGrid = 0.5;

/**
 * How far the lines of a printed grid lie off its plane, px and as a share of their spacing: at most 0.3 px on photos of mats, drawn and real. Those of a grid that was
 * miscounted under the swatch lie further off.
 */
const leastSlackPx = 0.35;
const slackShare = 0.007;

interface Guess extends LatticeGuess {
  readonly polarity: Polarity;
}

/** First guesses in a small picture from some of its segments, the best supported first. */
const guessesFrom = (
  context: ScaleContext,
  { widthPx, heightPx }: LineSegments,
  segmentsOf: (polarity: Polarity) => readonly Segment[],
): Guess[] => {
  const camera = { widthPx, heightPx, focalLength35Mm: context.photo.focalLength35Mm };
  const found: Guess[] = [];
  for (const polarity of ['light', 'dark'] as const) {
    const bundles = findBundles(segmentsOf(polarity), widthPx, heightPx, 4);
    bundles.forEach((b, j) => {
      for (const a of bundles.slice(0, j)) {
        if (!crossSquarely(a, b)) continue;
        const guess = guessLattice([a, b], camera);
        if (guess !== null && guess.agreement > leastAgreement) found.push({ ...guess, polarity });
      }
    });
  }
  const worth = (g: Guess): number => g.supportPx * g.agreement ** 2 * g.squareness;
  return found.sort((a, b) => worth(b) - worth(a));
};

/** Rows and columns of the swatch often run along the mat's lines and drown them, so they are left out; if that leaves no grid, all are tried. */
const guesses = (context: ScaleContext, lines: LineSegments): Guess[] => {
  const { segments } = lines;
  const fromLone = guessesFrom(context, lines, (polarity) => loneSegments(segments, polarity));
  return fromLone.length > 0 ? fromLone : guessesFrom(context, lines, (polarity) => segments[polarity]);
};

const seen = (lines: readonly MeasuredLine[]): MeasuredLine[] =>
  lines.filter((l) => l.places.length >= 10 && l.seenShare > 0.06);

/** Share of the lines that were seen among all from the first to the last seen one of each axis. */
const presence = (lines: readonly MeasuredLine[]): number => {
  let expected = 0;
  for (const axis of [0, 1]) {
    const indices = lines.filter((l) => l.axis === axis).map((l) => l.index);
    expected += Math.max(...indices) - Math.min(...indices) + 1;
  }
  return lines.length / Math.max(1, expected);
};

/**
 * How surely a fitted grid is a printed grid: its lines are sharp and straight (small residual for their spacing), there are several on
 * both axes, and they are seen wherever nothing hides them. Knitted rows and columns wander by a tenth of their spacing.
 */
const sureness = (context: ScaleContext, grid: FittedGrid): number => {
  const lines = seen(grid.lines);
  const counts = [0, 1].map((axis) => lines.filter((l) => l.axis === axis).length);
  const fewest = Math.min(...counts);
  if (fewest < 3) return 0;
  const spacing = lines.map((l) => spacingAt(grid.fit.photoToPlane, l)).sort((a, b) => a - b);
  const middle = spacing[spacing.length >> 1] ?? 1;
  const straight = Math.exp(-((grid.fit.residualPx / (leastSlackPx + slackShare * middle)) ** 2) / 2);
  const { widthPx, heightPx } = context.work.image;
  const camera = { widthPx, heightPx, focalLength35Mm: context.photo.focalLength35Mm };
  const square = squareness(grid.fit.photoToPlane, camera);
  return square * straight * (1 - Math.exp(-fewest / 2.2)) * Math.min(1, 0.1 + 1.2 * presence(lines));
};

/** The grid in the full photo with heavy lines on whole numbers. */
const inSteps = (context: ScaleContext, fit: PlaneFit, reading: GridReading): PlaneFit =>
  inFullPhoto(coarserFit(fit, reading.every, reading.phase), context.work.photoPxPerWorkPx);

/** Every drawn line of the asked-for spacing, clipped to the photo. */
const outlineOf = (context: ScaleContext, fit: PlaneFit): PhotoPoint[][] => {
  const { widthPx, heightPx } = context.photo;
  const toPhoto = invertHomography(fit.photoToPlane);
  const spans = latticeSpan(fit.photoToPlane, widthPx, heightPx);
  const out: PhotoPoint[][] = [];
  for (const axis of [0, 1] as const) {
    for (let k = Math.ceil(spans[axis][0]); k <= spans[axis][1]; k++) {
      const ends = lineInside(toPhoto, axis, k, spans[axis === 0 ? 1 : 0], widthPx, heightPx);
      if (ends !== null) out.push([photoPoint(ends[0], ends[1]), photoPoint(ends[2], ends[3])]);
    }
  }
  return out;
};

const referenceFrom = (
  context: ScaleContext,
  grid: FittedGrid,
  levels: LineLevels,
  reading: GridReading,
  score: number,
  doubt: ReadingDoubt | null,
  pitchMm: number | null,
): ScaleReference => {
  const { photo } = context;
  const { fit: flat, leftover } = flattened(grid.fit);
  const fit = inSteps(context, flat, reading);
  // The worst of a smooth deviation counts as a rectangular limit (JCGM 100:2008, 4.3.7).
  const tolerance = Math.hypot(matTolerance, leftover / Math.sqrt(3));
  const unitPlane = planeMapFrom(fit, photo, tolerance, 0);
  const plane: PlaneMap | null =
    pitchMm === null
      ? null
      : planeMapFrom(inOtherPlane(fit, [pitchMm, 0, 0, 0, pitchMm, 0, 0, 0, 1]), photo, tolerance, 0);
  return {
    kind: 'grid',
    score,
    outline: outlineOf(context, fit),
    handles: gridHandles(fit, photo.widthPx, photo.heightPx),
    pitchMm,
    question: pitchMm === null ? 'gridPitch' : null,
    plane,
    unitPlane,
    sentence: sentenceFor(levels, reading, doubt, pitchMm),
    gridLines: linesOf(reading, doubt),
  };
};

/**
 * All references that one fitted grid gives: the likeliest reading of its lines, then the others that are not absurd.
 * @param saidMm spacing of its heavy lines, or null. Where it is not clear which are heavy it gives no millimetres, since they would be wrong by a whole
 * factor: the lines that are drawn are then asked about, unless they are the ones that were pointed out.
 */
const referencesFrom = (
  context: ScaleContext,
  grid: FittedGrid,
  saidMm: number | null,
  arePointedOut: boolean,
): ScaleReference[] => {
  const sure = sureness(context, grid);
  const levels = findLevels(grid.lines, (l) => spacingAt(grid.fit.photoToPlane, l));
  const options = readings(levels, saidMm);
  const [first] = options;
  if (first === undefined) return [];
  const doubt = doubtAbout(levels, options);
  const pitchMm = doubt === 'print' && !arePointedOut ? null : saidMm;
  return options
    .filter((o) => o === first || o.chance > 0.1 * first.chance)
    .map((option, i) =>
      referenceFrom(
        context,
        grid,
        levels,
        option,
        (doubt === null ? 1 : 0.5) * sure * (i === 0 ? 1 : (0.5 * option.chance) / first.chance),
        doubt,
        pitchMm,
      ),
    );
};

const fromWorkPx = (factor: number): readonly number[] => [1 / factor, 0, 0, 0, 1 / factor, 0, 0, 0, 1];

interface Measured {
  readonly grid: FittedGrid;
  readonly sure: number;
}

/** Grids that the lines of a small picture suggest, measured on the work image, the surest first. */
const measuredGrids = (context: ScaleContext, lines: LineSegments): Measured[] => {
  const fitted: Measured[] = [];
  for (const guess of guesses(context, lines).slice(0, 2)) {
    const start = multiply3(guess.toLattice, fromWorkPx(lines.workPxPerPx));
    const grid = refineGrid(context.lightness(), start, guess.polarity);
    if (grid === null) continue;
    const sure = sureness(context, grid);
    fitted.push({ grid, sure });
    if (sure > 0.6) break;
  }
  return fitted.sort((a, b) => b.sure - a.sure);
};

/**
 * Grids of a photo, the surest first. Where none is likely although the user has a mat, lines away from all texture are looked for, and then those that are blurred
 * or drowned in grain: it takes a fifth of the time again, which photos without a mat are spared.
 */
export const fittedGrids = (context: ScaleContext): FittedGrid[] => {
  const { gridPitchMm, reference } = context.hints;
  const expected = gridPitchMm !== null || reference === 'grid';
  const sources = [context.lines, ...(expected ? [context.openLines, context.coarseLines] : [])];
  const all: Measured[] = [];
  for (const source of sources) {
    all.push(...measuredGrids(context, source()));
    if (all.some(({ sure }) => sure > likelyGrid)) break;
  }
  return all.sort((a, b) => b.sure - a.sure).map((m) => m.grid);
};

/** The surest of some grids; null when none is sure enough to be shown. */
const surest = (context: ScaleContext, grids: readonly FittedGrid[]): FittedGrid | null => {
  const [best] = [...grids].sort((a, b) => sureness(context, b) - sureness(context, a));
  return best !== undefined && sureness(context, best) > leastSureness ? best : null;
};

/** The best grid of a photo; null when none is sure enough to be shown. */
export const surestGrid = (context: ScaleContext): FittedGrid | null => surest(context, fittedGrids(context));

const find = (context: ScaleContext): ScaleReference[] => {
  const best = context.grid();
  if (best === null) return [];
  const options = referencesFrom(context, best, context.hints.gridPitchMm, false);
  // Where heavy lines are beyond doubt, the others would only repeat them in other units.
  return options[0]?.gridLines === 'unclear' ? options : options.slice(0, 1);
};

const noGrid = 'No grid lines were found near these points; move them onto crossings of heavy lines.';

/** How far, in its own steps, the handles lie from crossings of a reference's drawn lines. */
const missOf = (reference: ScaleReference, handles: readonly PhotoPoint[]): number => {
  const plane = reference.unitPlane;
  if (plane === null) return Number.POSITIVE_INFINITY;
  const misses = handles.flatMap((p) =>
    mapPoint(plane.photoToPlane, p.x, p.y).map((v) => Math.abs(v - Math.round(v))),
  );
  return Math.max(...misses);
};

export const gridKind: ReferenceFinder = {
  kind: 'grid',
  find,
  correct: (context, { handles, pitchMm }) => {
    if (handles.length !== 4)
      throw new RangeError('A grid needs four points, each on a crossing of its lines.');
    const grid = surest(context, gridsAt(context, handles));
    if (grid === null) throw new RangeError(noGrid);
    const options = referencesFrom(context, grid, pitchMm, true);
    const best = options.find((r) => missOf(r, handles) < 0.2) ?? options[0];
    if (best === undefined) throw new RangeError(noGrid);
    return best;
  },
};
