import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { halfPlanesOf, isInside } from '../../src/domain/countWindow';
import { numbersOf } from '../../src/domain/lineNumbers';
import { meaningOfTap, movedWindow } from '../../src/ui/marks/geometry';
import { commandOfKey } from '../../src/ui/marks/keys';
import { editFor, markAfter, markAt, placeBeside, walkedMark } from '../../src/ui/marks/mark';
import { partLine } from '../../src/ui/marks/partLine';
import { flatMeasurement, squareGrid } from '../builders/flatMeasurement';

const { stitches } = flatMeasurement();
const grid = stitches.grid!;
const window = stitches.window!;
const stepX = stitches.pitchPx!.wale;
const waleX = (i: number): number => 300 + i * stepX;

describe('a tap on the photo', () => {
  it('means the line when it is near it, and the place between when it is not', () => {
    expect(meaningOfTap(grid.wales, photoPoint(waleX(10) + 0.2 * stepX, 700))).toMatchObject({
      kind: 'line',
      index: 10,
    });
    expect(meaningOfTap(grid.wales, photoPoint(waleX(10) + 0.45 * stepX, 700)).kind).toBe('between');
  });

  it('means a missing line just beyond the last one, and nothing far away', () => {
    expect(meaningOfTap(grid.wales, photoPoint(waleX(29) + 0.9 * stepX, 700)).kind).toBe('between');
    expect(meaningOfTap(grid.wales, photoPoint(waleX(29) + 4 * stepX, 700)).kind).toBe('away');
  });

  it('still finds the line where one is marked twice', () => {
    const twice = {
      ...grid.wales[10]!,
      id: 'twice',
      points: grid.wales[10]!.points.map((p) => photoPoint(p.x + 0.2 * stepX, p.y)),
    };
    const lines = [...grid.wales.slice(0, 11), twice, ...grid.wales.slice(11)];
    const meaning = meaningOfTap(lines, photoPoint(waleX(10) + 0.22 * stepX, 700));
    expect(meaning).toMatchObject({ kind: 'line', index: 11 });
  });
});

describe('the marked line', () => {
  it('walks from column to column and stays at the last one', () => {
    let mark = walkedMark(grid, window, null, 'wale', 1);
    for (let i = 0; i < 40; i += 1) mark = walkedMark(grid, window, mark, 'wale', 1);
    expect(mark).toMatchObject({ kind: 'line', id: 'w29' });
    expect(walkedMark(grid, window, mark, 'wale', -1)).toMatchObject({ id: 'w28' });
  });

  it('changes from columns to rows with the other pair of arrows', () => {
    const column = walkedMark(grid, window, null, 'wale', 1);
    expect(walkedMark(grid, window, column, 'course', 1)).toMatchObject({ family: 'course', kind: 'line' });
  });

  it('gives a place half a step on, and a whole step on beyond the last line', () => {
    const inner = markAt(grid, 'wale', photoPoint(waleX(10), 700))!;
    expect(placeBeside(grid, inner, 1)?.x).toBeCloseTo(waleX(10.5), 6);
    const last = markAt(grid, 'wale', photoPoint(waleX(29), 700))!;
    expect(placeBeside(grid, last, 1)?.x).toBeCloseTo(waleX(30), 6);
  });

  it('turns into edits that name a place in the photo', () => {
    const mark = markAt(grid, 'wale', photoPoint(waleX(10), 700))!;
    expect(editFor(grid, mark, 'remove')).toMatchObject({ kind: 'removeLine', family: 'wale' });
    expect(editFor(grid, mark, 'split')).toMatchObject({ kind: 'splitLine', family: 'wale' });
    expect(editFor(grid, mark, 'gap')).toMatchObject({ kind: 'markNeedleGap', gap: true });
    const row = markAt(grid, 'course', grid.courses[5]!.points[7]!)!;
    expect(editFor(grid, row, 'gap')).toBeNull();
  });

  it('goes to the nearest line when its own is gone', () => {
    const mark = markAt(grid, 'wale', photoPoint(waleX(10), 700))!;
    const without = { ...grid, wales: grid.wales.filter((line) => line.id !== 'w10') };
    expect(['w9', 'w11']).toContain((markAfter(without, mark) as { id: string }).id);
  });
});

describe('the numbers beside the window', () => {
  it('count the lines that run through it from 1, needle gaps left out', () => {
    const all = numbersOf(grid.wales, window);
    expect(all).toHaveLength(20);
    expect(all[0]).toMatchObject({ number: 1, line: { id: 'w5' } });
    const gapped = grid.wales.map((line) =>
      line.id === 'w7' ? { ...line, kind: 'needleGap' as const } : line,
    );
    const numbers = numbersOf(gapped, window);
    expect(numbers).toHaveLength(19);
    expect(numbers.find(({ line }) => line.id === 'w8')?.number).toBe(3);
  });
});

