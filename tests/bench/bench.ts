import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { SCENE_KINDS } from '../builders/scene-kinds';
import { comparingPage } from './comparing';
import { fitConfidence } from './confidence';
import { accuracyDigest } from './digest';
import { casesInFolder, labelledCases } from './known';
import { notebookPage } from './notebookPage';
import { type BenchOptions, optionsFrom } from './options';
import { measureAll } from './pool';
import { rewriteBlock } from './readme';
import { type BenchCase, type BenchRow, worst } from './row';
import { scalePage } from './scalePage';
import { speedPage } from './speed';
import { accuracyPage } from './tables';

const root = resolve(import.meta.dirname, '../..');
const results = join(import.meta.dirname, 'results');

const failurePictures = join(results, 'failures');

const drawnFrom = (seed: number, { generated, maximumPx, only }: BenchOptions): BenchCase[] =>
  Array.from({ length: generated }, (_, i) => {
    const kind = SCENE_KINDS[i % SCENE_KINDS.length] as string;
    return {
      name: `drawn ${seed}-${i}`,
      set: 'generated',
      kind,
      pictureFolder: only === null ? failurePictures : null,
      source: {
        from: 'seed',
        seed: seed * 100_000 + i,
        kind,
        // Many pixels a stitch need a larger picture, or there are no stitches left to count.
        maximumPx: kind === 'close up' ? Math.round(1.6 * maximumPx) : maximumPx,
      },
    };
  });

const casesFor = (options: BenchOptions): BenchCase[] => {
  const { photos, only } = options;
  const all = [
    ...casesInFolder(join(root, 'sample-images'), 'sample'),
    ...(photos === null ? [] : [...casesInFolder(photos, 'extra'), ...labelledCases(join(photos, 'real'))]),
    ...options.seeds.flatMap((seed) => drawnFrom(seed, options)),
  ];
  return only === null ? all : all.filter(({ name, kind }) => `${name} ${kind}`.includes(only));
};

const progressLine = (row: BenchRow, done: number, all: number): string => {
  const error = worst(row.stitchError);
  const off = Number.isFinite(error) ? `${(100 * error).toFixed(2)} %` : 'nothing found';
  const scale = row.scaleError === null ? 'no scale' : `scale ${(100 * row.scaleError).toFixed(2)} %`;
  return `${done}/${all} ${row.name} (${row.kind}, ${row.referenceKind}): stitches ${off}, ${scale}, ${row.stitchStatus} ${row.chance.toFixed(2)}\n`;
};

/** A machine's folders are nobody's business: the page names the options, not where the photos lay. */
const commandShown = (words: readonly string[]): string =>
  [
    'npm run bench',
    ...(words.length > 0 ? ['--'] : []),
    ...words.map((word) => (word.includes('/') ? 'DIR' : word)),
  ].join(' ');

const words = process.argv.slice(2);
if (words[0] === '--compare') {
  const page = await comparingPage(root);
  process.stdout.write(`${page}\n`);
  mkdirSync(results, { recursive: true });
  writeFileSync(join(results, 'side-by-side.md'), page);
  process.exit(0);
}
if (words.includes('--notebook')) {
  const page = await notebookPage(words);
  process.stdout.write(`${page}\n`);
  mkdirSync(results, { recursive: true });
  writeFileSync(join(results, 'notebook.md'), page);
  process.exit(0);
}
const options = optionsFrom(words);
if (options.scale !== null) {
  const page = await scalePage(options.scale, options, commandShown(words), (line) =>
    process.stdout.write(line),
  );
  process.stdout.write(`\n${page}\n`);
  mkdirSync(results, { recursive: true });
  writeFileSync(join(results, 'scale.md'), page);
  process.exit(0);
}
const cases = casesFor(options);
if (options.confidence !== null) {
  // The samples are some of the given photos over again.
  const each = options.photos === null ? cases : cases.filter(({ set }) => set !== 'sample');
  const { page, module } = await fitConfidence(each, options.confidence, options.processes);
  process.stdout.write(`${page}\n`);
  writeFileSync(join(results, 'confidence.md'), page);
  writeFileSync(join(root, 'workers/stitches/chanceWeights.ts'), module);
  process.exit(0);
}
if (options.only === null) {
  rmSync(failurePictures, { recursive: true, force: true });
  mkdirSync(failurePictures, { recursive: true });
}
const rows = await measureAll(cases, options.processes, (row, done) =>
  process.stdout.write(progressLine(row, done, cases.length)),
);
const command = commandShown(words);
process.stdout.write(`\n${accuracyPage(rows, command)}\n`);
if (options.only === null) {
  writeFileSync(join(results, 'accuracy.md'), accuracyPage(rows, command));
  writeFileSync(join(results, 'accuracy.json'), `${JSON.stringify(rows, null, 1)}\n`);
  rewriteBlock(join(root, 'README.md'), 'accuracy', accuracyDigest(rows));
}
if (options.speed) {
  const page = await speedPage(root, command);
  process.stdout.write(`\n${page}\n`);
  if (options.only === null) {
    writeFileSync(join(results, 'speed.md'), page);
    rewriteBlock(join(root, 'README.md'), 'speed', page.replace(/^# Speed\n/, ''));
  }
}
