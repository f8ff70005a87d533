/** Scales that rulers and tapes are printed with (common practice): distance of neighbouring marks, mm, and every how many one is longer. */
const usualScales: readonly {
  readonly tickMm: number;
  readonly words: string;
  readonly periods: readonly number[];
}[] = [
  { tickMm: 1, words: 'millimetres', periods: [5, 10] },
  { tickMm: 25.4 / 10, words: 'tenths of an inch', periods: [5, 10] },
  { tickMm: 25.4 / 8, words: 'eighths of an inch', periods: [2, 4, 8] },
  { tickMm: 25.4 / 16, words: 'sixteenths of an inch', periods: [2, 4, 8, 16] },
  { tickMm: 25.4 / 32, words: 'thirty-seconds of an inch', periods: [2, 4, 8, 16, 32] },
];

const scaleOf = (tickMm: number) =>
  usualScales.find((usual) => Math.abs(usual.tickMm / tickMm - 1) < 1e-3) ?? null;

/** Whether marks so far apart can be longer every so many; spacings that no ruler is usually printed with are taken as said. */
export const patternFits = (longMarkEvery: number | null, tickMm: number | null): boolean => {
  if (longMarkEvery === null || tickMm === null) return true;
  const scale = scaleOf(tickMm);
  return scale === null || scale.periods.includes(longMarkEvery);
};

/** Distances of neighbouring marks, mm, of the usual scales whose longer marks come every so many; of all where that could not be told. */
export const usualTicksMm = (longMarkEvery: number | null): readonly number[] =>
  usualScales.flatMap(({ tickMm }) => (patternFits(longMarkEvery, tickMm) ? [tickMm] : []));

const every = (n: number): string => (n === 2 ? 'every second' : `every ${n}th`);

const either = (words: readonly string[]): string => {
  const last = words.at(-1) ?? '';
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} or ${last}`;
};

/** What the longer marks of a ruler say against the spacing that was given for its marks, mm; null when they agree or say nothing. */
export const patternDoubt = (longMarkEvery: number | null, tickMm: number): string | null => {
  const scale = scaleOf(tickMm);
  if (longMarkEvery === null || scale === null || patternFits(longMarkEvery, tickMm)) return null;
  const seen = `${every(longMarkEvery).replace('e', 'E')} mark of this ruler is longer`;
  return `${seen}, but in ${scale.words} it is ${either(scale.periods.map(every))}: is the spacing right?`;
};
