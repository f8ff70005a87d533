import { readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { decodeInNode } from '../../cli/decode';
import { verdictOf } from '../../cli/verdict';
import { gaugeOf } from '../../src/domain/gaugeOf';
import type { MeasureHints } from '../../workers/contract';
import { measure } from '../../workers/measure';
import { opencvReady } from '../../workers/opencv';
import { openPhoto } from '../../workers/photo/openPhoto';
import { editingTimes } from './editing';
import { median } from './summary';
import { table } from './tables';

const HINTS: MeasureHints = { gridPitchMm: 25.4, reference: 'auto', region: null, thicknessMm: null };
const FABRIC = { thicknessMm: null, layers: 1 } as const;
const REPEATS = 3;

/** A sample photo enlarged to 4000 × 3000, as a phone would give it. */
const twelveMegapixels = (root: string): Promise<Buffer> =>
  sharp(join(root, 'sample-images', 'oatmeal-inch-mat.jpg'))
    .resize(4000, 3000)
    .jpeg({ quality: 90 })
    .toBuffer();

const timed = async (work: () => Promise<unknown> | unknown): Promise<number> => {
  const begun = performance.now();
  await work();
  return performance.now() - begun;
};

const repeated = async (work: () => Promise<unknown> | unknown, times: number): Promise<number> => {
  const all: number[] = [];
  for (let i = 0; i < times; i++) all.push(await timed(work));
  return median(all);
};

const bareDecode = (bytes: Uint8Array): Promise<Buffer> => sharp(bytes).raw().toBuffer();

const whole = async (bytes: Uint8Array): Promise<Record<string, number>> => {
  const begun = performance.now();
  const { work, facts } = await openPhoto(bytes, decodeInNode);
  const decode = performance.now() - begun;
  const measurement = measure(work, facts, HINTS);
  verdictOf(measurement, HINTS, FABRIC);
  return { decode, ...measurement.timingsMs, total: performance.now() - begun };
};

const stagesOf = async (bytes: Uint8Array): Promise<Record<string, number>> => {
  // The first run warms the pipeline up and is not counted.
  await whole(bytes);
  const runs: Record<string, number>[] = [];
  for (let i = 0; i < REPEATS; i++) runs.push(await whole(bytes));
  const names = Object.keys(runs[0] ?? {});
  return Object.fromEntries(names.map((name) => [name, median(runs.map((run) => run[name] ?? 0))]));
};

/** Time from a corrected grid to the numbers that are shown, ms. */
const editMaths = async (bytes: Uint8Array): Promise<number> => {
  const { work, facts } = await openPhoto(bytes, decodeInNode);
  const { stitches, references, chosenReference } = measure(work, facts, HINTS);
  const plane = references[chosenReference ?? 0]?.plane;
  if (!stitches.grid || !stitches.window || !plane) return Number.NaN;
  const { grid, window } = stitches;
  const edited = { ...grid, wales: grid.wales.filter((_, i) => i !== 3) };
  return repeated(() => gaugeOf(edited, window, plane, FABRIC), 20);
};

/** Measures how long things take on this machine and lays the page out. OpenCV is loaded here. */
export const speedPage = async (root: string, command: string): Promise<string> => {
  const load = await timed(opencvReady);
  const sample = readFileSync(join(root, 'sample-images', 'oatmeal-inch-mat.jpg'));
  const large = await twelveMegapixels(root);
  const bare = await repeated(() => bareDecode(large), REPEATS);
  const ofLarge = await stagesOf(large);
  const ofSample = await stagesOf(sample);
  const edit = await editMaths(sample);
  const editing = await editingTimes(root);
  const names = [...new Set([...Object.keys(ofLarge), ...Object.keys(ofSample)])].filter(
    (n) => n !== 'total',
  );
  const ms = (value: number | undefined): string => (value === undefined ? '–' : value.toFixed(0));
  return [
    '# Speed',
    '',
    `Made by \`${command}\` in Node ${process.version} on ${cpus().length} cores; medians of ${REPEATS} runs with the pipeline warm. The 12-megapixel photo is the 3-megapixel sample enlarged.`,
    '',
    table(
      ['stage, ms', '12 megapixels', '3 megapixels'],
      [
        ...names.map((name) => [name, ms(ofLarge[name]), ms(ofSample[name])]),
        ['**photo to gauge**', `**${ms(ofLarge.total)}**`, `**${ms(ofSample.total)}**`],
      ],
    ),
    '',
    table(
      ['what', 'ms'],
      [
        ['bare decode of the 12-megapixel photo (sharp, libjpeg)', ms(bare)],
        ['photo to gauge ÷ bare decode', ((ofLarge.total ?? Number.NaN) / bare).toFixed(1)],
        ['from a corrected grid to the numbers', edit.toFixed(1)],
        ['in the browser, from a key to the corrected numbers on the page', editing.scriptMs.toFixed(1)],
        [
          'in the browser, from a key to the redrawn lines (without waiting for the frame)',
          editing.redrawnMs.toFixed(1),
        ],
        ['the same, 95 of 100 corrections', editing.slowMs.toFixed(1)],
        ['OpenCV ready after its module is loaded', load.toFixed(0)],
      ],
    ),
    '',
  ].join('\n');
};
