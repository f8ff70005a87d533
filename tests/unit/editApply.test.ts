import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import { defaultWindow } from '../../src/domain/countWindow';
import { applyEdit, type GridState, invertEdit, replayEdits } from '../../src/domain/editApply';
import type { GridEdit } from '../../src/domain/edits';
import type { GridLine, LineFamily } from '../../src/domain/grid';
import { linesOf, nearestLine } from '../../src/domain/lineGeometry';
import { gridOf, loadFabric, regularGrid } from './fixtures/knownFabric';

const turned = (x: number, y: number): [number, number] => [0.94 * x - 0.34 * y, 0.34 * x + 0.94 * y];

const stateOf = (grid = regularGrid(8, 10, 30, 20)): GridState => ({ grid, window: defaultWindow(grid) });
const at = photoPoint;

/** Position across the family of the middle of each line of an upright grid. */
const middles = (state: GridState, family: LineFamily): number[] =>
  linesOf(state.grid, family).map(({ points }) => {
    const p = points[points.length >> 1]!;
    return family === 'wale' ? p.x : p.y;
  });

describe('one correction', () => {
  const state = stateOf();
  const without = applyEdit(state, { kind: 'removeLine', family: 'wale', at: at(192, 150) });

  it('removes the line nearest to the place', () => {
    expect(middles(without, 'wale')).toEqual([100, 130, 160, 220, 250, 280, 310]);
  });

  it('adds a line where one is missing, shaped like its neighbours and through the place', () => {
    const added = applyEdit(without, { kind: 'addLine', family: 'wale', at: at(191, 150) });
    expect(middles(added, 'wale')).toEqual([100, 130, 160, 191, 220, 250, 280, 310]);
    expect(added.grid.wales[3]!.origin).toBe('placed');
    expect(added.grid.wales[3]!.points).toHaveLength(10);
  });

  it('adds a line between neighbours that bow differently half way in shape', () => {
    const bowed = regularGrid(3, 10, 30, 20, (x, y) => [x + ((x - 100) / 30) * ((y - 170) / 90) ** 2 * 4, y]);
    const two: GridState = { grid: { ...bowed, wales: [bowed.wales[0]!, bowed.wales[2]!] }, window: null };
    const added = applyEdit(two, { kind: 'addLine', family: 'wale', at: at(130, 170) });
    added.grid.wales[1]!.points.forEach((p, i) => {
      // The bow is drawn with straight pieces, which lie up to 0.06 px off it.
      expect(Math.abs(p.x - bowed.wales[1]!.points[i]!.x)).toBeLessThan(0.07);
    });
  });

  it('adds lines outside the grid, before the first and after the last', () => {
    const before = applyEdit(state, { kind: 'addLine', family: 'wale', at: at(70, 150) });
    expect(middles(before, 'wale')[0]).toBeCloseTo(70, 9);
    const after = applyEdit(before, { kind: 'addLine', family: 'course', at: at(200, 281) });
    expect(middles(after, 'course').at(-1)).toBeCloseTo(281, 9);
    expect(after.grid.courses).toHaveLength(11);
  });

  it('moves a whole line across its family, past a neighbour if it must', () => {
    const moved = applyEdit(state, {
      kind: 'moveLine',
      family: 'course',
      from: at(150, 101),
      to: at(150, 106),
    });
    expect(middles(moved, 'course').slice(0, 3)).toEqual([80, 106, 120]);
    expect(moved.grid.courses[1]!.points.map((p) => p.x)).toEqual(
      state.grid.courses[1]!.points.map((p) => p.x),
    );
    const past = applyEdit(state, {
      kind: 'moveLine',
      family: 'course',
      from: at(150, 101),
      to: at(150, 126),
    });
    expect(middles(past, 'course').slice(0, 4)).toEqual([80, 120, 126, 140]);
  });

  it('splits a line into two, a quarter of the way to each neighbour, also at the rim', () => {
    const split = applyEdit(state, { kind: 'splitLine', family: 'wale', at: at(160, 150) });
    expect(middles(split, 'wale').slice(1, 5)).toEqual([130, 152.5, 167.5, 190]);
    const rim = applyEdit(state, { kind: 'splitLine', family: 'wale', at: at(100, 150) });
    expect(middles(rim, 'wale').slice(0, 3)).toEqual([92.5, 107.5, 130]);
    expect(new Set(split.grid.wales.map((l) => l.id)).size).toBe(9);
  });

  it('joins the two lines on both sides of the place', () => {
    const joined = applyEdit(state, { kind: 'joinLines', family: 'wale', at: at(173, 150) });
    expect(middles(joined, 'wale')).toEqual([100, 130, 175, 220, 250, 280, 310]);
  });

  it('marks a needle gap and takes the mark away again', () => {
    const marked = applyEdit(state, { kind: 'markNeedleGap', at: at(161, 90), gap: true });
    expect(marked.grid.wales.map((l) => l.kind).indexOf('needleGap')).toBe(2);
    const again = applyEdit(marked, { kind: 'markNeedleGap', at: at(161, 90), gap: true });
    expect(again).toBe(marked);
    expect(applyEdit(marked, { kind: 'markNeedleGap', at: at(161, 90), gap: false })).toEqual(state);
  });

  it('changes the counted window', () => {
    const window = { corners: [at(0, 0), at(9, 0), at(9, 9), at(0, 9)] };
    expect(applyEdit(state, { kind: 'setWindow', window }).window).toBe(window);
  });

  it('puts lines in their place on a turned fabric too', () => {
    const grid = regularGrid(8, 10, 30, 20, turned);
    const gap: GridState = { grid: { ...grid, courses: grid.courses.toSpliced(4, 1) }, window: null };
    const place = grid.courses[4]!.points[3]!;
    const added = applyEdit(gap, { kind: 'addLine', family: 'course', at: place });
    added.grid.courses[4]!.points.forEach((p, i) => {
      expect(
        Math.hypot(p.x - grid.courses[4]!.points[i]!.x, p.y - grid.courses[4]!.points[i]!.y),
      ).toBeLessThan(0.01);
    });
  });

  it('finds a missing wale of a real lattice again to a small share of a stitch', () => {
    const grid = gridOf(loadFabric('d01'));
    const removed = grid.wales[12]!;
    const place = removed.points[20]!;
    const gap: GridState = { grid: { ...grid, wales: grid.wales.toSpliced(12, 1) }, window: null };
    const added = applyEdit(gap, { kind: 'addLine', family: 'wale', at: place });
    const off = added.grid.wales[12]!.points.map((p, i) => Math.abs(p.x - removed.points[i]!.x));
    // Wales are 35 px apart there; what is left is the jitter of single stitches.
    expect(off.reduce((a, b) => a + b) / off.length).toBeLessThan(35 * 0.08);
  });
});

