import { lengthMm } from './lengths';
import { type ReferenceWishes, referenceOptions, referenceWishes } from './referenceOptions';
import { UsageError } from './usage';

/** A rectangle of the photo, px. */
export interface Region {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** What the command was asked to do. */
export type Command =
  | { readonly kind: 'help' }
  | (ReferenceWishes & {
      readonly kind: 'measure';
      readonly paths: readonly string[];
      readonly region: Region | null;
      readonly thicknessMm: number | null;
      readonly layers: 1 | 2;
      readonly json: boolean;
    });

/** From sewing thread to felt. */
const thicknessBoundsMm = { min: 0.1, max: 20 };

const regionFrom = (typed: string): Region => {
  const numbers = typed
    .split(',')
    .map((part) => (/^\s*\d+(\.\d+)?\s*$/.test(part) ? Number(part) : Number.NaN));
  const [x0, y0, x1, y1] = numbers;
  if (numbers.length !== 4 || numbers.some(Number.isNaN)) {
    throw new UsageError(`--region takes four numbers of pixels, x0,y0,x1,y1, not "${typed}".`);
  }
  if (x0 === undefined || y0 === undefined || x1 === undefined || y1 === undefined || x1 <= x0 || y1 <= y0) {
    throw new UsageError(
      `--region goes from its upper left to its lower right corner: x1 over x0 and y1 over y0, not "${typed}".`,
    );
  }
  return { x0, y0, x1, y1 };
};

const layersFrom = (typed: string): 1 | 2 => {
  if (typed === '1') return 1;
  if (typed === '2') return 2;
  throw new UsageError(`--layers is 1, or 2 for a tube laid flat, not "${typed}".`);
};

const valued = [...Object.keys(referenceOptions), '--reference', '--region', '--thickness', '--layers'];
/** How often an option may be given; once if it is not named here. */
const repeated: Readonly<Record<string, number>> = { '--point': 2 };

interface Words {
  readonly paths: string[];
  /** Every value of each option, in the order given. */
  readonly values: Map<string, string[]>;
  readonly flags: Set<string>;
}

/** Sorts the words of the command line into paths, options with a value (`--name value` or `--name=value`) and flags. */
const sorted = (words: readonly string[]): Words => {
  const out: Words = { paths: [], values: new Map(), flags: new Set() };
  for (let i = 0; i < words.length; i += 1) {
    const word = words[i] ?? '';
    const [name = '', ...rest] = word.split('=');
    if (!word.startsWith('-')) out.paths.push(word);
    else if (word === '--json' || word === '--help' || word === '-h') out.flags.add(word);
    else if (!valued.includes(name)) throw new UsageError(`"${word}" is not an option; --help lists them.`);
    else {
      const value = rest.length > 0 ? rest.join('=') : words[++i];
      if (value === undefined || value === '')
        throw new UsageError(`${name} needs a value; --help explains it.`);
      const given = [...(out.values.get(name) ?? []), value];
      if (given.length > (repeated[name] ?? 1))
        throw new UsageError(`${name} was given ${given.length === 2 ? 'twice' : 'too often'}.`);
      out.values.set(name, given);
    }
  }
  return out;
};

/**
 * Reads the words of the command line.
 * @throws UsageError with one sentence when they make no sense.
 */
export const commandFrom = (words: readonly string[]): Command => {
  const { paths, values, flags } = sorted(words);
  if (flags.has('--help') || flags.has('-h')) return { kind: 'help' };
  if (paths.length === 0) throw new UsageError('No photo was named; --help explains the command.');
  const thickness = values.get('--thickness')?.[0];
  const region = values.get('--region')?.[0];
  return {
    kind: 'measure',
    paths,
    ...referenceWishes(values),
    region: region === undefined ? null : regionFrom(region),
    thicknessMm: thickness === undefined ? null : lengthMm('--thickness', thickness, thicknessBoundsMm),
    layers: layersFrom(values.get('--layers')?.[0] ?? '1'),
    json: flags.has('--json'),
  };
};
