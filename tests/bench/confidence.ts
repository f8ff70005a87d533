import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { decodeInNode } from '../../cli/decode';
import { opencvReady } from '../../workers/opencv';
import { openPhoto } from '../../workers/photo/openPhoto';
import { type Features, featuresOf, sigmoid } from '../../workers/stitches/chance';
import type { Evidence } from '../../workers/stitches/confidence';
import { evidenceOf } from '../../workers/stitches/finding';
import { allReadings } from '../../workers/stitches/findStitches';
import { windowOf } from '../../workers/stitches/lines';
import { stitchErrorOf } from './compare';
import { fitDoubts, isFirstHalf } from './logistic';
import { type BenchCase, worst } from './row';
import { regionOf, sourceOf } from './runCase';

/** One reading of a photo: what was seen of it, and whether it was right. */
interface Sample {
  readonly photo: string;
  readonly evidence: Evidence;
  readonly right: boolean;
}

/** A reading is right when both pitches are within 1 %, and a quarter more because its window is not quite that of the truth. */
const RIGHT_WITHIN = 0.0125;

const samplesOf = async (benchCase: BenchCase): Promise<Sample[]> => {
  const { bytes, known } = await sourceOf(benchCase);
  const { work } = await openPhoto(bytes, decodeInNode);
  const tolerance = RIGHT_WITHIN + (known.pitchPx?.tolerance ?? 0);
  const samples: Sample[] = [];
  for (const { reading, finding } of allReadings(work, { region: regionOf(known) })) {
    const counted = windowOf(reading.lattice, reading.toPhoto);
    if (counted === null) continue;
    samples.push({
      photo: benchCase.name,
      evidence: evidenceOf(reading, counted),
      right: worst(stitchErrorOf(finding, known)) <= tolerance,
    });
  }
  return samples;
};

const kept = (path: string): Sample[] =>
  existsSync(path)
    ? readFileSync(path, 'utf8')
        .split('\n')
        .filter((line) => line !== '')
        .map((line) => JSON.parse(line) as Sample)
    : [];

/** Every reading of all photos; what a file of earlier readings holds is not read again. OpenCV is loaded here. */
const collect = async (cases: readonly BenchCase[], path: string): Promise<Sample[]> => {
  const known = kept(path);
  const photos = new Set(known.map((sample) => sample.photo));
  const missing = cases.filter(({ name }) => !photos.has(name));
  if (missing.length > 0) await opencvReady();
  const fresh: Sample[] = [];
  for (const benchCase of missing) {
    const samples = await samplesOf(benchCase);
    appendFileSync(path, samples.map((sample) => `${JSON.stringify(sample)}\n`).join(''));
    fresh.push(...samples);
  }
  return [...known, ...fresh];
};

const BINS = [0, 0.1, 0.5, 0.8, 0.95, 0.99, 1.001] as const;

const reliability = (title: string, samples: readonly Sample[], chance: (e: Evidence) => number): string => {
  const photos = new Set(samples.map((sample) => sample.photo)).size;
  const lines = BINS.slice(0, -1).map((low, i) => {
    const high = BINS[i + 1] as number;
    const inside = samples.filter(({ evidence }) => chance(evidence) >= low && chance(evidence) < high);
    const mean = inside.reduce((sum, s) => sum + chance(s.evidence), 0) / inside.length;
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
export const fitConfidence = async (cases: readonly BenchCase[], path: string): Promise<ConfidenceFit> => {
  const samples = await collect(cases, path);
  const given = new Set(cases.filter(({ set }) => set === 'extra').map(({ name }) => name));
  const isHeldOut = ({ photo }: Sample): boolean => given.has(photo) && !isFirstHalf(photo);
  const heldOut = samples.filter(isHeldOut);
  const tunedOn = samples.filter((sample) => !isHeldOut(sample));
  const first = samples.filter((sample) => isFirstHalf(sample.photo));
  const second = samples.filter((sample) => !isFirstHalf(sample.photo));
  const names = Object.keys(featuresOf((samples[0] as Sample).evidence)) as (keyof Features)[];
  const judgedBy =
    (weights: readonly number[]) =>
    (evidence: Evidence): number =>
      sigmoid(rowOf(evidence, names).reduce((sum, value, k) => sum + value * (weights[k] ?? 0), 0));
  const weights = fitOn(tunedOn, names);
  const page = [
    '# How true the stated chance comes',
    'Made by `npm run bench -- --confidence FILE`. Every reading of each photo counts, the rejected ones too. The photos are halved by a hash of their names; each half is judged by weights that were fitted on the other half alone. The app’s weights are fitted on all but the second half of the given photos, which is judged by them.',
    reliability('First half, judged by the second', first, judgedBy(fitOn(second, names))),
    reliability('Second half, judged by the first', second, judgedBy(fitOn(first, names))),
    reliability('Second half of the given photos, judged by the weights in use', heldOut, judgedBy(weights)),
  ].join('\n\n');
  const lines = weights.map((weight, k) => `  ${names[k] ?? ''}: ${weight.toFixed(3)},`);
  return {
    page: `${page}\n`,
    module: `/** Weights of the evidence in the chance of a reading to be right. Made by \`npm run bench -- --confidence FILE\`. */\nexport const CHANCE_WEIGHTS = {\n${lines.join('\n')}\n} as const;\n`,
  };
};
