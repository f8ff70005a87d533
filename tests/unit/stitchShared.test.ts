import { describe, expect, it } from 'vitest';
import { cellPx } from '../../workers/stitches/rectify';
import { sharedDownTheWales } from '../../workers/stitches/shared';
import type { Lattice } from '../../workers/stitches/smooth';
import type { Channels } from '../../workers/stitches/template';
import { seeded } from '../builders/random';

const wales = 16;
const courses = 20;

/** A straightened picture of one channel. */
const picture = (valueAt: (x: number, y: number) => number): Channels => {
  const widthPx = (wales + 1) * cellPx.width;
  const heightPx = (courses + 1) * cellPx.height;
  const data = Float32Array.from({ length: widthPx * heightPx }, (_, k) =>
    valueAt(k % widthPx, Math.floor(k / widthPx)),
  );
  return { widthPx, heightPx, data, count: 1 };
};

/** A grid with a stitch in every cell. */
const grid = (waleCount: number = wales, courseCount: number = courses): Lattice => {
  const table = <T>(cell: (w: number, c: number) => T): T[][] =>
    Array.from({ length: waleCount }, (_, w) => Array.from({ length: courseCount }, (_, c) => cell(w, c)));
  return {
    wales: waleCount,
    courses: courseCount,
    places: table((w, c) => ({ x: (w + 1) * cellPx.width, y: (c + 1) * cellPx.height })),
    seen: table(() => true),
    gaps: Array.from({ length: waleCount }, () => false),
    first: { wale: 0, course: 0 },
    scatter: { wale: 0, course: 0 },
  };
};

/** One wave a course high: √2 times it has the power of noise of deviation 1. */
const wave = (y: number): number => Math.SQRT2 * Math.sin((2 * Math.PI * y) / cellPx.height);

describe('what all stitches of a grid share down the wales', () => {
  it('is all of what changes there where they are the same', () => {
    expect(
      sharedDownTheWales(
        picture((_, y) => wave(y)),
        grid(),
      ),
    ).toBeCloseTo(1, 6);
  });

  it('is the part of the power that is not noise', () => {
    const random = seeded(7);
    const noisy = picture((_, y) => wave(y) + random.normal());
    // Noise has power 1 less 1 in 12 for the mean of a column that is taken away: 1 of 1.917.
    expect(sharedDownTheWales(noisy, grid())).toBeCloseTo(12 / 23, 1);
  });

  it('is nothing where stitches are alike by chance only', () => {
    const random = seeded(8);
    expect(
      Math.abs(
        sharedDownTheWales(
          picture(() => random.normal()),
          grid(),
        ) ?? 1,
      ),
    ).toBeLessThan(0.02);
  });

  it('is next to nothing where a beat other than that of the courses runs down the wales', () => {
    const beat = picture((_, y) => wave(0.93 * y));
    expect(sharedDownTheWales(beat, grid())).toBeLessThan(0.1);
  });

  it('does not count what is the same all the way down, and cannot be told of a plain surface or of a few stitches', () => {
    expect(
      sharedDownTheWales(
        picture((x) => Math.sin(x)),
        grid(),
      ),
    ).toBeNull();
    expect(
      sharedDownTheWales(
        picture((_, y) => wave(y)),
        grid(5, 6),
      ),
    ).toBeNull();
  });
});
