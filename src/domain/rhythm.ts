import { mean, regularisedIncompleteBeta } from './statistics';

/** A regular up and down in a row of numbers. */
export interface Rhythm {
  /** Numbers from one high to the next. */
  readonly period: number;
  /** Half the swing, as a share of the mean. */
  readonly amplitude: number;
  /** Chance of a swing at least this strong at any period if there were only noise. */
  readonly p: number;
}

/** Values less the straight line through them. */
const detrended = (values: readonly number[]): readonly number[] => {
  const n = values.length;
  const centre = mean(values);
  const middle = (n - 1) / 2;
  const square = (n * (n * n - 1)) / 12;
  const slope = values.reduce((sum, v, i) => sum + (i - middle) * v, 0) / square;
  return values.map((v, i) => v - centre - slope * (i - middle));
};

/** Power of the wave with `cycles` cycles over the whole row. */
const wavePower = (values: readonly number[], cycles: number): number => {
  const omega = (2 * Math.PI * cycles) / values.length;
  let re = 0;
  let im = 0;
  values.forEach((v, i) => {
    re += v * Math.cos(omega * i);
    im += v * Math.sin(omega * i);
  });
  return (re * re + im * im) / values.length;
};

/**
 * Chance that the largest of m equal chances reaches the share g of their sum: Fisher's exact test for the largest ordinate of a periodogram (R. A.
 * Fisher 1929, "Tests of significance in harmonic analysis").
 */
export const fisherG = (g: number, m: number): number => {
  let p = 0;
  let ways = 1;
  for (let k = 1; k <= Math.min(m, Math.floor(1 / g)); k += 1) {
    ways = (ways * (m - k + 1)) / k;
    p += (k % 2 === 1 ? 1 : -1) * ways * (1 - k * g) ** (m - 1);
  }
  return Math.min(1, Math.max(0, p));
};

/** Mean of every n-th value, for each of the n places where the count can start. */
const folded = (values: readonly number[], period: number): readonly number[] =>
  Array.from({ length: period }, (_, phase) => mean(values.filter((_v, i) => i % period === phase)));

/**
 * Chance under noise alone that the means of every n-th value lie as far apart as they do: analysis of variance with n groups, F = between over within
 * (NIST/SEMATECH e-Handbook 7.4.3.3). `excess` is how much more noise there is between the groups than on the whole.
 */
const foldedChance = (values: readonly number[], period: number, excess: number): number => {
  const n = values.length;
  const means = folded(values, period);
  const centre = mean(values);
  const between = values.reduce((sum, _, i) => sum + ((means[i % period] ?? 0) - centre) ** 2, 0);
  const within = values.reduce((sum, v, i) => sum + (v - (means[i % period] ?? 0)) ** 2, 0);
  const [d1, d2] = [period - 1, n - period];
  const explained = between / Math.max(excess, 1);
  return regularisedIncompleteBeta(
    within / (within + explained),
    d2 / 2,
    d1 / 2,
    explained / (within + explained),
  );
};

/** Fewer numbers than this say nothing of a rhythm. */
const LEAST = 12;
/** A rhythm must come round at least this often to be one. */
const LEAST_CYCLES = 3;

/** How strong the noise is at each frequency when every line position is off by itself. */
type NoiseLevel = (cycles: number) => number;

/**
 * The wave of one period, fitted by least squares with cosine and sine: the share of the sum of squares that it explains, and half its
 * swing. Unlike the periodogram it does not leak for periods that do not fill the row a whole number of times.
 */
const fittedWave = (
  values: readonly number[],
  period: number,
): { readonly explained: number; readonly amplitude: number } => {
  const omega = (2 * Math.PI) / period;
  let [cc, cs, ss, vc, vs, vv] = [0, 0, 0, 0, 0, 0];
  values.forEach((v, i) => {
    const c = Math.cos(omega * i);
    const s = Math.sin(omega * i);
    cc += c * c;
    cs += c * s;
    ss += s * s;
    vc += v * c;
    vs += v * s;
    vv += v * v;
  });
  const determinant = cc * ss - cs * cs;
  // A wave of exactly two steps has no sine at all.
  if (determinant < 1e-6 * cc * cc) return { explained: vc ** 2 / (cc * vv), amplitude: Math.abs(vc) / cc };
  const a = (vc * ss - vs * cs) / determinant;
  const b = (vs * cc - vc * cs) / determinant;
  return { explained: (a * vc + b * vs) / vv, amplitude: Math.hypot(a, b) };
};

