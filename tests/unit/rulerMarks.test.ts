import { describe, expect, it } from 'vitest';
import { patternDoubt, patternFits } from '../../src/domain/rulerScale';
import { numberMarks, type Peak } from '../../workers/scale/rulerNumbering';
import { longPeriodOf } from '../../workers/scale/rulerPattern';
import { seeded } from '../builders/random';

/** Lengths of marks that are the longer the larger the power of two, or multiple of five, that their number holds. */
const lengthsOf = (count: number, classes: readonly [number, number][], usual: number) =>
  new Map(
    Array.from({ length: count }, (_, k) => [
      k - 7,
      classes.find(([every]) => (k - 7) % every === 0)?.[1] ?? usual,
    ]),
  );

/** Crests at even spacing seen in perspective. */
const row = (count: number, noisePx: number, left: (k: number) => boolean = () => false): Peak[] => {
  const random = seeded(5);
  return Array.from({ length: count }, (_, k) => k)
    .filter((k) => !left(k))
    .map((k) => ({ t: (20 + 12 * k) / (1 + 0.001 * k) + noisePx * random.normal(), height: 60 }));
};

describe('the longer marks of a scale', () => {
  it('tell sixteenths, eighths and millimetres apart', () => {
    expect(
      longPeriodOf(
        lengthsOf(
          50,
          [
            [16, 40],
            [8, 30],
          ],
          20,
        ),
      ),
    ).toBe(16);
    expect(
      longPeriodOf(
        lengthsOf(
          50,
          [
            [8, 40],
            [4, 30],
          ],
          20,
        ),
      ),
    ).toBe(8);
    expect(
      longPeriodOf(
        lengthsOf(
          50,
          [
            [10, 40],
            [5, 30],
          ],
          20,
        ),
      ),
    ).toBe(10);
    expect(
      longPeriodOf(
        lengthsOf(
          96,
          [
            [16, 70],
            [8, 58],
            [4, 46],
            [2, 36],
          ],
          26,
        ),
      ),
    ).toBe(16);
  });

  it('are not seen in marks of one length, nor in lengths without order', () => {
    expect(longPeriodOf(lengthsOf(60, [], 20))).toBeNull();
    const random = seeded(3);
    expect(
      longPeriodOf(new Map(Array.from({ length: 60 }, (_, k) => [k, random.between(8, 40)]))),
    ).toBeNull();
  });

  it('speak against a stated spacing that is not divided so', () => {
    // An inch is 25.4 mm (16 CFR 500.19); tens on a millimetre scale, halves on one in fractions of an inch: common practice.
    expect(patternFits(10, 1)).toBe(true);
    expect(patternFits(16, 25.4 / 16)).toBe(true);
    expect(patternFits(8, 25.4 / 8)).toBe(true);
    expect(patternFits(16, 1)).toBe(false);
    expect(patternFits(10, 25.4 / 16)).toBe(false);
    expect(patternFits(16, 25.4 / 8)).toBe(false);
    expect(patternFits(null, 1)).toBe(true);
    expect(patternFits(12, 0.7)).toBe(true);
  });

  it('say in one sentence what they have against it', () => {
    expect(patternDoubt(10, 25.4 / 16)).toBe(
      'Every 10th mark of this ruler is longer, but in sixteenths of an inch it is every second, every 4th, every 8th or every 16th: is the spacing right?',
    );
    expect(patternDoubt(2, 1)).toMatch(/^Every second mark of this ruler is longer, but in millimetres/);
    expect(patternDoubt(5, 1)).toBeNull();
    expect(patternDoubt(null, 1)).toBeNull();
  });
});

describe('numbering the marks of a ruler', () => {
  it('counts on across a stretch that is covered', () => {
    const peaks = row(80, 0.1, (k) => k > 30 && k < 45);
    const { marks, filled, explained } = numberMarks(peaks, peaks)!;
    const numbers = [...marks.keys()].sort((a, b) => a - b);
    expect(numbers[numbers.length - 1]! - numbers[0]!).toBe(79);
    expect(marks.size).toBe(peaks.length);
    expect([filled, explained]).toEqual([1, 1]);
  });

  it('takes no account of every second mark alone', () => {
    const peaks = row(60, 0.1);
    const { marks, stepPx } = numberMarks(peaks, peaks)!;
    expect(marks.size).toBe(60);
    expect(stepPx).toBeLessThan(13);
  });

  it('finds stitches, that wander, less even than marks', () => {
    const marks = row(60, 0.15);
    const stitches = row(60, 0.9);
    expect(numberMarks(marks, marks)!.unevenness).toBeLessThan(0.03);
    expect(numberMarks(stitches, stitches)!.unevenness).toBeGreaterThan(0.05);
  });
});
