import { describe, expect, it } from 'vitest';
import { windowOf } from '../../workers/stitches/lines';
import type { Lattice } from '../../workers/stitches/smooth';

const SIZE = 20;
const WALE_PX = 12;
const COURSE_PX = 9;

/** A square lattice of which a corner of so many lines each way was not read. */
const latticeWithout = (corner: number): Lattice => {
  const lines = Array.from({ length: SIZE }, (_, i) => i);
  const isRead = (w: number, c: number): boolean => w >= corner || c >= corner;
  return {
    wales: SIZE,
    courses: SIZE,
    places: lines.map((w) => lines.map((c) => (isRead(w, c) ? { x: w * WALE_PX, y: c * COURSE_PX } : null))),
    seen: lines.map((w) => lines.map((c) => isRead(w, c))),
    gaps: lines.map(() => false),
    first: { wale: 0, course: 0 },
    scatter: { wale: 0.02, course: 0.02 },
  };
};

const window = (corner: number) => windowOf(latticeWithout(corner), (p) => p);

describe('the counted window', () => {
  it('is the middle 60 % each way of a fabric that was read whole', () => {
    expect(window(0)?.window.corners[0]).toEqual({ x: 3.5 * WALE_PX, y: 3.5 * COURSE_PX });
    expect(window(0)?.window.corners[2]).toEqual({ x: 15.5 * WALE_PX, y: 15.5 * COURSE_PX });
  });

  it('is smaller where a corner of it was not read, and has the same pitch', () => {
    const found = window(5);
    expect(found?.window.corners[0]).toEqual({ x: 5.5 * WALE_PX, y: 5.5 * COURSE_PX });
    expect(found?.pitchPx.wale).toBeCloseTo(WALE_PX, 9);
    expect(found?.pitchPx.course).toBeCloseTo(COURSE_PX, 9);
  });

  it('holds whole repeats, since a part of one has another gauge: needles out stand unevenly', () => {
    const at = (w: number): number => w * WALE_PX + (w % 3 === 2 ? 0.3 * WALE_PX : 0);
    const plain = latticeWithout(0);
    const lattice: Lattice = {
      ...plain,
      places: plain.places.map((wale, w) => wale.map((p) => p && { ...p, x: at(w) })),
      gaps: plain.gaps.map((_, w) => w % 3 === 2),
    };
    const found = windowOf(lattice, (p) => p);
    expect(found?.needlePx).toBeCloseTo(WALE_PX, 9);
    expect(found?.pitchPx.wale).toBeCloseTo(1.5 * WALE_PX, 9);
  });

  it('spreads needles out in one place alone over all needles, and counts nothing where no wale carries stitches', () => {
    const withGaps = (isGap: (w: number) => boolean) => {
      const plain = latticeWithout(0);
      return windowOf({ ...plain, gaps: plain.gaps.map((_, w) => isGap(w)) }, (p) => p);
    };
    expect(withGaps((w) => w === 9 || w === 10)?.pitchPx.wale).toBeCloseTo((WALE_PX * SIZE) / (SIZE - 2), 9);
    expect(withGaps(() => true)).toBeNull();
  });

  it('is none where hardly anything but a corner is left', () => {
    expect(window(13)).toBeNull();
  });
});
