import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { expectedDensity, fabricChanges, type PieceMeasurement } from '../../src/domain/pieceChange';
import type { RestState } from '../../src/domain/records';

const measured = (
  pieceId: string,
  restState: RestState,
  walesPerMm: number,
  coursesPerMm: number,
  relative = 0.01,
  at = '2026-01-01T00:00:00.000Z',
): PieceMeasurement => ({
  pieceId,
  restState,
  at,
  gauge: {
    walesPerMm: { value: walesPerMm, plusMinus95: relative * walesPerMm },
    coursesPerMm: { value: coursesPerMm, plusMinus95: relative * coursesPerMm },
  },
});

describe('how a fabric changes from one rest state to the next', () => {
  it('follows Munden 1959 from dry to wet relaxed: Kw 3.8 → 4.1 is 7.3 % narrower, Kc 5.0 → 5.3 is 5.7 % shorter', () => {
    const loopMm = 12;
    const [change] = fabricChanges([
      measured('a', 'rested', 3.8 / loopMm, 5.0 / loopMm),
      measured('a', 'washedAndDried', 4.1 / loopMm, 5.3 / loopMm),
    ]);
    expect(change).toMatchObject({ from: 'rested', to: 'washedAndDried', pieces: 1 });
    expect(change?.width.value).toBeCloseTo(-0.0732, 4);
    expect(change?.length.value).toBeCloseTo(-0.0566, 4);
  });

  it('has the sign of ISO 5077: 25 cm that come out as 24 cm have changed by −4 %', () => {
    const stitches = 100;
    const [change] = fabricChanges([
      measured('a', 'offMachine', stitches / 250, 1),
      measured('a', 'washedAndDried', stitches / 240, 1),
    ]);
    expect(change?.width.value).toBeCloseTo(-0.04, 12);
    expect(change?.length.value).toBe(0);
  });

  it('adds the relative uncertainties of both measurements in squares (JCGM 100:2008, 5.1.6)', () => {
    const [change] = fabricChanges([
      measured('a', 'rested', 0.3, 0.4, 0.03),
      measured('a', 'worn', 0.3, 0.4, 0.04),
    ]);
    expect(change?.width.plusMinus95).toBeCloseTo(0.05, 12);
  });

  it('narrows with more pieces that agree, and widens when they do not', () => {
    const piece = (id: string, after: number): PieceMeasurement[] => [
      measured(id, 'rested', 0.3, 0.4),
      measured(id, 'washedAndDried', 0.3 * after, 0.4),
    ];
    const plusMinus = (...after: number[]): number =>
      fabricChanges(after.flatMap((ratio, i) => piece(String(i), ratio)))[0]!.width.plusMinus95;
    expect(plusMinus(1.05, 1.05, 1.05, 1.05)).toBeCloseTo(plusMinus(1.05) / 2, 4);
    expect(plusMinus(1, 1.1, 1.02, 1.15)).toBeGreaterThan(2 * plusMinus(1.05));
  });

  it('compares only measurements of one piece, the last one of each state', () => {
    const changes = fabricChanges([
      measured('a', 'offMachine', 0.3, 0.4, 0.01, '2026-01-01T00:00:00.000Z'),
      measured('a', 'offMachine', 0.32, 0.4, 0.01, '2026-01-02T00:00:00.000Z'),
      measured('a', 'rested', 0.32, 0.4),
      measured('b', 'washedAndDried', 0.4, 0.5),
    ]);
    expect(changes.map(({ from, to }) => `${from} ${to}`)).toEqual(['offMachine rested']);
    expect(changes[0]?.width.value).toBe(0);
  });

  it('says nothing from a gauge without a ±, and nothing from nothing', () => {
    expect(fabricChanges([])).toEqual([]);
    expect(fabricChanges([measured('a', 'rested', 0.3, 0.4, 0), measured('a', 'worn', 0.3, 0.4, 0)])).toEqual(
      [],
    );
  });
});

describe('the density to expect after a change', () => {
  it('is the density that was measured after it, wherever one piece is all there is', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (before, after) => {
          const [change] = fabricChanges([
            measured('a', 'rested', before, 0.4),
            measured('a', 'worn', after, 0.4),
          ]);
          const expected = expectedDensity({ value: before, plusMinus95: 0.01 * before }, change!.width);
          expect(expected.value).toBeCloseTo(after, 9);
          expect(expected.plusMinus95).toBeGreaterThan(0.01 * after);
        },
      ),
    );
  });
});
