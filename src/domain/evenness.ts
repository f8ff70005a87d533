import type { PhotoPoint } from './coordinates';
import { photoPoint } from './coordinates';
import { halfPlanesOf } from './countWindow';
import { crossingsOf } from './crossings';
import type { CountWindow, LineFamily, StitchGrid } from './grid';
import { latticeOf, type Placer } from './lattice';
import { numberOfLine } from './lineNumbers';
import type { LineUncertainty } from './lineShifts';
import { type Pitch, pitchOf } from './pitch';
import { type PlaneMap, toPlane } from './plane';
import { type Rhythm, rhythmOf } from './rhythm';
import { mean, median, standardDeviation } from './statistics';

/** A row or column that stands out, by its number as it is counted in the window (`numbersOf`). */
export interface NamedLine {
  readonly number: number;
  /** How much taller (or wider) than the mean it is, as a share; negative for a tight one. */
  readonly deviation: number;
}

/** How even the rows (or columns) are. */
export interface LineEvenness {
  /** Standard deviation of the steps as a share of the mean, noise of the measurement taken out. */
  readonly variation: number;
  /** The most deviating ones that exceed the noise of the measurement, the strongest first, at most three each. */
  readonly tightest: readonly NamedLine[];
  readonly loosest: readonly NamedLine[];
  /** A regular up and down, when it is there beyond reasonable doubt. */
  readonly rhythm: Rhythm | null;
}

/** Local gauge of one patch of fabric, for a picture over the photo. */
export interface GaugeCell {
  /** Corners in photo px, in the order of a closed outline. */
  readonly corners: readonly PhotoPoint[];
  readonly walesPerMm: number;
  readonly coursesPerMm: number;
}

export interface Evenness {
  readonly rows: LineEvenness;
  readonly columns: LineEvenness;
  readonly cells: readonly GaugeCell[];
  /** One sentence each, what stands out most first. */
  readonly sentences: readonly string[];
}

const NAMED = 3;
/** A line is named when it deviates by more than this many standard uncertainties, which chance reaches once in 370 lines. */
const OUTSTANDING = 3;
/** A rhythm is claimed when chance alone would show one as strong in fewer than one swatch in a hundred. */
const DOUBT = 0.01;
/** A swing below this share of the row height is not worth a sentence (judgement). */
const LEAST_SWING = 0.02;
/** Stitches that a cell of the map spans both ways: enough to average the jitter of single ones to about half a per cent. */
const CELL = { wales: 4, courses: 6 } as const;

const lineEvenness = (
  { perStep }: Pitch,
  line: LineUncertainty,
  numberOf: (index: number) => number | undefined,
): LineEvenness => {
  // Steps that the window cuts are left out: their part inside says little of the whole.
  const full = Math.max(...perStep.map((s) => s.weight));
  const whole = perStep.filter((s) => s.weight > full / 2);
  const lengths = whole.map((s) => s.length);
  if (lengths.length < 3) return { variation: 0, tightest: [], loosest: [], rhythm: null };
  const centre = mean(lengths);
  const noise = (Math.SQRT2 * line.value) / centre;
  const spread = standardDeviation(lengths) / centre;
  const named = whole
    .flatMap((s): NamedLine[] => {
      const number = numberOf(s.index);
      // A needle gap has no number, and a line outside the window none that she could find.
      return number === undefined ? [] : [{ number, deviation: s.length / centre - 1 }];
    })
    .filter(({ deviation }) => Math.abs(deviation) > Math.max(OUTSTANDING * noise, 1e-6))
    .toSorted((a, b) => a.deviation - b.deviation);
  const rhythm = rhythmOf(lengths, line.value);
  return {
    variation: Math.sqrt(Math.max(0, spread ** 2 - noise ** 2)),
    tightest: named.filter((n) => n.deviation < 0).slice(0, NAMED),
    loosest: named
      .filter((n) => n.deviation > 0)
      .toReversed()
      .slice(0, NAMED),
    rhythm: rhythm !== null && rhythm.p < DOUBT && rhythm.amplitude > LEAST_SWING ? rhythm : null,
  };
};

/** Ends of the cells along a family of `count` lines. */
const cellEnds = (count: number, size: number): readonly number[] => {
  const cells = Math.max(1, Math.floor((count - 1) / size));
  return Array.from({ length: cells + 1 }, (_, i) => Math.round((i * (count - 1)) / cells));
};

