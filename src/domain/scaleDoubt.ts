import type { ReferenceKind, ScaleReference } from './measurement';
import { disagreementsWith, referenceWords } from './referenceCheck';

/** Below this score a reference is shown, but no millimetres are taken from it unasked. */
export const TRUSTED_SCORE = 0.3;
/** Half the one per cent that "measured" stands for, as an expanded uncertainty of the scale alone. */
const limitedShare = 0.005;
/** A number whose scale is less sure than this at 95 % is no better than counting by eye over an inch or two: it is asked about. */
const wideShare = 0.03;

/** What speaks against taking lengths by a reference as they are. */
export interface ScaleDoubt {
  readonly kind: 'checkRulers' | 'disagreement' | 'wide' | 'limited';
  /** One sentence: what is in doubt and what settles it. */
  readonly sentence: string;
  /** Whether she must be asked before a number by this scale is taken; otherwise its ± says enough. */
  readonly asks: boolean;
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** The ± of lengths by a reference alone, as a share at 95 %, also while its own size is still asked for; null where that is not known. */
export const scalePlusMinus = ({
  plane,
  unitPlane,
}: Pick<ScaleReference, 'plane' | 'unitPlane'>): number | null => {
  const known = plane ?? unitPlane;
  return known && 2 * known.relativeUncertainty;
};

/** What brings a kind of reference nearer to the truth, besides a photo from straight above. */
const remedies: Readonly<Record<ReferenceKind, string>> = {
  grid: 'show more of the mat round the swatch',
  card: 'lay it flat and nearer to the swatch',
  twoPoints: 'mark two points further apart, on either side of the swatch',
  ruler: 'lay it nearer to the swatch',
  coin: 'lay it nearer to the swatch',
  paper: 'lay the swatch on the middle of it',
  sheet: 'leave more of its squares uncovered',
  caliper: 'lay it nearer to the swatch',
};

const widthDoubt = ({ kind }: ScaleReference, share: number): ScaleDoubt[] => {
  if (share <= limitedShare) return [];
  const name = referenceWords[kind];
  const gives = `${name.charAt(0).toUpperCase()}${name.slice(1)} ${kind === 'twoPoints' ? 'give' : 'gives'}`;
  const better = `${remedies[kind]}, photograph from straight above, or use another reference`;
  return share > wideShare
    ? [
        {
          kind: 'wide',
          sentence: `${gives} lengths at the swatch only to ± ${percent(share)}, too wide for a gauge: ${better}.`,
          asks: true,
        },
      ]
    : [
        {
          kind: 'limited',
          sentence: `${gives} lengths at the swatch to ± ${percent(share)}, and no number here is surer than that. To do better, ${better}.`,
          asks: false,
        },
      ];
};

const printDoubt = (share: number): ScaleDoubt => ({
  kind: 'checkRulers',
  asks: true,
  sentence: `What the two check rulers of this print measure has not been said: printers are off by 1 to 2 %, so the scale is only good to ± ${percent(share)} until then.`,
});

/**
 * What speaks against lengths by a reference at a place of the photo (px), most important first: an answer that is still open, another reference that
 * says otherwise, a wide ±. Empty where the scale leaves "within 1 %" untouched.
 */
export const scaleDoubts = (
  used: ScaleReference,
  others: readonly ScaleReference[],
  at: { readonly x: number; readonly y: number },
): readonly ScaleDoubt[] => {
  const share = scalePlusMinus(used);
  if (share === null) return [];
  const against = disagreementsWith(used, others, at).map(
    ({ sentence }): ScaleDoubt => ({ kind: 'disagreement', sentence, asks: true }),
  );
  return used.question === 'checkRulers'
    ? [printDoubt(share), ...against]
    : [...against, ...widthDoubt(used, share)];
};
