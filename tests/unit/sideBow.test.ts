import { describe, expect, it } from 'vitest';
import { bowed, straightLens } from '../../src/domain/planeFitLens';
import { bowOfSides } from '../../workers/scale/sideBow';
import type { MeasuredSide } from '../../workers/scale/sides';
import { seeded } from '../builders/random';

const lens = straightLens(1600, 1200);
/** Sides of a rectangle off the photo's middle. */
const corners = [
  [900, 150],
  [1500, 200],
  [1450, 560],
  [860, 510],
] as const;

/** Four sides as a bowing lens shows them; `offPx` moves a place square to its side, by the share of the side that lies before it. */
const sidesSeen = (bow: number, offPx: (share: number, side: number) => number): MeasuredSide[] =>
  corners.map(([x0, y0], n) => {
    const [x1, y1] = corners[(n + 1) % 4] ?? corners[0];
    const length = Math.hypot(x1 - x0, y1 - y0);
    const places = Array.from({ length: 100 }, (_, i) => {
      const t = 0.08 + (0.84 * i) / 99;
      const off = offPx(t, n);
      const [x, y] = bowed({ ...lens, bow }, x0 + t * (x1 - x0), y0 + t * (y1 - y0));
      return { x: x - (off * (y1 - y0)) / length, y: y + (off * (x1 - x0)) / length };
    });
    return { places, seenShare: 1, step: 20, openPx: 0 };
  });

describe('the bow that the sides of a rectangle tell', () => {
  it('is found where sharp sides are bent by it alone', () => {
    const random = seeded(5);
    const { lens: found, uncertainty } = bowOfSides(
      sidesSeen(0.015, () => 0.05 * random.normal()),
      lens,
    );
    expect(Math.abs(found.bow - 0.015)).toBeLessThan(0.002);
    expect(uncertainty).toBeLessThan(0.002);
  });

  it('is none where straight sides are sharp', () => {
    const random = seeded(6);
    const { lens: found } = bowOfSides(
      sidesSeen(0, () => 0.05 * random.normal()),
      lens,
    );
    expect(Math.abs(found.bow)).toBeLessThan(0.001);
  });

  it('is left open where streaks of the ground move the sides in waves', () => {
    const wavy = sidesSeen(0, (t, n) => 0.5 * Math.sin(2 * Math.PI * (2.3 * t + 0.21 * n)));
    const { lens: found, uncertainty } = bowOfSides(wavy, lens);
    // Half a px in the middle of a side of 600 px would else be taken for a bow of over 0.02.
    expect(Math.abs(found.bow)).toBeLessThan(0.005);
    expect(uncertainty).toBeGreaterThan(0.003);
    expect(Math.abs(found.bow)).toBeLessThan(2 * uncertainty);
  });

  it('is not told by one side that a shadow bends', () => {
    const random = seeded(7);
    const { lens: found } = bowOfSides(
      sidesSeen(0, (t, n) => (n === 1 && t < 0.35 ? -1.5 : 0) + 0.05 * random.normal()),
      lens,
    );
    expect(Math.abs(found.bow)).toBeLessThan(0.002);
  });
});
