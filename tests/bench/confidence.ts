import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { type Features, featuresOf, sigmoid } from '../../workers/stitches/chance';
import type { Evidence } from '../../workers/stitches/confidence';
import { fitDoubts, isFirstHalf } from './logistic';
import { readAll } from './pool';
import type { Sample } from './readingsOf';
import type { BenchCase } from './row';

const kept = (path: string): Sample[] =>
  existsSync(path)
    ? readFileSync(path, 'utf8')
        .split('\n')
        .filter((line) => line !== '')
        .map((line) => JSON.parse(line) as Sample)
    : [];

/** The readings of all photos; what a file of earlier readings holds is not read again. */
const collect = async (
  cases: readonly BenchCase[],
  path: string,
  processes: number,
): Promise<readonly Sample[]> => {
  const names = new Set(cases.map(({ name }) => name));
  const known = kept(path).filter(({ photo }) => names.has(photo));
  const photos = new Set(known.map(({ photo }) => photo));
  const missing = cases.filter(({ name }) => !photos.has(name));
  const fresh = await readAll(missing, processes, (samples, done) => {
    appendFileSync(path, samples.map((sample) => `${JSON.stringify(sample)}\n`).join(''));
    process.stdout.write(`${done}/${missing.length} ${samples[0]?.photo ?? 'nothing read'}\n`);
  });
  return [...known, ...fresh.flat()];
};

const BINS = [0, 0.1, 0.5, 0.8, 0.95, 0.99, 1.001] as const;

const reliability = (title: string, samples: readonly Sample[], chance: (s: Sample) => number): string => {
  const photos = new Set(samples.map((sample) => sample.photo)).size;
  const lines = BINS.slice(0, -1).map((low, i) => {
    const high = BINS[i + 1] as number;
    const inside = samples.filter((s) => chance(s) >= low && chance(s) < high);
    const mean = inside.reduce((sum, s) => sum + chance(s), 0) / inside.length;
    const right = inside.filter((s) => s.right).length;
    const shares =
      inside.length === 0 ? '– | –' : `${mean.toFixed(3)} | ${(right / inside.length).toFixed(3)}`;
    return `| ${low} to ${Math.min(1, high)} | ${inside.length} | ${shares} |`;
  });
  return [
    `## ${title}: ${samples.length} readings of ${photos} photos`,
    '',
    '| stated chance | readings | mean stated | really right |',
    '| --- | --- | --- | --- |',
    ...lines,
  ].join('\n');
};

/** What the fit gives: the page with its reliability, and the weights as a module of the vision code. */
export interface ConfidenceFit {
  readonly page: string;
  readonly module: string;
}

const fitOn = (samples: readonly Sample[], names: readonly (keyof Features)[]): readonly number[] =>
  fitDoubts(
    samples.map(({ evidence }) => rowOf(evidence, names)),
    samples.map((sample) => sample.right),
  );

const rowOf = (evidence: Evidence, names: readonly (keyof Features)[]): number[] => {
  const features = featuresOf(evidence);
  return names.map((name) => features[name]);
};

/**
 * Fits the chance of a reading to be right on the drawn photos and one half of the given ones; how true it comes is judged on the other half, and
 * crosswise on all: each half of the photos by a fit that saw the other half alone.
 * @param path File that keeps what was read of each photo, one reading a line, so that a fit can be made again in seconds.
 */
export const fitConfidence = async (
  cases: readonly BenchCase[],
  path: string,
  processes: number,
): Promise<ConfidenceFit> => {
  const samples = await collect(cases, path, processes);
  const given = new Set(cases.filter(({ set }) => set === 'extra').map(({ name }) => name));
  const isHeldOut = ({ photo }: Sample): boolean => given.has(photo) && !isFirstHalf(photo);
  const heldOut = samples.filter(isHeldOut);
  const tunedOn = samples.filter((sample) => !isHeldOut(sample));
  const first = samples.filter((sample) => isFirstHalf(sample.photo));
  const second = samples.filter((sample) => !isFirstHalf(sample.photo));
  const names = Object.keys(featuresOf((samples[0] as Sample).evidence)) as (keyof Features)[];
  const judgedBy =
    (weights: readonly number[]) =>
    ({ evidence }: Sample): number =>
      sigmoid(rowOf(evidence, names).reduce((sum, value, k) => sum + value * (weights[k] ?? 0), 0));
  const weights = fitOn(tunedOn, names);
  const byFirst = judgedBy(fitOn(first, names));
  const bySecond = judgedBy(fitOn(second, names));
  const page = [
    '# How true the stated chance comes',
    'Made by `npm run bench -- --confidence FILE`. Every reading that the search meets counts, those it does not take too. The photos are halved by a hash of their names; each half is judged by weights that were fitted on the other half alone. The app’s weights are fitted on all but the second half of the given photos, which is judged by them.',
    reliability('First half, judged by the second', first, bySecond),
    reliability('Second half, judged by the first', second, byFirst),
    reliability('Second half of the given photos, judged by the weights in use', heldOut, judgedBy(weights)),
    reliability(
      'Readings that were taken, each judged by the half it is not of',
      samples.filter(({ taken }) => taken),
      (sample) => (isFirstHalf(sample.photo) ? bySecond : byFirst)(sample),
    ),
  ].join('\n\n');
  const lines = weights.map((weight, k) => `  ${names[k] ?? ''}: ${Number(weight.toFixed(3))},`);
  return {
    page: `${page}\n`,
    module: `/** Weights of the evidence in the chance of a reading to be right. Made by \`npm run bench -- --confidence FILE\`. */\nexport const CHANCE_WEIGHTS = {\n${lines.join('\n')}\n} as const;\n`,
  };
};
