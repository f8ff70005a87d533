import { cpus, getPriority, loadavg } from 'node:os';
import { relativeDifference } from '../../src/domain/compareViewTable';
import { seeded } from '../builders/random';
import { type Errors, pairOf } from '../unit/comparePairs';
import { PAN_SECONDS, panningRows } from './panning';
import { table } from './tables';

const TRIALS = 4000;
const DIFFERENCES = [0, 0.01, 0.02, 0.03];

/** Two usual ways to photograph a swatch: relative standard uncertainties as the app states them. */
const KINDS: readonly {
  readonly name: string;
  readonly errors: Errors;
  readonly sameMat: boolean;
}[] = [
  {
    name: 'three inches counted, one mat known by name',
    errors: { counting: 0.0008, edges: 0.001, scale: 0.001, height: 0.004 },
    sameMat: true,
  },
  {
    name: 'three inches counted, two mats',
    errors: { counting: 0.0008, edges: 0.001, scale: 0.001, height: 0.004 },
    sameMat: false,
  },
  {
    name: 'one inch counted, two mats',
    errors: { counting: 0.003, edges: 0.004, scale: 0.002, height: 0.004, degreesOfFreedom: 20 },
    sameMat: false,
  },
];

const shareCalledReal = (kind: (typeof KINDS)[number], trueDifference: number): number => {
  const random = seeded(1000 * trueDifference + 7);
  let real = 0;
  for (let i = 0; i < TRIALS; i += 1) {
    const [a, b] = pairOf(random, { ...kind, walesPerInch: 8, trueDifference });
    if (relativeDifference('stitches', a, b)?.real) real += 1;
  }
  return real / TRIALS;
};

const powerTable = (): string =>
  table(
    ['called a real difference, % of pairs', ...DIFFERENCES.map((d) => (d === 0 ? 'none' : `${100 * d} %`))],
    KINDS.map((kind) => [
      kind.name,
      ...DIFFERENCES.map((difference) => (100 * shareCalledReal(kind, difference)).toFixed(1)),
    ]),
  );

const panningTable = async (root: string): Promise<string> =>
  table(
    [
      'panning in step',
      'frames a second',
      'shown, of possible',
      'first, ms',
      'median, ms',
      'longest, ms',
      'dropped',
      'drawn anew',
      'page, ms a frame',
      'screen, ms a frame',
    ],
    (await panningRows(root)).map(({ name, pan }) => [
      name,
      pan.framesPerSecond.toFixed(1),
      `${pan.shown} of ${pan.ticks}`,
      pan.firstMs.toFixed(0),
      pan.medianMs.toFixed(1),
      pan.longestMs.toFixed(0),
      String(pan.dropped),
      String(pan.rasters),
      pan.pageMs.toFixed(1),
      pan.screenMs.toFixed(1),
    ]),
  );

/** How often a difference is found, and how smoothly two large photos move in step, as a page of Markdown. */
export const comparingPage = async (root: string): Promise<string> => {
  const power = powerTable();
  const before = (loadavg()[0] ?? 0).toFixed(1);
  const ahead = getPriority() < 0 ? ', run ahead of other programs' : '';
  const panning = await panningTable(root);
  return [
    '# Side by side',
    '',
    `Simulated pairs of swatches, ${TRIALS} each, at the 5 % level; the errors are those that the app states for itself.`,
    '',
    power,
    '',
    `Traced in Chromium without a graphics processor on ${cpus().length} cores (load ${before} when it began${ahead}), ${PAN_SECONDS} seconds each, a finger that moves with every frame. Frames are the trace's DrawFrame events, from the first picture that has moved to the last; “shown, of possible” sets them beside the times that the screen was ready for one, “first” is the time from the hand's first move to its picture, “drawn anew” counts pieces of picture that were painted again during the pan. The last two columns are processor time, which other programs on the machine do not lengthen: what the page does for a frame and what it takes to put it on the screen, of the 16.7 ms that a frame has. The empty page holds nothing but two drawings of the same size, moved in the same way: what this machine can do at best.`,
    '',
    panning,
    '',
  ].join('\n');
};