const gaugeCells = (grid: StitchGrid, place: Placer): readonly GaugeCell[] => {
  const { waleCount, courseCount, x, y } = crossingsOf(grid);
  if (waleCount < 2 || courseCount < 2) return [];
  const a = new Float64Array(2);
  const b = new Float64Array(2);
  const distance = (from: number, to: number): number => {
    place(x[from] as number, y[from] as number, a);
    place(x[to] as number, y[to] as number, b);
    return Math.hypot((b[0] as number) - (a[0] as number), (b[1] as number) - (a[1] as number));
  };
  const at = (wale: number, course: number): number => wale * courseCount + course;
  const known = (values: number[]): number[] => values.filter((v) => !Number.isNaN(v));
  const cell = (w0: number, w1: number, c0: number, c1: number): GaugeCell | null => {
    const corners = [at(w0, c0), at(w1, c0), at(w1, c1), at(w0, c1)].map((k) =>
      photoPoint(x[k] as number, y[k] as number),
    );
    const widths = known(
      Array.from({ length: c1 - c0 + 1 }, (_, i) => distance(at(w0, c0 + i), at(w1, c0 + i))),
    );
    const heights = known(
      Array.from({ length: w1 - w0 + 1 }, (_, i) => distance(at(w0 + i, c0), at(w0 + i, c1))),
    );
    if (corners.some((p) => Number.isNaN(p.x)) || widths.length === 0 || heights.length === 0) return null;
    return {
      corners,
      walesPerMm: (w1 - w0) / median(widths),
      coursesPerMm: (c1 - c0) / median(heights),
    };
  };
  const waleEnds = cellEnds(waleCount, CELL.wales);
  const courseEnds = cellEnds(courseCount, CELL.courses);
  return waleEnds.slice(1).flatMap((w1, i) =>
    courseEnds.slice(1).flatMap((c1, j) => {
      const found = cell(waleEnds[i] ?? 0, w1, courseEnds[j] ?? 0, c1);
      return found === null ? [] : [found];
    }),
  );
};

const percent = (share: number): string => `${(Math.abs(share) * 100).toFixed(0)} %`;

const ordinal = (n: number): string => {
  const tail = n % 100 >= 11 && n % 100 <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][n % 10] ?? 'th');
  return `${n}${tail}`;
};

const sentencesFor = (family: LineFamily, { rhythm, tightest, loosest }: LineEvenness): readonly string[] => {
  const [noun, big, small] =
    family === 'course' ? ['row', 'taller', 'shorter'] : ['column', 'wider', 'narrower'];
  const sentences: string[] = [];
  if (rhythm !== null) {
    const period = Math.round(rhythm.period);
    const near = Math.abs(rhythm.period - period) < 0.15;
    const every = near
      ? `Every ${ordinal(period)} ${noun}`
      : `About every ${rhythm.period.toFixed(1)} ${noun}s one`;
    sentences.push(`${every} is ${big}, by about ${percent(rhythm.amplitude)} up and down.`);
  }
  const [loose] = loosest;
  if (loose !== undefined) {
    sentences.push(
      `The loosest ${noun} is number ${loose.number}, ${percent(loose.deviation)} ${big} than the mean.`,
    );
  }
  const [tight] = tightest;
  if (tight !== undefined) {
    sentences.push(
      `The tightest ${noun} is number ${tight.number}, ${percent(tight.deviation)} ${small} than the mean.`,
    );
  }
  return sentences;
};

/**
 * How even the fabric is: over the window which rows and columns stand out, whether row heights go up and down regularly (a wobbly cam or
 * brake), and the local gauge over the whole grid. Row n of the window reaches from its own line to the next.
 * `plane` takes photo px to mm; the fabric's height above it is left out, for it changes all places alike.
 * @returns null when the window holds too few stitches.
 */
export const evennessOf = (
  grid: StitchGrid,
  window: CountWindow,
  plane: Pick<PlaneMap, 'photoToPlane'>,
): Evenness | null => {
  const place: Placer = (x, y, out) => {
    const p = toPlane(plane, photoPoint(x, y));
    out[0] = p.x;
    out[1] = p.y;
  };
  const { corners } = window;
  const planes = halfPlanesOf(corners.map((corner) => toPlane(plane, corner)));
  const lattice = latticeOf(grid, planes, place);
  const wale = lattice === null ? null : pitchOf(lattice, planes, 'wale');
  const course = lattice === null ? null : pitchOf(lattice, planes, 'course');
  if (lattice === null || wale === null || course === null) return null;
  const rows = lineEvenness(course, lattice.lineUncertainty.course, numberOfLine(grid, window, 'course'));
  const columns = lineEvenness(wale, lattice.lineUncertainty.wale, numberOfLine(grid, window, 'wale'));
  return {
    rows,
    columns,
    cells: gaugeCells(grid, place),
    sentences: [...sentencesFor('course', rows), ...sentencesFor('wale', columns)],
  };
};
