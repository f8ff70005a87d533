import type { MeasuredLine } from './gridLines';

/** How the lines of a grid differ in strength. */
export interface LineLevels {
  /** Every how many lines one is heavier than all between, finest first; empty when all look alike. */
  readonly steps: readonly HeavyStep[];
  /** True when some lines may be heavier but not clearly so. */
  readonly doubtful: boolean;
  /** Width of the thinnest kind of line (at its sharpest fifth), in spacings of the finest lines. */
  readonly thinnest: number;
}

/** Every `every`-th line is heavier; `phase` is the remainder of the heavy lines' index on each axis. */
export interface HeavyStep {
  readonly every: number;
  readonly phase: readonly [number, number];
  /** Median of ln(weight of a heavy line / heaviest of the lines between). */
  readonly contrast: number;
}

const subdivisions = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20];
const remainder = (index: number, every: number): number => ((index % every) + every) % every;

interface AxisVerdict {
  readonly phase: number;
  readonly contrast: number;
  /** Share of the heavy lines that outweigh their neighbours. */
  readonly share: number;
  readonly heavyCount: number;
}

const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  if (n === 0) return Number.NaN;
  return ((sorted[(n - 1) >> 1] ?? 0) + (sorted[n >> 1] ?? 0)) / 2;
};

/**
 * ln(weight) by index. A line that was nowhere seen although one beside it was counts as very faint; one that is hidden along with its
 * neighbours is left out.
 */
const logWeights = (lines: readonly MeasuredLine[]): Map<number, number> => {
  const seen = new Map(lines.map((l) => [l.index, l]));
  const weights = lines.filter((l) => l.seenShare > 0.12 && l.places.length >= 8).map((l) => l.weightPx);
  const faint = Math.log(0.1 * Math.min(...weights));
  const out = new Map<number, number>();
  for (const line of lines) {
    if (line.seenShare > 0.12 && line.places.length >= 8) out.set(line.index, Math.log(line.weightPx));
    else {
      const beside = [-1, 1].map((d) => seen.get(line.index + d)?.seenShare ?? 0);
      if (line.seenShare < 0.05 && Math.max(...beside) > 0.35) out.set(line.index, faint);
    }
  }
  return out;
};

const judge = (weights: ReadonlyMap<number, number>, every: number): AxisVerdict | null => {
  let best: AxisVerdict | null = null;
  for (let phase = 0; phase < every; phase++) {
    const differences: number[] = [];
    for (const [index, weight] of weights) {
      if (remainder(index, every) !== phase) continue;
      const between: number[] = [];
      for (let d = -every + 1; d < every; d++) {
        const other = weights.get(index + d);
        if (d !== 0 && other !== undefined) between.push(other);
      }
      if (between.length === 0) continue;
      between.sort((a, b) => b - a);
      // One odd line among many may be a scratch or a numeral's edge.
      differences.push(weight - (between[between.length >= 6 ? 1 : 0] ?? 0));
    }
    if (differences.length === 0) continue;
    const contrast = median(differences);
    if (best === null || contrast > best.contrast) {
      best = {
        phase,
        contrast,
        share: differences.filter((d) => d > 0.12).length / differences.length,
        heavyCount: differences.length,
      };
    }
  }
  return best;
};

/** Least ln(weight ratio) at which heavy and fine lines count as told apart. */
const clear = 0.3;

/**
 * Finds which lines of a numbered grid are heavier than the lines between them. Only neighbours are compared, so that light falling off
 * across the mat does not matter; both axes must agree.
 */
export const findLevels = (
  lines: readonly MeasuredLine[],
  spacingPx: (line: MeasuredLine) => number,
): LineLevels => {
  const axes = [0, 1].map((axis) => logWeights(lines.filter((l) => l.axis === axis)));
  const [first, second] = axes;
  const steps: HeavyStep[] = [];
  let few = false;
  let unclear = false;
  if (first && second) {
    for (const every of subdivisions) {
      const a = judge(first, every);
      const b = judge(second, every);
      if (a === null || b === null) continue;
      const count = a.heavyCount + b.heavyCount;
      const contrast = Math.min(a.contrast, b.contrast);
      const share = (a.share * a.heavyCount + b.share * b.heavyCount) / count;
      if (contrast > (count < 3 ? 2 : 1) * clear && share > 0.8) {
        steps.push({ every, phase: [a.phase, b.phase], contrast });
        few = count < 3;
      } else if (count >= 3 && share > 0.7 && contrast > 0.12) unclear = true;
      else if (count >= 3 && share > 0.6 && Math.max(a.contrast, b.contrast) > clear && contrast > 0.05) {
        unclear = true;
      }
    }
  }
  const doubtful = few || (steps.length === 0 && unclear);
  const nested = steps.filter((s) => steps.every((t) => t.every <= s.every || t.every % s.every === 0));
  const heavyStep = nested[0];
  const thin = lines.filter(
    (l) =>
      l.places.length >= 8 &&
      (heavyStep === undefined || remainder(l.index, heavyStep.every) !== heavyStep.phase[l.axis]),
  );
  // The thin end of the range: where the picture is out of focus, all lines look too wide.
  const widths = thin.map((l) => l.widthPx / spacingPx(l)).sort((a, b) => a - b);
  return { steps: nested, doubtful, thinnest: widths[Math.floor(0.2 * widths.length)] ?? Number.NaN };
};

/** One way to read a grid: the asked-for spacing runs over `every` of the finest lines. */
export interface GridReading {
  readonly every: number;
  readonly phase: readonly [number, number];
  /** How plausible it is beside the others; only the ratio matters. */
  readonly chance: number;
}

/** Printed lines of mats are about 0.15 to 0.6 mm thin (common practice). */
const lineFit = (widthMm: number): number => Math.exp(-0.5 * (Math.log(widthMm / 0.3) / 0.5) ** 2);

/** How usual it is that `pitchMm` is divided by `every` on a mat (common practice: inches by halves, centimetres by 2 or 10, while every fifth line of a centimetre grid is often the heavier one). */
const usual = (pitchMm: number, every: number): number => {
  if (every === 1) return 1;
  const inches = Math.abs(pitchMm / 25.4 - Math.round(pitchMm / 25.4)) < 0.01;
  if (inches) return [2, 4, 8, 16].includes(every) ? 1 : 0.1;
  return [2, 10].includes(every) ? 1 : every === 5 ? 0.4 : 0.1;
};

/**
 * The ways in which the spacing can be meant, most plausible first: between the heaviest lines, unless that would make the printed lines
 * impossibly thin or thick.
 * @param pitchMm what the user said about the spacing, or null.
 */
export const readings = (levels: LineLevels, pitchMm: number | null): GridReading[] => {
  const options = [{ every: 1, phase: [0, 0] as const }, ...levels.steps];
  const pitches = pitchMm === null ? [10, 25.4] : [pitchMm];
  const heaviest = options.length - 1;
  return options
    .map(({ every, phase }, i) => {
      const chances = pitches.map((p) => lineFit((levels.thinnest * p) / every) * usual(p, every));
      return { every, phase, chance: Math.max(...chances) * (i === heaviest && i > 0 ? 4 : 1) };
    })
    .sort((a, b) => b.chance - a.chance);
};
