import { restStateWords } from './camFitRecords';
import type { Face } from './grid';
import type { RestState } from './records';

/** What may differ between two swatches besides their gauge. */
export interface SwatchCircumstances {
  /** How the swatch is called on screen, e.g. "A". */
  readonly name: string;
  readonly restState: RestState | null;
  readonly face: Face;
  readonly cylinderNeedles: number | null;
  readonly machineId: string | null;
  /** Visible stitches over needle positions: 1 for plain fabric. */
  readonly stitchShare: number;
  readonly layers: 1 | 2;
  /** Whether somebody or the measurement itself vouches for the lines. */
  readonly proposal: boolean;
}

/** One thing to know before any number is read. */
export interface ComparisonFlag {
  readonly kind: 'restState' | 'face' | 'cylinder' | 'stitches' | 'machine' | 'layers' | 'proposal';
  readonly sentence: string;
}

const faceWords: Readonly<Record<Face, string>> = {
  knit: 'the knit side',
  purl: 'the purl side',
  unknown: 'a side that could not be told',
};

/** A stitch share in words: plain, or how many needles work between two that are out. */
export const stitchWords = (share: number): string => {
  if (share > 0.995) return 'plain';
  const working = Math.round(share / (1 - share));
  return `mock rib, about ${working} needles in and 1 out`;
};

/** A and B differ: "A is rested, B is washed and dried". */
const listed = <T>(
  swatches: readonly SwatchCircumstances[],
  value: (s: SwatchCircumstances) => T,
  words: (v: T) => string,
): string => swatches.map((s) => `${s.name}: ${words(value(s))}`).join('; ');

const differ = <T>(swatches: readonly SwatchCircumstances[], value: (s: SwatchCircumstances) => T): boolean =>
  new Set(swatches.map(value)).size > 1;

/** What makes the numbers of these swatches something else than a comparison of yarns; the gravest first. */
export const flagsOf = (swatches: readonly SwatchCircumstances[]): readonly ComparisonFlag[] => {
  const flags: ComparisonFlag[] = [];
  const kinds = (s: SwatchCircumstances): string => stitchWords(s.stitchShare);
  if (differ(swatches, (s) => s.restState)) {
    const list = listed(swatches, (s) => s.restState, restStateWords);
    flags.push({
      kind: 'restState',
      sentence: `Different rest states (${list}): fabric shrinks and settles as it rests and is washed, so part of any difference is that.`,
    });
  } else if (swatches.some((s) => s.restState === null)) {
    flags.push({
      kind: 'restState',
      sentence:
        'It is not written down whether these swatches had rested or been washed: compare like with like.',
    });
  }
  if (differ(swatches, kinds)) {
    flags.push({
      kind: 'stitches',
      sentence: `Different kinds of stitches (${listed(swatches, kinds, (w) => w)}): stitches per inch do not mean the same there.`,
    });
  }
  if (differ(swatches, (s) => s.cylinderNeedles)) {
    const list = listed(
      swatches,
      (s) => s.cylinderNeedles,
      (n) => (n === null ? 'not recorded' : `${n} needles`),
    );
    flags.push({
      kind: 'cylinder',
      sentence: `Different cylinders (${list}): the same reading of the caliper need not make the same stitch.`,
    });
  }
  if (differ(swatches, (s) => s.machineId)) {
    flags.push({ kind: 'machine', sentence: 'Not from the same machine, as far as it is recorded.' });
  }
  if (differ(swatches, (s) => s.face)) {
    flags.push({
      kind: 'face',
      sentence: `Different faces (${listed(
        swatches,
        (s) => s.face,
        (f) => faceWords[f],
      )}): one fabric counts alike from both, but the pictures do not look alike.`,
    });
  }
  if (differ(swatches, (s) => s.layers)) {
    flags.push({ kind: 'layers', sentence: 'One lies in a single layer, another is a flattened tube.' });
  }
  const doubtful = swatches.filter((s) => s.proposal).map((s) => s.name);
  if (doubtful.length > 0) {
    flags.push({
      kind: 'proposal',
      sentence: `The lines of ${doubtful.join(' and ')} are a proposal that nobody has looked over: show the lines and check them first.`,
    });
  }
  return flags;
};
