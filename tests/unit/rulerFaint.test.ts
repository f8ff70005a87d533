import { describe, expect, it } from 'vitest';
import { doubled } from '../../workers/scale/doubled';
import { sampleAt } from '../../workers/scale/pictures';
import { marksApartPx } from '../../workers/scale/rulerApart';
import { periodByClasses } from '../../workers/scale/rulerClasses';
import { rulerView } from '../../workers/scale/rulerView';
import { unreadMarks } from '../../workers/scale/rulerWords';
import { seeded } from '../builders/random';

describe('the longer marks of a faint scale', () => {
  const random = seeded(11);
  /** Marks that stand out by 10 grey levels as far in as they reach, in grain of the given size. */
  const heights = (stands: (k: number) => boolean, grain: number) =>
    new Map(
      Array.from({ length: 120 }, (_, k) => [
        k - 40,
        Math.max(0, (stands(k - 40) ? 10 : 0) + grain * random.normal()),
      ]),
    );
  const all = (): boolean => true;

  it('are told by all of a class together where single ones drown in grain', () => {
    const fifths = (k: number): boolean => k % 5 === 0;
    const tenths = (k: number): boolean => k % 10 === 0;
    expect(periodByClasses([heights(all, 3), heights(fifths, 3), heights(tenths, 3)])).toBe(10);
    expect(periodByClasses([heights(all, 3), heights(fifths, 3)])).toBe(5);
    expect(periodByClasses([heights(all, 3), heights((k) => k % 8 === 0, 3)])).toBe(8);
  });

  it('are not read out of grain, nor out of marks that all end together', () => {
    const none = (): boolean => false;
    const ending = [heights(all, 3), heights(all, 3), ...Array.from({ length: 20 }, () => heights(none, 3))];
    expect(periodByClasses(ending)).toBeNull();
    expect(periodByClasses([])).toBeNull();
  });
});

describe('a picture made twice as large', () => {
  /** Stripes of the given period, square to x. */
  const striped = (periodPx: number) => ({
    widthPx: 240,
    heightPx: 20,
    data: Float32Array.from({ length: 4800 }, (_, i) =>
      Math.cos((2 * Math.PI * ((i % 240) + 0.5)) / periodPx),
    ),
  });

  it('keeps lines of two and a half px everywhere, which straight lines between pixels lose halfway', () => {
    const picture = striped(2.4);
    const twice = doubled(picture);
    const strength = (at: (x: number) => number): number => {
      // What is left of the stripes over ten periods, at places halfway between pixels and on them alike.
      let least = Number.POSITIVE_INFINITY;
      for (let from = 20; from < 180; from += 0.6) {
        let product = 0;
        for (let x = from; x < from + 3.6; x += 0.1)
          product += (2 / 36) * at(x) * Math.cos((2 * Math.PI * x) / 2.4);
        least = Math.min(least, product);
      }
      return least;
    };
    expect(strength((x) => sampleAt(twice, 2 * x, 20))).toBeGreaterThan(
      1.15 * strength((x) => sampleAt(picture, x, 10)),
    );
  });

  it('shares its outer corner with the picture, and its mean', () => {
    const picture = striped(30);
    const twice = doubled(picture);
    expect([twice.widthPx, twice.heightPx]).toEqual([480, 40]);
    for (const x of [40, 71.3, 150]) {
      expect(sampleAt(twice, 2 * x, 20)).toBeCloseTo(Math.cos((2 * Math.PI * x) / 30), 1);
    }
  });

  it('is what small pictures are read in for a ruler; large ones are read as they are', () => {
    const seen = (widthPx: number, heightPx: number) => {
      const image = { widthPx, heightPx, data: new Float32Array(widthPx * heightPx) };
      const nothing = () => {
        throw new Error('Nothing is looked for.');
      };
      return rulerView({ lightness: () => image, edges: nothing, looseLines: nothing });
    };
    expect([seen(480, 360).factor, seen(480, 360).image.widthPx]).toEqual([2, 960]);
    expect([seen(1600, 1200).factor, seen(1600, 1200).image.widthPx]).toEqual([1, 1600]);
  });
});

describe('the spacing of marks that cannot be made out one by one', () => {
  const line = { from: { x: 10, y: 40 }, to: { x: 590, y: 40 } };
  /** A ruler's side at y = 40 with marks below it that stand out by hardly more than the grain. */
  const drawn = (spacingPx: number, height: number) => {
    const random = seeded(3);
    const data = Float32Array.from({ length: 600 * 80 }, (_, i) => {
      const [x, y] = [(i % 600) + 0.5, Math.floor(i / 600)];
      const mark = y > 40 && y < 56 ? height * Math.cos((2 * Math.PI * x) / spacingPx) : 0;
      return (y > 40 ? 170 : 60) + x / 20 + mark + 4 * random.normal();
    });
    return { widthPx: 600, heightPx: 80, data };
  };

  it('is told to a twentieth', () => {
    for (const spacingPx of [5, 7.3, 12])
      expect(Math.abs((marksApartPx(drawn(spacingPx, 3), line) ?? 0) / spacingPx - 1)).toBeLessThan(0.05);
  });

  it('is not told where nothing is even', () => {
    expect(marksApartPx(drawn(7, 0), line)).toBeNull();
  });

  it('is what she is told together with what to change', () => {
    expect(unreadMarks(2.1, 2)).toMatch(
      /only 4\.2 px apart in the photo, and 5\.0 px are needed: move the camera closer/,
    );
    expect(unreadMarks(6, 1)).toMatch(/about 6\.0 px apart .* too blurred or too pale .* hold it still/);
    expect(unreadMarks(null, 1)).toMatch(/put them where the marks begin, far apart/);
  });
});
