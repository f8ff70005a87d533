import { cornerCentre, type HalfPlanes, halfPlanesOf, isInside, polygonArea } from './countWindow';
import type { Gauge, Uncertain } from './gauge';
import { gaugeWarnings, unevenSteps } from './gaugeWarnings';
import type { CountWindow, LineFamily, StitchGrid } from './grid';
import { type HandCount, handCountOf } from './handCount';
import { type Lattice, latticeOf } from './lattice';
import { numberOfLine } from './lineNumbers';
import { needleGapsOf } from './needleGaps';
import { type Parallax, parallaxOf } from './parallax';
import { edgeUncertainty, type Pitch, pitchOf } from './pitch';
import { type Homography, type PlaneMap, toPlane } from './plane';
import type { GaugeSummary } from './records';
import { type Budget, type Component, combine, withBudget } from './uncertainty';
import { scaleUncertain } from './units';

/** What is known of the fabric besides the photo. */
export interface GaugeContext {
  /** Thickness of all that lies on the table, as typed, mm; null when not given. */
  readonly thicknessMm: number | null;
  readonly layers: 1 | 2;
}

/** The gauge over one window with all that explains it. */
export interface GaugeResult {
  readonly ok: true;
  /** Visible stitches and rows per mm; needle gaps are not counted. */
  readonly gauge: Gauge;
  /** Needle positions per mm, gaps counted too; the same as stitches in a fabric without gaps. */
  readonly needlePositionsPerMm: Uncertain;
  /** Stitches per mm². */
  readonly stitchesPerMm2: Uncertain;
  /** Sources of the ± of both densities, per mm. */
  readonly budget: { readonly wales: Budget; readonly courses: Budget };
  /** Whole lines inside the window, along its middle. */
  readonly counts: { readonly wales: number; readonly courses: number; readonly needlePositions: number };
  /** Whole stitches in one inch at five places; null where the window is under one inch. */
  readonly handCount: { readonly wales: HandCount | null; readonly courses: HandCount | null };
  /** Angle by which courses are off square to wales (spirality), radians. */
  readonly skewRad: number;
  readonly parallax: Parallax;
  /** Area of the window on the fabric, mm². */
  readonly areaMm2: number;
  /** Steps so wide or so narrow that a line may be missing or marked twice there. */
  readonly unevenSteps: number;
  /** One sentence each: what to look at before trusting the numbers. */
  readonly warnings: readonly string[];
}

/** Why there is no gauge, in one sentence. */
export interface NoGauge {
  readonly ok: false;
  readonly sentence: string;
}

/** Writes the plane position of a photo point into `out`. */
const placerFor =
  (h: Homography) =>
  (x: number, y: number, out: Float64Array): void => {
    const w = h[6] * x + h[7] * y + h[8];
    out[0] = (h[0] * x + h[1] * y + h[2]) / w;
    out[1] = (h[3] * x + h[4] * y + h[5]) / w;
  };

const pixelPlacer = (x: number, y: number, out: Float64Array): void => {
  out[0] = x;
  out[1] = y;
};

/**
 * Mean distance between neighbouring wales and courses over the window, photo px; needs no scale.
 * @returns null when the window holds too few lines.
 */
export const pitchPxOf = (
  grid: StitchGrid,
  { corners }: CountWindow,
): { readonly wale: number; readonly course: number } | null => {
  const planes = halfPlanesOf(corners);
  const lattice = latticeOf(grid, planes, pixelPlacer);
  if (lattice === null) return null;
  const wale = pitchOf(lattice, planes, 'wale');
  const course = pitchOf(lattice, planes, 'course');
  return wale === null || course === null ? null : { wale: wale.pitch, course: course.pitch };
};

/** Whole lines of a family inside the window, counted along the line of the other family nearest to the window's middle. */
const countLines = (
  lattice: Lattice,
  window: HalfPlanes,
  middle: { readonly x: number; readonly y: number },
  family: LineFamily,
  counts: (line: number) => boolean,
): number => {
  const { waleCount, courseCount, x, y } = lattice;
  let nearest = 0;
  let best = Infinity;
  for (let k = 0; k < x.length; k += 1) {
    const d = ((x[k] as number) - middle.x) ** 2 + ((y[k] as number) - middle.y) ** 2;
    if (d < best) {
      best = d;
      nearest = k;
    }
  }
  const [count, at, first] =
    family === 'wale'
      ? [waleCount, (k: number) => k * courseCount + (nearest % courseCount), lattice.firstWale]
      : [courseCount, (k: number) => nearest - (nearest % courseCount) + k, lattice.firstCourse];
  let inside = 0;
  for (let k = 0; k < count; k += 1) {
    const n = at(k);
    if (counts(first + k) && isInside(window, x[n] as number, y[n] as number)) inside += 1;
  }
  return inside;
};

/**
 * How far a line may lie beside the middles of its stitches, as a share of a step: single stitches scatter by a few hundredths, light and shade draw the lines to one side,
 * and a grid that was found is smooth and shows neither. 0.015 is the root mean square over 82 drawn swatches of what either end of the counted length was off.
 */
const BESIDE_SHARE = 0.015;

