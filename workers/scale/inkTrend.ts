import { choleskyFactor, choleskySolve } from '../../src/domain/planeFitAlgebra';

/** How far, as a standard deviation of ln ink, one axis differs from the other, changes across the picture, and bends on the way: light that falls off, glare, a lens (seen on photos). */
const usualChange = [0.15, 0.4, 0.3] as const;
/** Lines of one kind scatter about the trend so much, and those further off than that many times are not asked. */
const scatter = 0.15;
const patience = 4;

/**
 * Takes the smooth change of ink along one axis away: a parabola over the lines' numbers, held back by how much is usual, so that a few lines cannot
 * explain heavy ones away.
 * @param expected the ln ink that a line of this number should have.
 */
export const withoutTrend = <Sign extends { readonly index: number; readonly ink: number | null }>(
  signs: readonly Sign[],
  expected: (index: number) => number,
): Sign[] => {
  const seen = signs.flatMap(({ index, ink }) => (ink === null ? [] : [{ index, ink }]));
  if (seen.length === 0) return [...signs];
  const low = Math.min(...seen.map((s) => s.index));
  const high = Math.max(...seen.map((s) => s.index));
  const basis = (index: number): [number, number, number] => {
    const t = high > low ? (2 * (index - low)) / (high - low) - 1 : 0;
    return [1, t, t * t - 1 / 3];
  };
  const rows = seen.map(({ index, ink }) => ({ row: basis(index), off: ink - expected(index) }));
  let found: readonly [number, number, number] = [0, 0, 0];
  const at = ([a, b, c]: readonly [number, number, number]): number =>
    a * found[0] + b * found[1] + c * found[2];
  for (let round = 0; round < 3; round++) {
    const matrix = usualChange.flatMap((sd, a) => usualChange.map((_, b) => (a === b ? 1 / sd ** 2 : 0)));
    const right = [0, 0, 0];
    for (const { row, off } of rows) {
      const weight = 1 / scatter ** 2 / (1 + ((off - at(row)) / (patience * scatter)) ** 2);
      for (let a = 0; a < 3; a++) {
        const weighed = weight * (row[a] as number);
        right[a] = (right[a] as number) + weighed * off;
        for (let b = 0; b < 3; b++)
          matrix[3 * a + b] = (matrix[3 * a + b] as number) + weighed * (row[b] as number);
      }
    }
    const factor = choleskyFactor(matrix, 3);
    if (factor === null) break;
    const [a = 0, b = 0, c = 0] = choleskySolve(factor, 3, right);
    found = [a, b, c];
  }
  return signs.map((s) => (s.ink === null ? s : { ...s, ink: s.ink - at(basis(s.index)) }));
};
