import type { MeasuredLine } from './gridLines';
import { type ClassVerdict, type LineSign, remainder, signsOf, weighHeavy } from './lineClasses';

/** How the lines of a grid differ in strength. */
export interface LineLevels {
  /** Every how many lines one is heavier than all between, finest first; empty when all look alike. */
  readonly steps: readonly HeavyStep[];
  /** Other ways in which heavy lines may stand that what is seen does not rule out, such as all of them being hidden. */
  readonly rivals: readonly RivalStep[];
  /** True when some lines may be heavier but not clearly so. */
  readonly doubtful: boolean;
  /** Range that the width of the thinnest kind of line may have, in spacings of the finest lines: what is narrower than the picture is sharp could be anything below. */
  readonly thinnest: readonly [number, number];
}

/** Every `every`-th line is heavier; `phase` is the remainder of the heavy lines' index on each axis. */
export interface HeavyStep {
  readonly every: number;
  readonly phase: readonly [number, number];
}

/** A step that may be there, and how much less likely the lines are so than with the steps that were seen. */
export interface RivalStep extends HeavyStep {
  readonly share: number;
}

const subdivisions = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20];

/** Least ln(ink ratio) at which heavy and fine lines count as told apart. */
const clear = 0.22;
/** Least ln(ink ratio) that makes one doubt that all lines are alike. */
const hint = 0.06;
/** Least evidence (ln of the Bayes factor) for a step to count as seen, and for a small difference to cast doubt. */
const proof = 5;
const suspicion = 2;
/** So many heavy lines at least make a step; fewer than that many could still be odd ones. */
const leastHeavy = 2;
const fewHeavy = 3;
/** Rivals less likely than this are left out. */
const leastRival = 0.01;

type Axes = readonly (readonly LineSign[])[];

const clearly = (verdict: ClassVerdict): boolean =>
  verdict.contrast >= clear && verdict.heavySeen >= leastHeavy;

const strongest = (verdicts: readonly ClassVerdict[]): ClassVerdict | null =>
  verdicts.length === 0 ? null : verdicts.reduce((a, b) => (b.evidence > a.evidence ? b : a));

const onStep = ({ every, phase }: HeavyStep, index: number, axis: number): boolean =>
  remainder(index, every) === phase[axis];

/** Steps whose lines are heavier still among those of one that was seen. */
const coarserThan = (axes: Axes, step: HeavyStep): HeavyStep[] => {
  const among = axes.map((signs, axis) =>
    signs
      .filter((s) => onStep(step, s.index, axis))
      .map((s) => ({ ...s, index: (s.index - (step.phase[axis] ?? 0)) / step.every })),
  );
  const found = strongest(weighHeavy(among, subdivisions).filter(clearly));
  if (found === null || found.evidence < proof) return [];
  const [p, q] = step.phase;
  const phase = [p + step.every * found.phase[0], q + step.every * found.phase[1]] as const;
  return [{ every: step.every * found.every, phase }];
};

/** Steps between those of one that was seen and the finest lines: half inches between inches. */
const finerThan = (axes: Axes, step: HeavyStep): HeavyStep[] => {
  const rest = axes.map((signs, axis) => signs.filter((s) => !onStep(step, s.index, axis)));
  const found = strongest(
    weighHeavy(
      rest,
      subdivisions.filter((n) => n < step.every && step.every % n === 0),
    )
      .filter(clearly)
      .filter((v) => step.phase.every((phase, axis) => remainder(phase, v.every) === v.phase[axis])),
  );
  return found === null || found.evidence < proof ? [] : [{ every: found.every, phase: found.phase }];
};

/** A line in focus looks up to this wide, px, however thin it is (seen on photos). */
const sharpPx = 2.1;

const thinnestOf = (
  lines: readonly MeasuredLine[],
  step: HeavyStep | undefined,
  spacingPx: (line: MeasuredLine) => number,
): [number, number] => {
  const fine = lines.filter((l) => l.places.length >= 8 && !(step && onStep(step, l.index, l.axis)));
  // The thin end: where the picture is out of focus, all lines look too wide.
  const thin = (widths: number[]): number =>
    widths.sort((a, b) => a - b)[Math.floor(0.2 * widths.length)] ?? 0;
  return [
    thin(fine.map((l) => Math.sqrt(Math.max(0, l.widthPx ** 2 - sharpPx ** 2)) / spacingPx(l))),
    thin(fine.map((l) => l.widthPx / spacingPx(l))),
  ];
};

/**
 * Finds which lines of a numbered grid are heavier than the lines between them, by weighing every usual subdivision against all lines being alike;
 * both axes must agree.
 */
