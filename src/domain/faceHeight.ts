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
