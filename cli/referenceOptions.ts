import type { PaperName } from '../src/domain/paper';
import { checkLengthMm, type PrintScale, printScaleFrom } from '../src/domain/referenceSheet';
import type { MeasureHints } from '../workers/contract';
import { lengthMm } from './lengths';
import { UsageError } from './usage';

/** A place in the photo, px from its upper left corner. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

/** A caliper that lies in the photo: a place on each of its jaws and what it reads. */
export interface CaliperWish {
  readonly points: readonly [Place, Place];
  readonly openingMm: number;
}

/** What the command was told about the thing of known length. */
export interface ReferenceWishes {
  readonly reference: MeasureHints['reference'];
  readonly gridPitchMm: number | null;
  readonly tickPitchMm: number | null;
  readonly coinDiameterMm: number | null;
  readonly paperSize: PaperName | null;
  readonly sheetPrint: PrintScale | null;
  readonly caliper: CaliperWish | null;
}

/** Options with a value that say something about the reference, and the kind that each belongs to. */
export const referenceOptions = {
  '--grid-pitch': 'grid',
  '--tick': 'ruler',
  '--diameter': 'coin',
  '--size': 'paper',
  '--check-rulers': 'sheet',
  '--point': 'caliper',
  '--opening': 'caliper',
} as const satisfies Record<string, MeasureHints['reference']>;

/** Heavy lines of cutting mats lie 5 mm to 2 in apart (common practice), with room on both sides. */
const pitchBoundsMm = { min: 2, max: 200 };
/** From 1/64 in to 1 in between neighbouring marks. */
const tickBoundsMm = { min: 0.39, max: 26 };
/** The smallest and the largest coins in circulation have about 14 and 40 mm (common practice). */
const coinBoundsMm = { min: 10, max: 60 };
const openingBoundsMm = { min: 2, max: 1000 };
const checkBoundsMm = { min: 100, max: 200 };

const kinds = ['auto', 'grid', 'card', 'ruler', 'coin', 'paper', 'sheet', 'caliper', 'none'] as const;
const papers: readonly PaperName[] = ['A4', 'A5', 'A6', 'Letter'];

const kindFrom = (typed: string): MeasureHints['reference'] => {
  const found = kinds.find((kind) => kind === typed);
  if (!found) throw new UsageError(`--reference is one of ${kinds.join(', ')}, not "${typed}".`);
  return found;
};

const paperFrom = (typed: string): PaperName => {
  const found = papers.find((name) => name.toLowerCase() === typed.toLowerCase());
  if (!found) throw new UsageError(`--size is one of A4, A5, A6, letter, not "${typed}".`);
  return found;
};

const placeFrom = (typed: string): Place => {
  const found = /^\s*(\d+(?:\.\d+)?)\s*,\s*(\d+(?:\.\d+)?)\s*$/.exec(typed);
  if (!found) throw new UsageError(`--point takes two numbers of pixels, x,y, not "${typed}".`);
  return { x: Number(found[1]), y: Number(found[2]) };
};

const printFrom = (typed: string): PrintScale => {
  const [across, along, ...rest] = typed.split(',');
  if (across === undefined || along === undefined || rest.length > 0)
    throw new UsageError(
      `--check-rulers takes both lengths, across and along, such as ${checkLengthMm}mm,${checkLengthMm}mm, not "${typed}".`,
    );
  const measured = [across, along].map((length) => lengthMm('--check-rulers', length, checkBoundsMm));
  try {
    return printScaleFrom(measured[0] ?? 0, measured[1] ?? 0);
  } catch (cause) {
    throw new UsageError(cause instanceof Error ? cause.message : String(cause));
  }
};

const caliperFrom = (
  kind: MeasureHints['reference'],
  points: readonly string[],
  opening: string | null,
): CaliperWish | null => {
  if (kind !== 'caliper' && points.length === 0 && opening === null) return null;
  const [a, b] = points.map(placeFrom);
  if (a === undefined || b === undefined || points.length !== 2 || opening === null)
    throw new UsageError(
      'A caliper needs two --point x,y, one on the edge of each jaw, and what it reads: --opening 1in.',
    );
  return { points: [a, b], openingMm: lengthMm('--opening', opening, openingBoundsMm) };
};

/**
 * Reads what was said about the reference.
 * @param values every value of an option, in the order given.
 * @throws UsageError with one sentence when it makes no sense.
 */
export const referenceWishes = (values: ReadonlyMap<string, readonly string[]>): ReferenceWishes => {
  const kind = kindFrom(values.get('--reference')?.[0] ?? 'auto');
  for (const [option, belongsTo] of Object.entries(referenceOptions)) {
    // --grid-pitch may stand for a whole folder of photos, whatever lies in some of them.
    if (option === '--grid-pitch' || kind === 'auto' || kind === belongsTo) continue;
    if (values.has(option))
      throw new UsageError(`${option} belongs to --reference ${belongsTo}, not to --reference ${kind}.`);
  }
  const of = <T>(option: keyof typeof referenceOptions, read: (typed: string) => T): T | null => {
    const typed = values.get(option)?.[0];
    return typed === undefined ? null : read(typed);
  };
  return {
    reference: kind,
    gridPitchMm: of('--grid-pitch', (typed) => lengthMm('--grid-pitch', typed, pitchBoundsMm)),
    tickPitchMm: of('--tick', (typed) => lengthMm('--tick', typed, tickBoundsMm)),
    coinDiameterMm: of('--diameter', (typed) => lengthMm('--diameter', typed, coinBoundsMm)),
    paperSize: of('--size', paperFrom),
    sheetPrint: of('--check-rulers', printFrom),
    caliper: caliperFrom(kind, values.get('--point') ?? [], values.get('--opening')?.[0] ?? null),
  };
};
