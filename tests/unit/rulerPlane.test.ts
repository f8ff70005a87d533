import { describe, expect, it } from 'vitest';
import { slopesOf } from '../../src/domain/cameraLevel';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { localScale, mapPoint, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { bowed, straightLens } from '../../src/domain/planeFitLens';
import { fitMarks } from '../../workers/scale/rulerPlane';
import { seeded } from '../builders/random';

const camera = { widthPx: 1500, heightPx: 2000, focalLength35Mm: 26 };
const focalPx = (26 * Math.hypot(1500, 2000)) / Math.hypot(36, 24);
const middle = { x: 750, y: 1000 };

/** Photo px → steps (3 mm each) of a ruler 270 mm from a camera that is tilted about both axes; its step 0 lies `from` the photo's middle, mm. */
const rulerSeen = (tiltX: number, tiltY: number, from: readonly [number, number]): Homography => {
  const [c, s] = [Math.cos(tiltX), Math.sin(tiltX)];
  const [p, q] = [Math.cos(tiltY), Math.sin(tiltY)];
  // Columns of Ry(tiltY) Rx(tiltX): along the ruler (photo's y), then across it.
  const [along, across] = [
    [q * s, c, p * s],
    [-p, 0, q],
  ];
  const place = [0, 1, 2].map(
    (k) => (from[0] / 3) * -(across[k] ?? 0) + (from[1] / 3) * (along[k] ?? 0) + (k === 2 ? 90 : 0),
  );
  const planeToCamera = [0, 1, 2].flatMap((k) => [along[k] ?? 0, across[k] ?? 0, place[k] ?? 0]);
  return normalised(invertHomography(multiply3([focalPx, 0, 750, 0, focalPx, 1000, 0, 0, 1], planeToCamera)));
};

/** Places on the marks of the upper half of a ruler along the right side of the photo, and on its edge, as a lens that bows shows them. */
const seenThrough = (toSteps: Homography, bow: number, noisePx: number): LineSighting[] => {
  const random = seeded(7);
  const lens = { ...straightLens(1500, 2000), bow };
  const back = invertHomography(toSteps);
  const at = (u: number, v: number): { x: number; y: number } => {
    const [x, y] = bowed(lens, ...mapPoint(back, u, v));
    return { x: x + noisePx * random.normal(), y: y + noisePx * random.normal() };
  };
  const marks = Array.from({ length: 24 }, (_, k) =>
    [0.4, 0.7, 1, 1.3].map((v): LineSighting => ({ ...at(k, v), axis: 0, index: k, group: k })),
  );
  const edge = Array.from(
    { length: 12 },
    (_, k): LineSighting => ({ ...at(2 * k, 0), axis: 1, index: 0, group: 1e6 }),
  );
  return [...marks.flat(), ...edge];
};

const fitted = (bow: number, noisePx = 0.05) => {
  const toSteps = rulerSeen(0.05, -0.04, [104, -150]);
  const [slopeX, slopeY] = slopesOf(toSteps, camera, focalPx);
  const ruler = {
    sightings: seenThrough(toSteps, bow, noisePx),
    toSteps,
    first: 0,
    last: 23,
    seen: Array.from({ length: 24 }, (_, k) => k),
    side: 1,
    longPeriod: 8,
    contrast: 100,
    reachPx: 30,
    stepPx: 10,
    isFaint: false,
    score: 0.85,
  };
  // The rest of the photo tells the level to about a hundredth of a radian here, and says that it may be three off.
  const level = { slopeX: slopeX + 0.008, slopeY: slopeY - 0.006, uncertainty: 0.03 };
  const marks = fitMarks(ruler, camera, level, middle)!;
  const scale = (h: Homography): number => Math.log(localScale(h, middle.x, middle.y));
  return { off: scale(marks.fit.photoToPlane) - scale(toSteps), marks };
};

describe('the plane of a ruler at one side of a photo', () => {
  it.each([-0.012, -0.006, 0, 0.006, 0.012])(
    'gives lengths in the middle to 0.4 % through a lens that moves the corners by %f: its bow is not taken for tilt',
    (bow) => {
      const { off, marks } = fitted(bow);
      expect(Math.abs(off)).toBeLessThan(0.004);
      expect(Math.abs(off)).toBeLessThan(2 * marks.bowShare);
    },
  );

  it('leaves open what the marks do not tell of the bow: blurred ones give wider lengths', () => {
    const [sharp, blurred] = [fitted(0.006, 0.05), fitted(0.006, 0.4)];
    expect(blurred.marks.bowShare).toBeGreaterThan(1.3 * sharp.marks.bowShare);
    expect(Math.abs(blurred.off)).toBeLessThan(2 * blurred.marks.bowShare);
  });
});
