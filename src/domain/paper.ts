/** Names of the sheet sizes that can serve as a reference. */
export type PaperName = 'A4' | 'A5' | 'A6' | 'Letter';

/** A trimmed sheet: its sides and how far (limit) they may be off, mm. */
export interface PaperSize {
  readonly name: PaperName;
  readonly shortMm: number;
  readonly longMm: number;
  readonly shortLimitMm: number;
  readonly longLimitMm: number;
}

/** ISO 216 lets a trimmed side be off by 1.5 mm up to 150 mm and by 2 mm up to 600 mm (limits from memory). */
const limitMm = (side: number): number => (side <= 150 ? 1.5 : 2);

const sheet = (name: PaperName, shortMm: number, longMm: number): PaperSize => ({
  name,
  shortMm,
  longMm,
  shortLimitMm: limitMm(shortMm),
  longLimitMm: limitMm(longMm),
});

/** A sizes from ISO 216; Letter is the trade size of 8.5 × 11 in. Its cutting limits are taken to be those of ISO 216. */
export const paperSizes: readonly PaperSize[] = [
  sheet('A4', 210, 297),
  sheet('A5', 148, 210),
  sheet('A6', 105, 148),
  sheet('Letter', 215.9, 279.4),
];

/** The sheet of that name. */
export const paperSize = (name: PaperName): PaperSize => {
  const found = paperSizes.find((p) => p.name === name);
  if (found === undefined) throw new RangeError(`There is no paper size called ${name}.`);
  return found;
};