export const findLevels = (
  lines: readonly MeasuredLine[],
  spacingPx: (line: MeasuredLine) => number,
): LineLevels => {
  const axes = [0, 1].map((axis) =>
    signsOf(
      lines.filter((l) => l.axis === axis),
      spacingPx,
    ),
  );
  const verdicts = weighHeavy(axes, subdivisions);
  const best = strongest(verdicts.filter(clearly));
  const seen = best !== null && best.evidence > proof ? best : null;
  const steps = seen === null ? [] : [...finerThan(axes, seen), seen, ...coarserThan(axes, seen)];
  const base = seen?.evidence ?? 0;
  const rivals = subdivisions
    .filter((every) => !steps.some((s) => s.every === every))
    .flatMap((every) => strongest(verdicts.filter((v) => v.every === every && v.contrast >= clear)) ?? [])
    .map((v) => ({ every: v.every, phase: v.phase, share: Math.min(1, Math.exp(v.evidence - base)) }))
    .filter((v) => v.share > leastRival);
  const unclear = verdicts.some(
    (v) => v.contrast < clear && v.contrast > hint && v.evidence > base + suspicion,
  );
  return {
    steps: steps.map(({ every, phase }) => ({ every, phase })),
    rivals,
    doubtful: unclear || (seen !== null && seen.heavySeen < fewHeavy),
    thinnest: thinnestOf(lines, steps[0], spacingPx),
  };
};

/** One way to read a grid: the asked-for spacing runs over `every` of the finest lines. */
export interface GridReading {
  readonly every: number;
  readonly phase: readonly [number, number];
  /** How plausible it is beside the others; only the ratio matters. */
  readonly chance: number;
  /** Whether the lines it takes for heavy were seen to be, or, for neighbouring lines, no others. */
  readonly seen: boolean;
}

/** Fine lines of mats are about so thin (common practice); a picture out of focus makes them look wider. */
const usualWidthMm = [0.17, 0.45] as const;
const lineFit = ([from, to]: readonly [number, number]): number => {
  const [thin, thick] = usualWidthMm;
  if (to < thin) return Math.exp(-0.5 * (Math.log(Math.max(to, 1e-3) / thin) / 0.35) ** 2);
  return from > thick ? Math.exp(-0.5 * (Math.log(from / thick) / 0.6) ** 2) : 1;
};

/** How usual it is that `pitchMm` is divided by `every` on a mat (common practice: inches by halves, centimetres by 2 or 10, while every fifth line of a centimetre grid is often the heavier one). */
const usual = (pitchMm: number, every: number): number => {
  if (every === 1) return 1;
  const inches = Math.abs(pitchMm / 25.4 - Math.round(pitchMm / 25.4)) < 0.01;
  if (inches) return [2, 4, 8, 16].includes(every) ? 1 : 0.1;
  return [2, 10].includes(every) ? 1 : every === 5 ? 0.4 : 0.1;
};

/** How much likelier it is that the heaviest lines are meant than others. */
const heaviestMeant = 4;

/**
 * The ways in which the spacing can be meant, most plausible first: between the heaviest lines, unless that would make the printed lines
 * impossibly thin or thick.
 * @param pitchMm what the user said about the spacing, or null.
 */
export const readings = (levels: LineLevels, pitchMm: number | null): GridReading[] => {
  const { steps, rivals, thinnest } = levels;
  const pitches = pitchMm === null ? [10, 25.4] : [pitchMm];
  const chanceOf = (every: number): number =>
    Math.max(
      ...pitches.map(
        (p) => lineFit([(thinnest[0] * p) / every, (thinnest[1] * p) / every]) * usual(p, every),
      ),
    );
  const all = [{ every: 1, phase: [0, 0] as const }, ...steps];
  const seen = all.map((step, i) => ({
    ...step,
    chance: chanceOf(step.every) * (i === all.length - 1 ? heaviestMeant : 1),
    seen: true,
  }));
  const unseen = rivals.map(({ every, phase, share }) => ({
    every,
    phase,
    chance: chanceOf(every) * heaviestMeant * share,
    seen: false,
  }));
  return [...seen, ...unseen].sort((a, b) => b.chance - a.chance);
};

/** Chances of other readings beside the likeliest from which on the user is asked to look: of all that what is seen does not rule out, and of other lines that are seen being meant. */
const mostUnproven = 0.08;
const mostMeant = 0.5;

/** Why a reading may be mistaken by a whole factor: it is not clear which lines are heavy, or, where it is, which of them are meant. */
export type ReadingDoubt = 'print' | 'meaning';

/** What is doubtful about the likeliest of some readings, best first; null where nothing is. */
export const doubtAbout = (levels: LineLevels, options: readonly GridReading[]): ReadingDoubt | null => {
  const [first, second] = options;
  if (first === undefined || levels.doubtful || !first.seen) return 'print';
  const unproven = options.reduce((sum, o) => sum + (o.seen ? 0 : o.chance), 0);
  if (unproven > mostUnproven * first.chance) return 'print';
  return (second?.chance ?? 0) > mostMeant * first.chance ? 'meaning' : null;
};