/** The sources of a density's ±; each is relative, so that the density itself is the sensitivity. */
const componentsFor = (
  density: number,
  own: {
    readonly pitch: Pitch;
    readonly line: { readonly value: number; readonly degreesOfFreedom: number };
  },
  plane: Pick<PlaneMap, 'relativeUncertainty'>,
  parallax: Parallax,
): readonly Component[] => [
  {
    name: 'counting',
    sentence: 'How exactly the first and last line in the window are placed.',
    // Both ends of the counted length carry the error of one line.
    standardUncertainty: (Math.SQRT2 * own.line.value) / (own.pitch.pitch * own.pitch.steps),
    degreesOfFreedom: own.line.degreesOfFreedom,
    sensitivity: density,
  },
  {
    name: 'lines',
    sentence: 'How far the first and last line may lie beside the middles of their stitches.',
    standardUncertainty: (Math.SQRT2 * BESIDE_SHARE) / own.pitch.steps,
    degreesOfFreedom: Infinity,
    sensitivity: density,
  },
  {
    name: 'window edges',
    sentence: 'How much the gauge changes when the window ends one stitch earlier or later.',
    standardUncertainty: edgeUncertainty(own.pitch),
    degreesOfFreedom: Infinity,
    sensitivity: density,
  },
  {
    name: 'scale',
    sentence: 'How exactly the reference in the photo gives millimetres.',
    standardUncertainty: plane.relativeUncertainty,
    degreesOfFreedom: Infinity,
    sensitivity: density,
  },
  {
    name: 'height of the fabric',
    sentence: parallax.note,
    standardUncertainty: parallax.relativeUncertainty,
    degreesOfFreedom: Infinity,
    sensitivity: density,
  },
];

/** Components that push both densities the same way. */
const SHARED = new Set(['scale', 'height of the fabric']);

const densityOfStitches = (wales: Budget, courses: Budget, w: number, c: number): Uncertain => {
  const value = w * c;
  const components = wales.components.flatMap((mine, i) => {
    const other = courses.components[i];
    if (other === undefined) return [];
    return SHARED.has(mine.name)
      ? [{ ...mine, sensitivity: 2 * value }]
      : [
          { ...mine, sensitivity: value },
          { ...other, sensitivity: value },
        ];
  });
  return withBudget(value, combine(components));
};

const tooFew: NoGauge = {
  ok: false,
  sentence:
    'The window holds fewer than two columns or two rows: make it larger, or add the lines that are missing.',
};

/**
 * Stitches and rows per mm over the window, with their ± at 95 %, the count by hand and all that is worth knowing beside them.
 * `grid` and `window` are in photo px; `plane` takes photo px to mm.
 * Method: arc length over number of steps along every line in the window (see `pitchOf`) on a lattice freed from the jitter of single
 * stitches (see `latticeOf`), divided by the enlargement from the fabric's height (see `parallaxOf`); ± by JCGM 100:2008.
 */
export const gaugeOf = (
  grid: StitchGrid,
  window: CountWindow,
  plane: PlaneMap,
  context: GaugeContext,
): GaugeResult | NoGauge => {
  const { corners: photoCorners } = window;
  const corners = photoCorners.map((corner) => toPlane(plane, corner));
  const planes = halfPlanesOf(corners);
  const lattice = latticeOf(grid, planes, placerFor(plane.photoToPlane));
  const wale = lattice === null ? null : pitchOf(lattice, planes, 'wale');
  const course = lattice === null ? null : pitchOf(lattice, planes, 'course');
  if (lattice === null || wale === null || course === null) return tooFew;

  const lastWale = lattice.firstWale + lattice.waleCount - 1;
  const gaps = needleGapsOf(grid.wales, lattice.firstWale, lastWale);
  const parallax = parallaxOf(
    {
      ...context,
      walePitchMm: wale.pitch,
      coursePitchMm: course.pitch,
      hasNeedleGaps: gaps.stitchShare < 1,
      hasPurlColumns: grid.wales.some(({ holds }) => holds === 'purl'),
    },
    plane,
  );
  const isStitch = (w: number): boolean => grid.wales[w]?.kind === 'stitch';
  const needles = parallax.scaleFactor / wale.pitch;
  const stitches = needles * gaps.stitchShare;
  const rows = parallax.scaleFactor / course.pitch;
  const line = lattice.lineUncertainty;
  const budget = {
    wales: combine(componentsFor(stitches, { pitch: wale, line: line.wale }, plane, parallax)),
    courses: combine(componentsFor(rows, { pitch: course, line: line.course }, plane, parallax)),
  };
  const walesPerMm = withBudget(stitches, budget.wales);
  const middle = cornerCentre(corners);
  const count = (family: LineFamily, counts: (k: number) => boolean): number =>
    countLines(lattice, planes, middle, family, counts);
  const counts = {
    wales: count('wale', isStitch),
    needlePositions: count('wale', () => true),
    courses: count('course', () => true),
  };
  const uneven = [...unevenSteps(wale, 'wale'), ...unevenSteps(course, 'course')];
  const numberOf = (family: LineFamily) => numberOfLine(grid, window, family);
  return {
    ok: true,
    gauge: { walesPerMm, coursesPerMm: withBudget(rows, budget.courses) },
    needlePositionsPerMm: scaleUncertain(walesPerMm, 1 / gaps.stitchShare),
    stitchesPerMm2: densityOfStitches(budget.wales, budget.courses, stitches, rows),
    budget,
    counts,
    handCount: {
      wales: handCountOf(lattice, planes, 'wale', isStitch, parallax.scaleFactor),
      courses: handCountOf(lattice, planes, 'course', isStitch, parallax.scaleFactor),
    },
    skewRad: lattice.skewRad,
    parallax,
    areaMm2: polygonArea(corners) / parallax.scaleFactor ** 2,
    unevenSteps: uneven.length,
    warnings: gaugeWarnings({ uneven, numberOf, counts, walesPerMm: stitches, coursesPerMm: rows }),
  };
};

/** The numbers of a result that lists and comparisons read without opening the grid. */
export const summariseGauge = (result: GaugeResult, status: GaugeSummary['status']): GaugeSummary => ({
  walesPerMm: result.gauge.walesPerMm,
  coursesPerMm: result.gauge.coursesPerMm,
  walesInWindow: result.counts.wales,
  coursesInWindow: result.counts.courses,
  status,
});
