import { coins } from './coins';
import type { ReferenceKind } from './measurement';

/** How far the face of a reference lies above the table, and how uncertain that is, mm. */
export interface FaceHeight {
  readonly heightMm: number;
  readonly uncertaintyMm: number;
}

/** Usual heights: steel rulers 0.6 mm, coins 1.2 to 2.4 mm, the jaws of a caliper that lies flat about 2 mm (common practice). */
const known = {
  ruler: { heightMm: 0.6, uncertaintyMm: 0 },
  coin: { heightMm: 1.8, uncertaintyMm: 0.4 },
  caliper: { heightMm: 2, uncertaintyMm: 1 },
} as const;

/** How high the face of a reference of this kind usually lies; null for what is printed or flat on the table. */
export const usualFaceHeight = (kind: ReferenceKind): FaceHeight | null =>
  kind === 'ruler' || kind === 'coin' || kind === 'caliper' ? known[kind] : null;

/** A coin of a listed size is as thick as the list says, unless it is another one of that size (judgement). */
const listedUncertaintyMm = 0.2;
/** The shoulder of a rim is rounded: what is seen as its outline lies so much below its top (judgement). */
const shoulderMm = 0.1;
/** Sizes are typed to a hundredth of a mm. */
const sameDiameterMm = 0.006;

/** How high the face of a coin lies by its diameter: the usual height, joined with the thickness of a coin of that size where the list has one. */
export const coinFaceHeight = (diameterMm: number): FaceHeight => {
  const listed = coins.flatMap(({ diameterMm: listedMm, thicknessMm }) =>
    thicknessMm !== null && Math.abs(listedMm - diameterMm) < sameDiameterMm ? [thicknessMm] : [],
  );
  if (listed.length === 0) return known.coin;
  const mean = listed.reduce((sum, thicknessMm) => sum + thicknessMm / listed.length, 0);
  const [own, usual] = [1 / listedUncertaintyMm ** 2, 1 / known.coin.uncertaintyMm ** 2];
  return {
    heightMm: (own * (mean - shoulderMm) + usual * known.coin.heightMm) / (own + usual),
    uncertaintyMm: Math.max(1 / Math.sqrt(own + usual), ...listed.map((t) => Math.abs(t - mean))),
  };
};