describe('a grid drawn wholly by hand', () => {
  const place = (state: GridState, family: LineFamily, points: PhotoPoint[]): GridState =>
    applyEdit(state, { kind: 'placeLine', family, points });

  it('puts lines in reading order whatever the order in which they are drawn', () => {
    let state: GridState = { grid: { wales: [], courses: [] }, window: null };
    for (const x of [90, 30, 60]) state = place(state, 'wale', [at(x, 0), at(x + 2, 100)]);
    for (const y of [80, 20, 50]) state = place(state, 'course', [at(100, y), at(0, y)]);
    expect(state.grid.wales.map((l) => l.points[0]!.x)).toEqual([30, 60, 90]);
    expect(state.grid.courses.map((l) => l.points[0]!.y)).toEqual([20, 50, 80]);
  });

  it('lets a first row be added square to columns that are there', () => {
    const wales = place({ grid: { wales: [], courses: [] }, window: null }, 'wale', [at(30, 0), at(30, 100)]);
    const both = place(wales, 'wale', [at(60, 0), at(60, 100)]);
    const row = applyEdit(both, { kind: 'addLine', family: 'course', at: at(45, 50) }).grid.courses[0]!;
    expect(row.points.map((p) => [p.x, p.y])).toEqual([
      [30, 50],
      [60, 50],
    ]);
  });

  it('keeps a line of fewer than two points out', () => {
    const state = stateOf();
    expect(place(state, 'wale', [at(1, 1)])).toBe(state);
  });
});

