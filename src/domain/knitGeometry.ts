/**
 * Plain-knit geometry: wales and courses per unit length are constants over the loop length (D. L. Munden, Journal of the Textile Institute 50
 * (1959) T448). The constants are dimensionless. The fully relaxed pair is confirmed by a published examination question (GATE TF 2015); the
 * other two are as commonly quoted from Spencer, Knitting Technology, 3rd ed. 2001, section 22.5, and were written down from memory.
 */
export const MUNDEN = {
  dryRelaxed: { wale: 3.8, course: 5.0 },
  wetRelaxed: { wale: 4.1, course: 5.3 },
  fullyRelaxed: { wale: 4.2, course: 5.5 },
} as const;

/** How far a fabric has come to rest. */
export type Relaxation = keyof typeof MUNDEN;

/** Wales and courses per mm that a loop of this length gives, mm. */
export const densitiesFromLoop = (
  loopMm: number,
  state: Relaxation,
): { readonly walesPerMm: number; readonly coursesPerMm: number } => ({
  walesPerMm: MUNDEN[state].wale / loopMm,
  coursesPerMm: MUNDEN[state].course / loopMm,
});

/** Length of yarn in one stitch, mm, from the wales per mm of a plain fabric at rest. */
export const loopFromWales = (walesPerMm: number, state: Relaxation): number =>
  MUNDEN[state].wale / walesPerMm;

/** Tightness factor √tex / loop length in mm; 1.3 to 1.5 is usual for plain weft knits. */
export const tightnessFactor = (tex: number, loopMm: number): number => Math.sqrt(tex) / loopMm;

/** Loop length, mm, that gives a tightness factor. */
export const loopForTightness = (tex: number, factor: number): number => Math.sqrt(tex) / factor;

/**
 * Mass of fabric, g/m²: loops per cm² × loop length in mm × tex / 100 (Texcoms Textile Technical Handbook, p. 147). The loop length
 * multiplies; a formula in circulation that divides by it is wrong.
 */
export const gramsPerM2 = (walesPerMm: number, coursesPerMm: number, loopMm: number, tex: number): number =>
  walesPerMm * coursesPerMm * 100 * ((loopMm * tex) / 100);

/**
 * Shortest loop that a yarn of this diameter can form in plain knit, mm: l / d = 16.67 (Chamberlain's geometry, as quoted in Textile Research
 * Journal 2016, doi 10.1177/0040517516641358).
 */
export const jammedLoop = (yarnDiameterMm: number): number => 16.67 * yarnDiameterMm;

/** Yarn in so many stitches: metres, and grams from tex. */
export const yarnFor = (
  stitches: number,
  loopMm: number,
  tex: number,
): { readonly metres: number; readonly grams: number } => {
  const metres = (stitches * loopMm) / 1000;
  return { metres, grams: (metres * tex) / 1000 };
};
