import { fitCam } from './camFit';
import { readingForPitch } from './camFitPredict';
import type { CamGroup } from './camFitRecords';
import { median } from './statistics';
import { formatLength } from './units';

/** Where the machine's other yarns have the wanted stitch: a reading to begin with for a yarn without a swatch. */
export type StartingReading =
  | {
      readonly kind: 'reading';
      /** The middle one of the other yarns' readings, and the ends of their range. */
      readonly readingMm: number;
      readonly fromMm: number;
      readonly toMm: number;
      readonly yarns: number;
      readonly sentence: string;
      readonly cautions: readonly string[];
    }
  | { readonly kind: 'none'; readonly sentence: string };

/**
 * The reading at which the machine's other yarns have stitches of this width. Loop length follows the cam and hardly the
 * yarn, and stitch width follows loop length (Munden 1959), so they are a fair guide until the yarn has its own swatch.
 * @param others groups of the same machine, landmark and rest state, as `selectCamRecords` gives them.
 */
export const startingReading = (
  others: readonly CamGroup[],
  walePitchMm: number,
  unit: 'mm' | 'in' = 'mm',
): StartingReading => {
  const found = others.flatMap((group) => {
    const rest = others.filter((other) => other !== group);
    const fit = fitCam(group.records, rest, 'wale');
    if (fit.kind !== 'fit') return [];
    const { inverse, cautions } = readingForPitch(fit, walePitchMm, undefined, unit);
    return inverse.kind === 'bounded' ? [{ readingMm: inverse.x, beyond: cautions.length > 0 }] : [];
  });
  if (found.length === 0) {
    return {
      kind: 'none',
      sentence: 'No other yarn on this machine tells a reading yet: begin in the middle of the cam’s range.',
    };
  }
  const readings = found.map((f) => f.readingMm);
  const readingMm = median(readings);
  const yarns = found.length === 1 ? 'one other yarn' : `${found.length} other yarns`;
  return {
    kind: 'reading',
    readingMm,
    fromMm: Math.min(...readings),
    toMm: Math.max(...readings),
    yarns: found.length,
    sentence: `Begin at ${formatLength(readingMm, unit)}, where ${yarns} on this machine would have such stitches; knit a swatch and go on from it.`,
    cautions: found.every((f) => f.beyond)
      ? ['No yarn was tried as far as that on this machine: go there in steps and crank by hand.']
      : [],
  };
};
