import { describe, expect, it } from 'vitest';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { type DiscPose, distancesTo, facePlane, fitDisc, rimPoint, standing } from '../../workers/scale/disc';
import { cameraFoot, wallShare } from '../../workers/scale/wall';

const camera = { widthPx: 2000, heightPx: 1500, focalLength35Mm: 27 };
/** A coin of 25.75 × 2.2 mm to the right of the picture's middle, seen aslant. */
const pose: DiscPose = [0.05, 0.09, 1600, 410, Math.log(1500 / 138), 0.171, 1];

describe('a thick disc before the camera', () => {
  it('has a face whose rim is a circle of one diameter on the plane that it gives', () => {
    const disc = standing(pose, camera);
    const plane = facePlane(disc);
    for (const angle of [0, 1, 2.5, 4, 5.5]) {
      const { x, y } = rimPoint(disc, angle);
      expect(Math.hypot(...mapPoint(plane, x, y))).toBeCloseTo(0.5, 9);
    }
  });

  it('shows its wall only on the side towards the camera’s foot', () => {
    const disc = standing(pose, camera);
    const gaps = Array.from({ length: 36 }, (_, k) => {
      const { x, y } = rimPoint(disc, (2 * Math.PI * k) / 36);
      const { face, outline } = distancesTo(disc, x, y);
      return { left: x < pose[2], gap: face - outline };
    });
    const widest = gaps.reduce((a, b) => (b.gap > a.gap ? b : a));
    expect(widest.left).toBe(true);
    expect(widest.gap).toBeGreaterThan(5);
    expect(gaps.filter(({ gap }) => gap < 1e-6).length).toBeGreaterThan(12);
  });

  it('is found again from its rim, from a start that is off in place, size and slope', () => {
    const truth = standing(pose, camera);
    const rim = Array.from({ length: 60 }, (_, k) => rimPoint(truth, (2 * Math.PI * k) / 60));
    const start = [0.02, 0.05, 1604, 406, pose[4] + 0.03, 0.165, 1] as const;
    const fit = fitDisc(
      start,
      camera,
      {
        level: { slopeX: 0.02, slopeY: 0.05, uncertainty: 0.1 },
        thickness: { value: 0.171, uncertainty: 0.03 },
      },
      (disc) => rim.map(({ x, y }) => distancesTo(disc, x, y).face / 0.1),
    )!;
    const found = facePlane(fit.disc);
    for (const { x, y } of rim) expect(Math.hypot(...mapPoint(found, x, y))).toBeCloseTo(0.5, 3);
    expect(fit.disc.pose[0]).toBeCloseTo(pose[0], 1);
    expect(fit.disc.pose[1]).toBeCloseTo(pose[1], 1);
  });
});

describe('the wall below the edge of a face', () => {
  it('knows the camera’s foot and how wide the wall of a card shows', () => {
    // Straight above: 10 px a mm, 150 mm high with 1500 px of focal length; the middle of the photo lies under the camera.
    const film = { widthPx: 1800, heightPx: 1200, focalLength35Mm: 30 };
    const foot = cameraFoot([0.1, 0, 0, 0, 0.1, 0, 0, 0, 1], film);
    expect(foot.x).toBeCloseTo(90, 6);
    expect(foot.y).toBeCloseTo(60, 6);
    expect(foot.height).toBeCloseTo(150, 6);
    // ISO/IEC 7810: 0.76 mm thick; an edge 60 mm beside the foot shows 0.3 mm of wall.
    expect(60 * wallShare(0.76, foot)).toBeCloseTo(0.302, 3);
  });
});