describe('a line that is drawn strong in the window and faint outside', () => {
  const length = (parts: readonly (readonly { x: number; y: number }[])[]): number =>
    parts.reduce(
      (sum, part) =>
        sum + part.slice(1).reduce((s, b, i) => s + Math.hypot(b.x - part[i]!.x, b.y - part[i]!.y), 0),
      0,
    );
  const coordinate = fc.double({ min: 0, max: 1000, noNaN: true });

  it('loses nothing by being cut at the edges, and each part lies on its own side of them', () => {
    const planes = halfPlanesOf([
      { x: 200, y: 260 },
      { x: 760, y: 180 },
      { x: 830, y: 700 },
      { x: 240, y: 790 },
    ]);
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 2, maxLength: 8 }), (places) => {
        const points = places.map(([x, y]) => photoPoint(x, y));
        const { inside, outside } = partLine(points, planes);
        expect(length(inside) + length(outside)).toBeCloseTo(length([points]), 6);
        for (const [parts, expected] of [
          [inside, true],
          [outside, false],
        ] as const) {
          for (const part of parts) {
            for (const [i, b] of part.slice(1).entries()) {
              const a = part[i]!;
              if (Math.hypot(b.x - a.x, b.y - a.y) < 1e-6) continue;
              expect(isInside(planes, (a.x + b.x) / 2, (a.y + b.y) / 2)).toBe(expected);
            }
          }
        }
      }),
    );
  });

  it('stays one piece on each side', () => {
    const planes = halfPlanesOf(window.corners);
    const { inside, outside } = partLine(grid.wales[10]!.points, planes);
    expect(inside).toHaveLength(1);
    expect(outside).toHaveLength(2);
  });
});

describe('the counted window', () => {
  it('moves by one corner or by one whole side', () => {
    const corner = movedWindow(window, { kind: 'corner', index: 1 }, { dx: 5, dy: -3 });
    expect(corner.corners.map((c, i) => c.x - window.corners[i]!.x)).toEqual([0, 5, 0, 0]);
    const side = movedWindow(window, { kind: 'side', index: 3 }, { dx: -7, dy: 0 });
    expect(side.corners.map((c, i) => Math.round(c.x - window.corners[i]!.x))).toEqual([-7, 0, 0, -7]);
  });
});

describe('the keys of the stitch step', () => {
  const plain = (key: string) => ({ key, ctrl: false, shift: false });

  it.each([
    ['ArrowLeft', { kind: 'walk', family: 'wale', step: -1 }],
    ['ArrowDown', { kind: 'walk', family: 'course', step: 1 }],
    ['Delete', { kind: 'correct', correction: 'remove' }],
    ['Insert', { kind: 'correct', correction: 'add' }],
    ['a', { kind: 'correct', correction: 'add' }],
    ['S', { kind: 'correct', correction: 'split' }],
    ['j', { kind: 'correct', correction: 'join' }],
    ['m', { kind: 'enterMode', mode: 'moveLine' }],
    ['w', { kind: 'enterMode', mode: 'window' }],
    ['?', { kind: 'help' }],
  ])('%s while walking', (key, command) => {
    expect(commandOfKey('walk', plain(key))).toEqual(command);
  });

  it('undoes and redoes in every mode', () => {
    for (const mode of ['walk', 'moveLine', 'window'] as const) {
      expect(commandOfKey(mode, { key: 'z', ctrl: true, shift: false })).toEqual({ kind: 'undo' });
      expect(commandOfKey(mode, { key: 'Z', ctrl: true, shift: true })).toEqual({ kind: 'redo' });
      expect(commandOfKey(mode, { key: 'y', ctrl: true, shift: false })).toEqual({ kind: 'redo' });
    }
  });

  it('shifts with the arrows while something is being moved, and leaves zoom keys to the view', () => {
    expect(commandOfKey('moveLine', { key: 'ArrowRight', ctrl: false, shift: true })).toEqual({
      kind: 'shift',
      dx: 1,
      dy: 0,
      fine: true,
    });
    expect(commandOfKey('moveLine', plain('Delete'))).toBeNull();
    expect(commandOfKey('walk', plain('+'))).toBeNull();
  });
});

it('a grid of two columns and one row can be tapped too', () => {
  const small = squareGrid(2, 1, { wales: 8, courses: 11 });
  expect(markAt(small, 'wale', photoPoint(300, 200))).toMatchObject({ kind: 'line', id: 'w0' });
});
