import { describe, expect, it } from 'vitest';
import type { GridLine } from '../../src/domain/grid';
import { needleGapsOf } from '../../src/domain/needleGaps';

/** Wales as a row of letters: s for a column of stitches, a dot for an empty needle. */
const walesLike = (letters: string): GridLine[] =>
  [...letters].map((letter, i) => ({
    id: `${i}`,
    kind: letter === '.' ? 'needleGap' : 'stitch',
    points: [],
    origin: 'detected',
  }));

const shareIn = (letters: string, from = 0, to = letters.length - 1): number =>
  needleGapsOf(walesLike(letters), from, to).stitchShare;

describe('The share of needles that carry stitches', () => {
  it('is one where no needle is empty', () => {
    expect(needleGapsOf(walesLike('sssss'), 0, 4)).toEqual({ period: null, first: 0, stitchShare: 1 });
  });

  it('is three of four where every fourth needle is out, wherever the window begins', () => {
    for (const [from, to] of [
      [0, 14],
      [1, 12],
      [3, 13],
    ] as const)
      expect(shareIn('s.sss.sss.sss.s', from, to)).toBe(0.75);
  });

  it('is one half where two needles carry stitches and two do not, wherever the window cuts a pair', () => {
    const letters = 'ss..ss..ss..ss..s';
    expect(needleGapsOf(walesLike(letters), 0, 16)).toEqual({ period: 4, first: 2, stitchShare: 0.5 });
    for (let from = 0; from < 6; from++)
      for (let to = from + 9; to < letters.length; to++) expect(shareIn(letters, from, to)).toBe(0.5);
  });

  it('is counted over all of the fabric where a narrow window holds less than a repeat', () => {
    expect(shareIn('s.sss.sss.s', 2, 4)).toBe(0.75);
  });

  it('tells no repeat where the gaps come irregularly', () => {
    expect(needleGapsOf(walesLike('s.ss.sss.s'), 0, 9).period).toBeNull();
  });
});
