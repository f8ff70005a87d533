import { describe, expect, it } from 'vitest';
import { withoutStrayEnds } from '../../workers/scale/rulerEnds';
import { inCompany, numberMarks, type Peak } from '../../workers/scale/rulerNumbering';

const stepPx = 27;
/** Where evenly spaced marks lie in perspective. */
const placeOf = (k: number): number => (40 + stepPx * k) / (1 + 0.004 * k);

/** Marks by number, `moved` px from where they would be. */
const rowOf = (numbers: readonly number[], moved: (k: number) => number): Map<number, Peak> =>
  new Map(numbers.map((k) => [k, { t: placeOf(k) + moved(k), height: 60 }]));

const numbers = Array.from({ length: 40 }, (_, k) => k);
const kept = (marks: ReadonlyMap<number, Peak>): number[] =>
  [...withoutStrayEnds(marks, placeOf, stepPx).keys()].sort((a, b) => a - b);

describe('the ends of a row of marks', () => {
  it('stay where they are as even as the rest', () => {
    expect(kept(rowOf(numbers, (k) => 0.2 * Math.sin(7 * k)))).toEqual(numbers);
  });

  it('lose what lies a few px beside the place of a mark, at either end', () => {
    const strays = new Map([
      [-2, 4.2],
      [41, -3.1],
    ]);
    expect(kept(rowOf([-2, ...numbers, 41], (k) => strays.get(k) ?? 0))).toEqual(numbers);
  });

  it('lose several strays in sequence', () => {
    expect(kept(rowOf([-3, -1, ...numbers], (k) => (k === -3 ? 5 : k === -1 ? -4 : 0)))).toEqual(numbers);
  });

  it('lose two strays that lie off alike, so that the last one agrees with the one before it', () => {
    expect(kept(rowOf([...numbers, 41, 42], (k) => (k > 40 ? -3 : 0)))).toEqual(numbers);
  });

  it('follow a lens that bows the whole row', () => {
    expect(kept(rowOf(numbers, (k) => 4 * ((k - 20) / 20) ** 3))).toEqual(numbers);
  });

  it('are left alone in a row too short to tell', () => {
    const few = numbers.slice(0, 8);
    expect(kept(rowOf(few, (k) => (k === 0 ? 5 : 0)))).toEqual(few);
  });
});

describe('numbering', () => {
  it('goes on beyond a swatch that covers more of the ruler than it leaves free on one side', () => {
    const free = (k: number): boolean => k < 16 || k > 42;
    const marks: Peak[] = Array.from({ length: 54 }, (_, k) => k)
      .filter(free)
      .map((k) => ({ t: placeOf(k), height: 60 }));
    const row = numberMarks(marks, marks);
    const found = [...(row?.marks.keys() ?? [])].sort((a, b) => a - b);
    expect(found).toHaveLength(marks.length);
    expect((found.at(-1) ?? 0) - (found[0] ?? 0)).toBe(53);
  });

  it('is judged without what is left alone of a covered stretch', () => {
    const marks = rowOf([-12, -11, ...numbers, 60], () => 0);
    expect([...inCompany(marks).keys()]).toEqual(numbers);
  });

  it('does not go on where lines beyond the end meet every second place of a mark', () => {
    const marks: Peak[] = numbers.map((k) => ({ t: placeOf(k), height: 60 }));
    const beyond: Peak[] = [41, 43, 45, 47, 49, 51, 53].map((k) => ({ t: placeOf(k), height: 50 }));
    const row = numberMarks([...marks, ...beyond], marks);
    const places = [...(row?.marks.values() ?? [])].map(({ t }) => t);
    expect(places).toHaveLength(numbers.length);
    expect(Math.max(...places)).toBeCloseTo(placeOf(39), 6);
  });
});
