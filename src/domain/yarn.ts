/**
 * Yarn numbers. Tex (grams per kilometre) is kept; everything else follows from it. Definitions: ASTM D2260 and ISO 2947 hold the official
 * tables; hanks of 840 yd (cotton), 560 yd (worsted), 1600 yd (woollen run) and 300 yd (linen lea) to the pound are trade usage.
 */
export type YarnNumber =
  | 'tex'
  | 'dtex'
  | 'denier'
  | 'metricNumber'
  | 'cottonCount'
  | 'worstedCount'
  | 'woollenRun'
  | 'linenLea'
  | 'metresPer100g'
  | 'metresPer50g'
  | 'yardsPer100g'
  | 'yardsPer50g'
  | 'yardsPerOunce'
  | 'yardsPerPound';

/** 1 yd = 0.9144 m and 1 lb = 453.592 37 g exactly (International Yard and Pound Agreement 1959). */
const M_PER_YARD = 0.9144;
const G_PER_POUND = 453.59237;
const G_PER_OUNCE = G_PER_POUND / 16;

/** tex × (metres per `grams` of yarn) is constant: 1 tex is 1 g per 1000 m. */
const lengthPer = (grams: number, metresPerUnit: number): number => (1000 * grams) / metresPerUnit;

/** How each number follows from tex: by a factor, or as a constant over tex. */
const SYSTEMS: Readonly<
  Record<YarnNumber, { readonly kind: 'factor' | 'inverse'; readonly constant: number }>
> = {
  tex: { kind: 'factor', constant: 1 },
  dtex: { kind: 'factor', constant: 10 },
  denier: { kind: 'factor', constant: 9 },
  metricNumber: { kind: 'inverse', constant: 1000 },
  cottonCount: { kind: 'inverse', constant: lengthPer(G_PER_POUND, 840 * M_PER_YARD) },
  worstedCount: { kind: 'inverse', constant: lengthPer(G_PER_POUND, 560 * M_PER_YARD) },
  woollenRun: { kind: 'inverse', constant: lengthPer(G_PER_POUND, 1600 * M_PER_YARD) },
  linenLea: { kind: 'inverse', constant: lengthPer(G_PER_POUND, 300 * M_PER_YARD) },
  metresPer100g: { kind: 'inverse', constant: lengthPer(100, 1) },
  metresPer50g: { kind: 'inverse', constant: lengthPer(50, 1) },
  yardsPer100g: { kind: 'inverse', constant: lengthPer(100, M_PER_YARD) },
  yardsPer50g: { kind: 'inverse', constant: lengthPer(50, M_PER_YARD) },
  yardsPerOunce: { kind: 'inverse', constant: lengthPer(G_PER_OUNCE, M_PER_YARD) },
  yardsPerPound: { kind: 'inverse', constant: lengthPer(G_PER_POUND, M_PER_YARD) },
};

const checkPositive = (value: number): void => {
  if (!(value > 0 && Number.isFinite(value))) throw new RangeError('A yarn number must be more than zero.');
};

/**
 * Tex from any yarn number.
 * @throws RangeError when the value is not a positive finite number.
 */
export const texFrom = (system: YarnNumber, value: number): number => {
  checkPositive(value);
  const { kind, constant } = SYSTEMS[system];
  return kind === 'factor' ? value / constant : constant / value;
};

/**
 * Any yarn number from tex.
 * @throws RangeError when tex is not a positive finite number.
 */
export const yarnNumberFrom = (tex: number, system: YarnNumber): number => {
  checkPositive(tex);
  const { kind, constant } = SYSTEMS[system];
  return kind === 'factor' ? tex * constant : constant / tex;
};

/**
 * Tex from what a label says: so many metres weigh so many grams.
 * @throws RangeError when either is not a positive finite number.
 */
export const texOfLabel = (metres: number, grams: number): number => {
  checkPositive(metres);
  checkPositive(grams);
  return (1000 * grams) / metres;
};

/**
 * All yarn numbers at once from any one of them.
 * @throws RangeError when the value is not a positive finite number.
 */
export const allYarnNumbers = (system: YarnNumber, value: number): Readonly<Record<YarnNumber, number>> => {
  const tex = texFrom(system, value);
  const entries = Object.keys(SYSTEMS).map((name) => [name, yarnNumberFrom(tex, name as YarnNumber)]);
  return { ...Object.fromEntries(entries), [system]: value };
};
