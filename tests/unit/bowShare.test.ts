import { describe, expect, it } from 'vitest';
import { bowShare, bowTiltShare } from '../../workers/scale/bowShare';

/** A photo of the film's shape, 3 : 2, whose diagonal stands for the film's (CIPA DCG-001, from memory). */
const camera = { widthPx: 3600, heightPx: 2400, focalLength35Mm: 26 };
const focalPx = 26 * 100;
const middle = { x: 1800, y: 1200 };
/** Radial distortion of the first order, as in R. Hartley & A. Zisserman, Multiple View Geometry, 2nd ed. 2004, 7.4. */
const bowed = (k: number, { x, y }: { x: number; y: number }) => {
  const [px, py] = [(x - 1800) / focalPx, (y - 1200) / focalPx];
  const stretch = 1 + k * (px * px + py * py);
  return { x: 1800 + focalPx * px * stretch, y: 1200 + focalPx * py * stretch };
};
const far = (p: { x: number; y: number }, q: { x: number; y: number }) => Math.hypot(p.x - q.x, p.y - q.y);

describe('the share of a length that the bowing of a lens leaves open', () => {
  it('is one per cent from the middle of a main camera’s photo to its corner', () => {
    expect(bowShare(camera, [middle, { x: 3600, y: 2400 }], middle)).toBeCloseTo(0.01, 6);
  });

  it('grows as a bowed length does that is carried to the middle', () => {
    const ends = [
      { x: 1500, y: 2000 },
      { x: 2100, y: 2050 },
    ] as const;
    const k = 1e-4;
    const longer = far(bowed(k, ends[0]), bowed(k, ends[1])) / far(...ends) - 1;
    const usual = bowShare(camera, [middle, { x: 1800, y: 1200 + focalPx }], middle);
    expect(bowShare(camera, ends, middle) / usual).toBeCloseTo(longer / k, 3);
  });

  it('is larger for a swatch on the other side of the middle than beside the thing', () => {
    const ends = [
      { x: 1600, y: 2000 },
      { x: 2000, y: 2000 },
    ];
    const beside = bowShare(camera, ends, { x: 1800, y: 1900 });
    expect(bowShare(camera, ends, { x: 1800, y: 800 })).toBeGreaterThan(2 * beside);
  });

  it('is nothing for a small round thing in the swatch itself', () => {
    const rim = [0, 1, 2, 3].map((k) => ({
      x: 2600 + 5 * Math.cos((k * Math.PI) / 2),
      y: 1700 + 5 * Math.sin((k * Math.PI) / 2),
    }));
    expect(bowShare(camera, rim, { x: 2600, y: 1700 })).toBeLessThan(1e-5);
  });
});

describe('the share that bowed edges leave open when they tell the tilt', () => {
  const ends = [
    { x: 1600, y: 2000 },
    { x: 2000, y: 2000 },
  ] as const;

  it('grows with the way to the swatch as two bowed edges draw together', () => {
    const k = 1e-4;
    const apartAt = (y: number): number => far(bowed(k, { x: 1600, y }), bowed(k, { x: 2000, y })) / 400;
    const perPx = (apartAt(2010) - apartAt(1990)) / 20;
    const usual = bowShare(camera, [middle, { x: 1800, y: 1200 + focalPx }], middle);
    const told = bowTiltShare(camera, ends, { x: 1800, y: 1100 });
    expect(told / usual).toBeCloseTo((perPx * 900) / k, 3);
  });

  it('is nothing beside the jaws, on the line between them', () => {
    expect(bowTiltShare(camera, ends, { x: 2600, y: 2000 })).toBe(0);
  });
});
