import { describe, expect, it } from 'vitest';
import type { MeasuredLine } from '../../workers/scale/gridLines';
import { doubtAbout, findLevels, type LineLevels, readings } from '../../workers/scale/heavyLines';
import { type Random, seeded } from '../builders/random';

/** How a mat is printed and how much of it one sees. */
interface Print {
  readonly pitchMm: number;
  readonly pxPerMm?: number;
  /** Every so many lines a heavy one; 1 for none. */
  readonly every: number;
  readonly phase: readonly [number, number];
  /** ln(ink of a heavy line / ink of a fine one). */
  readonly contrast: number;
  readonly lines: readonly [number, number];
  /** Lines of each axis, from and to, that a swatch hides. */
  readonly hidden: readonly [readonly [number, number], readonly [number, number]];
  /** By how much ln ink falls off from the first line of an axis to the last. */
  readonly fallOff?: number;
  /** Scatter of ln ink. */
  readonly scatter?: number;
  /** Share of the lines whose ink is that of something else. */
  readonly odd?: number;
}

/** Widths of printed lines, mm, and by how much a picture in focus blurs them, px. */
const fineMm = 0.2;
const heavyMm = 0.45;
const blurPx = 1.8;

const scaleOf = ({ pxPerMm = 6 }: Print): number => pxPerMm;
const spacingOf = (print: Print): number => (scaleOf(print) * print.pitchMm) / print.every;

const linesOf = (print: Print, random: Random): MeasuredLine[] =>
  ([0, 1] as const).flatMap((axis) =>
    Array.from({ length: print.lines[axis] }, (_, index): MeasuredLine => {
      const [from, to] = print.hidden[axis];
      if (index >= from && index <= to)
        return { axis, index, places: [], seenShare: 0, weightPx: 0, widthPx: 0 };
      const heavy = print.every > 1 && (index - print.phase[axis]) % print.every === 0;
      const even = Math.log(1.2) + (heavy ? print.contrast : 0);
      const fallen = -((print.fallOff ?? 0) * index) / print.lines[axis];
      const off = (print.scatter ?? 0.06) * random.normal();
      const ink = random.chance(print.odd ?? 0) ? Math.log(random.logBetween(0.3, 12)) : even + fallen + off;
      const places = Array.from({ length: random.whole(12, 60) }, (_p, i) => ({ x: 5 * i, y: 24 * index }));
      const widthPx = Math.hypot((heavy ? heavyMm : fineMm) * scaleOf(print), blurPx);
      return { axis, index, places, seenShare: 0.5, weightPx: Math.exp(ink), widthPx };
    }),
  );

const levelsOf = (print: Print, random = seeded(1)): LineLevels =>
  findLevels(linesOf(print, random), () => spacingOf(print));

const first = (levels: LineLevels, pitchMm: number | null) => readings(levels, pitchMm)[0]!;

const inDoubt = (levels: LineLevels, pitchMm: number | null): boolean =>
  doubtAbout(levels, readings(levels, pitchMm)) !== null;

const nothing = [99, 99] as const;

describe('heavy and fine lines of a grid', () => {
  it('are told apart although only fine lines of one axis are in view', () => {
    // The swatch hides all but the outermost lines of one axis; its only heavy ones are below it.
    const levels = levelsOf({
      pitchMm: 25.4,
      every: 8,
      phase: [5, 0],
      contrast: 1,
      lines: [34, 25],
      hidden: [[4, 30], nothing],
    });
    expect(first(levels, 25.4).every).toBe(8);
    expect(inDoubt(levels, 25.4)).toBe(false);
  });

  it('are not taken for every second heavy line where one heavy line in three is near', () => {
    for (const phase of [0, 1, 2, 3]) {
      const levels = levelsOf({
        pitchMm: 25.4,
        every: 4,
        phase: [phase, 1],
        contrast: 1.6,
        lines: [21, 24],
        hidden: [nothing, nothing],
      });
      expect(levels.steps.map((s) => s.every)).toEqual([4]);
    }
  });

  it('are told apart where the light falls off by more than they differ', () => {
    const levels = levelsOf({
      pitchMm: 10,
      every: 2,
      phase: [0, 1],
      contrast: 0.4,
      lines: [40, 32],
      hidden: [nothing, nothing],
      fallOff: 0.9,
      scatter: 0.1,
    });
    expect(first(levels, 10).every).toBe(2);
  });

  it('leave no doubt about neighbouring lines that are all alike and next to one another', () => {
    const levels = levelsOf({
      pitchMm: 10,
      every: 1,
      phase: [0, 0],
      contrast: 0,
      lines: [9, 8],
      hidden: [
        [4, 5],
        [3, 5],
      ],
    });
    expect(levels.steps).toEqual([]);
    expect(first(levels, 10).every).toBe(1);
    expect(inDoubt(levels, 10)).toBe(false);
  });

  it('leave a doubt where all heavy lines may be hidden', () => {
    // Three fine lines on either side of a swatch that lies over every fourth, heavy one.
    const levels = levelsOf({
      pitchMm: 25.4,
      every: 4,
      phase: [3, 3],
      contrast: 1,
      lines: [11, 11],
      hidden: [
        [3, 7],
        [3, 7],
      ],
    });
    expect(levels.rivals.map((r) => r.every)).toContain(4);
    expect(inDoubt(levels, 25.4)).toBe(true);
  });

  it('are found on three levels, halves within inches within eighths', () => {
    const random = seeded(4);
    const print: Print = {
      pitchMm: 25.4,
      every: 8,
      phase: [0, 3],
      contrast: 1.2,
      lines: [41, 33],
      hidden: [nothing, nothing],
    };
    const lines = linesOf(print, random).map((l) => {
      const middle = (l.index - [4, 7][l.axis]!) % 8 === 0;
      return middle ? { ...l, weightPx: l.weightPx * Math.exp(0.6) } : l;
    });
    const levels = findLevels(lines, () => spacingOf(print));
    expect(levels.steps.map((s) => s.every)).toEqual([4, 8]);
    expect(first(levels, 25.4).every).toBe(8);
  });

  it('are never surely mistaken, whatever a swatch hides and however often something else is measured', () => {
    const random = seeded(20_261);
    let sure = 0;
    const cases = 200;
    for (let i = 0; i < cases; i++) {
      const inches = random.chance(0.5);
      const pitchMm = inches ? 25.4 : 10;
      const every = inches ? random.pick([1, 2, 4, 8]) : random.pick([1, 2, 10]);
      const lines = [random.whole(8, 40), random.whole(8, 40)] as const;
      const span = (n: number): [number, number] => {
        const from = random.whole(2, Math.ceil(n / 3));
        return [from, random.whole(from, n - 3)];
      };
      const levels = levelsOf(
        {
          pitchMm,
          pxPerMm: random.between(3, 12),
          every,
          phase: [random.whole(0, every - 1), random.whole(0, every - 1)],
          contrast: random.between(0.6, 1.8),
          lines,
          hidden: [span(lines[0]), span(lines[1])],
          fallOff: random.between(-0.4, 0.4),
          scatter: random.between(0.03, 0.12),
          odd: 0.03,
        },
        random.fork(`lines ${i}`),
      );
      if (inDoubt(levels, pitchMm)) continue;
      sure += 1;
      expect(first(levels, pitchMm).every, `case ${i}`).toBe(every);
    }
    expect(sure).toBeGreaterThan(0.75 * cases);
  });
});
