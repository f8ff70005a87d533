import type { Uncertain } from './gauge';
import type { ReferenceKind, ScaleReference } from './measurement';
import type { PlaneMap } from './plane';
import { localScale } from './planeFitAlgebra';

/** What a reference is called in a sentence. */
export const referenceWords: Readonly<Record<ReferenceKind, string>> = {
  grid: 'the mat',
  card: 'the card',
  twoPoints: 'the two points',
  ruler: 'the ruler',
  coin: 'the coin',
  paper: 'the sheet of paper',
  sheet: 'the printed sheet',
  caliper: 'the caliper',
};

/** Less sure findings are no check on anything. */
const leastScore = 0.5;
/** Coverage factor for 95 % of a normal distribution (JCGM 100:2008, 6.3.3). */
const coverage = 2;

interface At {
  readonly x: number;
  readonly y: number;
}

/**
 * Length on the table, in the plane's own unit, that one photo px shows at a place. A face that lies h above the table, seen from H above that face,
 * shows lengths on the table larger by (H + h) / H (similar triangles).
 */
const onTable = ({ photoToPlane, referenceHeightMm, cameraHeightMm }: PlaneMap, { x, y }: At): number => {
  const raised =
    cameraHeightMm && cameraHeightMm.value > 0
      ? (cameraHeightMm.value + referenceHeightMm) / cameraHeightMm.value
      : 1;
  return localScale(photoToPlane, x, y) * raised;
};

/** Two references in one photo that cannot both be right. */
export interface Disagreement {
  readonly other: ScaleReference;
  /** How much longer the other makes every length, as a share. */
  readonly share: number;
  /** How far apart the two may be with 95 % probability, as a share. */
  readonly allowed: number;
  readonly sentence: string;
}

const percent = (share: number): string => (100 * share).toFixed(share < 0.1 ? 1 : 0);

/** The length that both values are told for: about as wide as a swatch's counted window. */
const toldMm = 50;

/**
 * Checks the reference in use against the others that were surely found and whose length is known: those that differ by more than the combined
 * uncertainty at a place of the photo (px), the worst first. Other readings of the same thing do not count.
 */
export const disagreementsWith = (
  used: ScaleReference,
  others: readonly ScaleReference[],
  at: At,
): readonly Disagreement[] => {
  const { plane } = used;
  if (plane === null) return [];
  return others
    .flatMap((other): Disagreement[] => {
      if (other.plane === null || other.kind === used.kind || other.score < leastScore) return [];
      const ratio = onTable(other.plane, at) / onTable(plane, at);
      const allowed = coverage * Math.hypot(plane.relativeUncertainty, other.plane.relativeUncertainty);
      if (!(Math.abs(Math.log(ratio)) > allowed)) return [];
      const [a, b] = [referenceWords[used.kind], referenceWords[other.kind]];
      return [
        {
          other,
          share: ratio - 1,
          allowed,
          sentence: `${a.charAt(0).toUpperCase()}${a.slice(1)} and ${b} disagree: what is ${toldMm.toFixed(1)} mm by the one is ${(toldMm * ratio).toFixed(1)} mm by the other, ${percent(Math.abs(ratio - 1))} % apart where ${percent(allowed)} % could be chance. Check what each is and that both lie flat beside the swatch.`,
        },
      ];
    })
    .sort((a, b) => Math.abs(Math.log(1 + b.share)) - Math.abs(Math.log(1 + a.share)));
};

/**
 * What a second reference says the step of one is whose own size is still asked for, mm; null when that cannot be said. It proposes an answer and
 * never settles it.
 */
export const stepSeenBy = (open: ScaleReference, known: ScaleReference, at: At): Uncertain | null => {
  if (open.unitPlane === null || known.plane === null || known.kind === open.kind || known.score < leastScore)
    return null;
  const value = onTable(known.plane, at) / localScale(open.unitPlane.photoToPlane, at.x, at.y);
  const relative = coverage * Math.hypot(known.plane.relativeUncertainty, open.unitPlane.relativeUncertainty);
  return { value, plusMinus95: value * relative };
};
