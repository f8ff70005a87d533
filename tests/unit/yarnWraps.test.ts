import { describe, expect, it } from 'vitest';
import { texFrom } from '../../src/domain/yarn';
import { texHintFromWraps } from '../../src/domain/yarnWraps';

describe('the hint that wraps per inch give', () => {
  // The "Yarn Standards" chart for spinners: wraps per inch against yards per pound, category by category.
  it.each([
    [17, 1901, 2400],
    [14.5, 1201, 1900],
    [12.5, 901, 1200],
    [10.5, 601, 900],
    [8.5, 401, 600],
  ])(
    'takes in the whole line of %d wraps of a published chart, %d to %d yards per pound',
    (wraps, low, high) => {
      const { from, to } = texHintFromWraps(wraps);
      expect(texFrom('yardsPerPound', high)).toBeGreaterThan(from);
      expect(texFrom('yardsPerPound', low)).toBeLessThan(to);
    },
  );

  it('says nothing about no wraps', () => {
    expect(() => texHintFromWraps(0)).toThrow('more than zero');
    expect(() => texHintFromWraps(Number.NaN)).toThrow(RangeError);
  });
});