/** The strongest single wave, tested by Fisher's g on levelled ordinates. */
const strongestWave = (values: readonly number[], level: NoiseLevel): Rhythm => {
  const n = values.length;
  const ordinates = Array.from({ length: (n - 1) / 2 - LEAST_CYCLES + 1 }, (_, i) => {
    const cycles = i + LEAST_CYCLES;
    return { cycles, power: wavePower(values, cycles) / level(cycles) };
  });
  const total = ordinates.reduce((sum, o) => sum + o.power, 0);
  const best = ordinates.reduce((a, b) => (b.power > a.power ? b : a));
  // The true period lies between whole numbers of cycles: the best fitting wave nearby tells it.
  let finest = { cycles: best.cycles, ...fittedWave(values, n / best.cycles) };
  for (let k = -40; k <= 40; k += 1) {
    const cycles = Math.min(best.cycles + k / 40, n / 2);
    const here = fittedWave(values, n / cycles);
    if (here.explained > finest.explained) finest = { cycles, ...here };
  }
  return {
    period: n / finest.cycles,
    amplitude: finest.amplitude,
    p: fisherG(best.power / total, ordinates.length),
  };
};

/** The whole number n for which every n-th value differs most surely, whatever the shape; p allows for all n that were tried. */
const strongestRepeat = (values: readonly number[], level: NoiseLevel): Rhythm => {
  const n = values.length;
  const overall = mean(Array.from({ length: (n - 1) / 2 }, (_, i) => level(i + 1)));
  const tried = Math.floor(n / LEAST_CYCLES) - 1;
  const candidates = Array.from({ length: tried }, (_, i): Rhythm => {
    const period = i + 2;
    const harmonics = Array.from({ length: Math.floor(period / 2) }, (_h, j) => ((j + 1) * n) / period);
    const p = foldedChance(values, period, mean(harmonics.map(level)) / overall);
    const means = folded(values, period);
    return { period, amplitude: (Math.max(...means) - Math.min(...means)) / 2, p: Math.min(1, p * tried) };
  });
  return candidates.reduce((a, b) => (b.p < a.p ? b : a));
};

/** No measured row is described better than to this share of its sum of squares: below it the description with fewer numbers wins. */
const LEAST_REST = 0.005;

/** Akaike's criterion (H. Akaike 1974) of a description that leaves the share `rest` of the sum of squares with so many parameters. */
const information = (count: number, rest: number, parameters: number): number =>
  count * Math.log(Math.max(rest, LEAST_REST)) + 2 * parameters;

const informationOfRepeat = (values: readonly number[], { period }: Rhythm): number => {
  const means = folded(values, period);
  const total = values.reduce((sum, v) => sum + v * v, 0);
  const rest = values.reduce((sum, v, i) => sum + (v - (means[i % period] ?? 0)) ** 2, 0);
  return information(values.length, rest / total, period);
};

const informationOfWave = (values: readonly number[], { period }: Rhythm): number =>
  information(values.length, 1 - fittedWave(values, period).explained, 3);

/**
 * The surest rhythm in a row of step lengths: a wave of any period, or a pattern that repeats every n-th step, with its chance under noise
 * alone. Steps between lines are differences of line positions: when each position is off by `positionNoise` (standard
 * deviation), the noise of steps grows toward short periods as 2(1 − cos ω), and both tests are levelled for that.
 * @returns null when there are too few numbers or no swing at all.
 */
export const rhythmOf = (steps: readonly number[], positionNoise = 0): Rhythm | null => {
  if (steps.length < LEAST) return null;
  // An odd number of values keeps every ordinate of the periodogram alike; every second row still shows at its end.
  const values = detrended(steps.slice(0, steps.length - (steps.length % 2 === 0 ? 1 : 0)));
  const n = values.length;
  const variance = values.reduce((sum, v) => sum + v * v, 0) / n;
  // Rounding alone is no swing.
  if (variance <= (1e-9 * mean(steps)) ** 2) return null;
  const own = Math.max(variance - 2 * positionNoise ** 2, 0.1 * variance);
  const level: NoiseLevel = (cycles) =>
    own + positionNoise ** 2 * 2 * (1 - Math.cos((2 * Math.PI * cycles) / n));
  const smooth = strongestWave(values, level);
  const repeated = strongestRepeat(values, level);
  // Two tests were made, so that chance had two tries; which of the two shapes it is, the better description tells.
  const p = Math.min(1, 2 * Math.min(smooth.p, repeated.p));
  const { period, amplitude } =
    informationOfRepeat(values, repeated) < informationOfWave(values, smooth) ? repeated : smooth;
  return { period, amplitude: amplitude / mean(steps), p };
};
