import { describe, expect, it } from 'vitest';
import { lineThrough } from '../../workers/scale/rulerBegins';
import { crestsOf, evenRunOf, overlapOf } from '../../workers/scale/rulerEvenness';

/** Beginnings of `count` marks, 12 px apart, on the line off = 5 + 0.02 t. */
const beginsOnLine = (count: number): { t: number; off: number }[] =>
  Array.from({ length: count }, (_, i) => ({ t: 12 * i, off: 5 + 0.02 * 12 * i }));

/** A profile of white ground with dark marks, each a bell 1.2 samples wide, at the given places. */
const profileWith = (places: readonly number[], depth: number, length = 400): Float64Array =>
  Float64Array.from({ length }, (_, i) =>
    places.reduce((value, at) => value - depth * Math.exp(-(((i - at) / 1.2) ** 2) / 2), 200),
  );

/** Places `gap` samples apart. */
const evenly = (from: number, gap: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => from + gap * i);

describe('the line that marks begin on', () => {
  it('goes through all beginnings that lie on it', () => {
    const line = lineThrough(beginsOnLine(30));
    expect(line?.off).toBeCloseTo(5, 6);
    expect(line?.slope).toBeCloseTo(0.02, 6);
  });

  it('is not drawn aside by marks that something covers at their beginning', () => {
    const begins = beginsOnLine(30).map((b, i) => (i > 10 && i < 22 ? { ...b, off: b.off + 15 + i } : b));
    const line = lineThrough(begins);
    expect(line?.off).toBeCloseTo(5, 6);
    expect(line?.slope).toBeCloseTo(0.02, 6);
  });

  it('is not known where the beginnings lie on no line', () => {
    const begins = beginsOnLine(30).map((b, i) => ({ ...b, off: (i * 37) % 101 }));
    expect(lineThrough(begins)).toBeNull();
  });

  it('is not known from fewer than five beginnings', () => {
    expect(lineThrough(beginsOnLine(4))).toBeNull();
    expect(lineThrough(beginsOnLine(5))).not.toBeNull();
    expect(lineThrough([])).toBeNull();
  });

  it('turns away from the row by no more than about nine degrees', () => {
    expect(lineThrough(beginsOnLine(20).map(({ t }) => ({ t, off: 0.3 * t })))).toBeNull();
  });
});

describe('crests along a line', () => {
  it('are placed between the samples, dark ones and light ones apart', () => {
    const profile = profileWith([50.3, 81.8], 60);
    const dark = crestsOf(profile, -1).filter(({ height }) => height > 30);
    expect(dark.map(({ at }) => Math.round(10 * at) / 10)).toEqual([50.3, 81.8]);
    expect(crestsOf(profile, 1).every(({ height }) => height < 35)).toBe(true);
  });

  it('are none on plain ground and on slow shading', () => {
    expect(crestsOf(new Float64Array(200).fill(120), -1)).toEqual([]);
    expect(
      crestsOf(
        Float64Array.from({ length: 200 }, (_, i) => 100 + i / 4),
        -1,
      ),
    ).toEqual([]);
  });
});

describe('an even stretch of crests', () => {
  it('is found with the spacing of its marks and ends where they end', () => {
    const run = evenRunOf(crestsOf(profileWith(evenly(100, 10, 20), 60), -1));
    expect(run?.spacing).toBeCloseTo(10, 1);
    expect(Math.abs((run?.from ?? 0) - 100)).toBeLessThan(11);
    expect(Math.abs((run?.to ?? 0) - 290)).toBeLessThan(11);
  });

  it('is none among uneven crests', () => {
    const uneven = [20, 27, 45, 51, 80, 92, 97, 130, 138, 170, 175, 200, 221, 227, 260];
    expect(evenRunOf(crestsOf(profileWith(uneven, 60), -1))).toBeNull();
  });

  it('says less the fainter its crests are', () => {
    const of = (depth: number): number =>
      evenRunOf(crestsOf(profileWith(evenly(30, 10, 20), depth), -1))?.evenness ?? 0;
    expect(of(15)).toBeGreaterThan(0);
    expect(of(15)).toBeLessThan(0.6 * of(80));
  });

  it('says no more the longer it is, once it is long enough', () => {
    const of = (count: number): number =>
      evenRunOf(crestsOf(profileWith(evenly(20, 9, count), 80, 1000), -1))?.evenness ?? 0;
    expect(of(14)).toBeLessThan(of(40));
    expect(of(100)).toBeCloseTo(of(40), 0);
  });

  it('lies beside another by the share that both have', () => {
    const run = (from: number, to: number) => ({ evenness: 10, evenGaps: 10, from, to, spacing: 10 });
    expect(overlapOf(run(0, 100), run(50, 200))).toBeCloseTo(0.5, 9);
    expect(overlapOf(run(0, 100), run(150, 200))).toBe(0);
    expect(overlapOf(run(20, 40), run(0, 100))).toBe(1);
  });
});
