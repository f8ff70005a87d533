import { describe, expect, it } from 'vitest';
import { withoutDye } from '../../workers/stitches/dye';

type Rgb = readonly [number, number, number];

const side = 160;

/** Shade in waves, as rows of stitches give it: 0.7 to 1.3. */
const shadeAt = (x: number, y: number): number =>
  1 + 0.3 * Math.sin((2 * Math.PI * x) / 9) * Math.cos((2 * Math.PI * y) / 7);

/** Two yarns in stripes 20 px high, shaded alike. */
const striped = (dyes: readonly Rgb[]) => {
  const data = new Uint8ClampedArray(4 * side * side);
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const dye = dyes[Math.floor(y / 20) % dyes.length] as Rgb;
      dye.forEach((channel, c) => {
        data[4 * (y * side + x) + c] = channel * shadeAt(x, y);
      });
      data[4 * (y * side + x) + 3] = 255;
    }
  }
  return { widthPx: side, heightPx: side, data };
};

const correlation = (a: readonly number[], b: readonly number[]): number => {
  const mean = (v: readonly number[]) => v.reduce((sum, x) => sum + x, 0) / v.length;
  const [ma, mb] = [mean(a), mean(b)];
  let ab = 0;
  let aa = 0;
  let bb = 0;
  a.forEach((x, i) => {
    const y = b[i] as number;
    ab += (x - ma) * (y - mb);
    aa += (x - ma) ** 2;
    bb += (y - mb) ** 2;
  });
  return ab / Math.sqrt(aa * bb);
};

const pixels = Array.from({ length: side * side }, (_, i) => [i % side, Math.floor(i / side)] as const);
const shade = pixels.map(([x, y]) => Math.log(shadeAt(x, y)));
const stripe = pixels.map(([, y]) => Math.floor(y / 20) % 2);

/** What is left of the shade on the dyes, as the smaller of its correlation coefficients, and of the stripe. */
const leftOf = (dyes: readonly Rgb[]) => {
  const { data } = withoutDye(striped(dyes));
  const grey = pixels.map((_, i) => data[4 * i] as number);
  const on = (dye: number, values: readonly number[]) => values.filter((_, i) => stripe[i] === dye);
  return {
    shade: Math.min(...[0, 1].map((dye) => correlation(on(dye, grey), on(dye, shade)))),
    stripe: Math.abs(correlation(grey, stripe)),
  };
};

describe('a picture without its dye', () => {
  it('keeps the shade and loses the stripes of two colours that are not equally light', () => {
    const left = leftOf([
      [110, 40, 150],
      [140, 195, 170],
    ]);
    expect(left.shade).toBeGreaterThan(0.9);
    expect(left.stripe).toBeLessThan(0.1);
  });

  it('keeps the shade and loses the stripes of white and black, which have no colour', () => {
    const left = leftOf([
      [190, 190, 190],
      [30, 30, 30],
    ]);
    expect(left.shade).toBeGreaterThan(0.9);
    expect(left.stripe).toBeLessThan(0.1);
  });

  it('keeps the shade of yarn of one colour', () => {
    expect(leftOf([[150, 110, 60]]).shade).toBeGreaterThan(0.9);
  });

  it('shows no seam between two dyes much stronger than the shade', () => {
    const soft = striped([
      [190, 190, 190],
      [30, 30, 30],
    ]);
    // A seam as a lens gives it: one row of neither dye, too seldom to be learnt.
    for (let y = 20; y < side; y += 20)
      for (let x = 0; x < side; x++)
        soft.data.fill(x % 7 === 0 ? 255 : 95, 4 * (y * side + x), 4 * (y * side + x) + 3);
    const { data } = withoutDye(soft);
    const strength = (rows: (y: number) => boolean): number => {
      const values = pixels.flatMap(([, y], i) => (rows(y) ? [Math.abs((data[4 * i] as number) - 128)] : []));
      return values.sort((a, b) => a - b)[values.length >> 1] as number;
    };
    expect(strength((y) => y % 20 === 0 && y > 0)).toBeLessThan(4 * strength((y) => y % 20 !== 0));
  });

  it('is grey, opaque and as large as the picture', () => {
    const { widthPx, heightPx, data } = withoutDye(striped([[90, 20, 20]]));
    expect([widthPx, heightPx, data.length]).toEqual([side, side, 4 * side * side]);
    for (let k = 0; k < data.length; k += 4)
      expect([data[k + 1], data[k + 2], data[k + 3]]).toEqual([data[k], data[k], 255]);
  });
});