describe('a correction that finds nothing near', () => {
  const state = stateOf();
  const empty: GridState = { grid: { wales: [], courses: [] }, window: null };
  const far = at(2000, 2000);

  it.each<GridEdit>([
    { kind: 'removeLine', family: 'wale', at: far },
    { kind: 'moveLine', family: 'wale', from: far, to: at(10, 10) },
    { kind: 'splitLine', family: 'course', at: far },
    { kind: 'joinLines', family: 'course', at: far },
    { kind: 'markNeedleGap', at: far, gap: true },
    { kind: 'addLine', family: 'wale', at: at(131, 150) },
  ])('changes nothing: %o', (edit) => {
    expect(applyEdit(state, edit)).toBe(state);
  });

  it('changes nothing in an empty grid', () => {
    for (const kind of ['addLine', 'removeLine', 'splitLine', 'joinLines'] as const) {
      expect(applyEdit(empty, { kind, family: 'wale', at: at(1, 1) })).toBe(empty);
    }
  });

  it('does not add or remove a second time when replayed on a grid that has it right already', () => {
    const right = regularGrid(8, 10, 30, 20);
    const wrong = { ...right, wales: right.wales.toSpliced(3, 1) };
    const edits: GridEdit[] = [{ kind: 'addLine', family: 'wale', at: at(189, 150) }];
    expect(replayEdits(stateOf(wrong), edits).grid.wales).toHaveLength(8);
    expect(replayEdits(stateOf(right), edits).grid.wales).toHaveLength(8);
  });
});

const place = fc
  .tuple(fc.integer({ min: 40, max: 380 }), fc.integer({ min: 40, max: 320 }))
  .map(([x, y]) => at(x, y));
const family = fc.constantFrom<LineFamily>('wale', 'course');
const anyEdit: fc.Arbitrary<GridEdit> = fc.oneof(
  fc
    .tuple(fc.constantFrom('addLine', 'removeLine', 'splitLine', 'joinLines' as const), family, place)
    .map(([kind, f, p]): GridEdit => ({ kind, family: f, at: p })),
  fc
    .tuple(family, place, place)
    .map(([f, from, to]): GridEdit => ({ kind: 'moveLine', family: f, from, to })),
  fc.tuple(place, fc.boolean()).map(([p, gap]): GridEdit => ({ kind: 'markNeedleGap', at: p, gap })),
  fc
    .tuple(family, fc.array(place, { maxLength: 4 }))
    .map(([f, points]): GridEdit => ({ kind: 'placeLine', family: f, points })),
  fc
    .array(place, { minLength: 4, maxLength: 4 })
    .map((corners): GridEdit => ({ kind: 'setWindow', window: { corners } })),
);

const uniqueIds = (lines: readonly GridLine[]): boolean =>
  new Set(lines.map((l) => l.id)).size === lines.length;

describe('any list of corrections', () => {
  it('is taken back exactly, step by step, and done again to the same result', () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 12 }), fc.boolean(), (edits, handMade) => {
        const start: GridState = handMade
          ? { grid: { wales: [], courses: [] }, window: null }
          : stateOf(regularGrid(8, 10, 30, 20, turned));
        const frozen = JSON.stringify(start);
        const states = [start];
        for (const edit of edits) states.push(applyEdit(states.at(-1)!, edit));
        let state = states.at(-1)!;
        for (let i = edits.length - 1; i >= 0; i -= 1) {
          state = applyEdit(state, invertEdit(states[i]!, edits[i]!));
          expect(state).toEqual(states[i]);
        }
        expect(JSON.stringify(start)).toBe(frozen);
        expect(replayEdits(start, edits)).toEqual(states.at(-1));
      }),
      { numRuns: 150 },
    );
  });

  it('never gives two lines of a family the same id, nor a coordinate that is no number', () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 12 }), (edits) => {
        const { grid } = replayEdits(stateOf(), edits);
        expect(uniqueIds(grid.wales) && uniqueIds(grid.courses)).toBe(true);
        const numbers = [...grid.wales, ...grid.courses].flatMap((l) => l.points.flatMap((p) => [p.x, p.y]));
        expect(numbers.every(Number.isFinite)).toBe(true);
      }),
      { numRuns: 150 },
    );
  });
});

describe('the nearest line', () => {
  it('is told with its distance across', () => {
    const { grid } = stateOf();
    expect(nearestLine(grid, 'wale', at(164, 150))).toEqual({ index: 2, distancePx: 4 });
    expect(nearestLine({ wales: [], courses: [] }, 'wale', at(1, 1))).toBeNull();
  });
});
