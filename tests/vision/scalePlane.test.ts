import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { axesSeenWith, cameraPose, priorFocalPx } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import { coins, easilyConfused, measurableCoins, searchCoins } from '../../src/domain/coins';
import { paperSize } from '../../src/domain/paper';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { fitPlaneAndLens, fitPlaneToLines } from '../../src/domain/planeFit';
import { mapPoint, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { bowed, straightened, straightLens } from '../../src/domain/planeFitLens';
import { homographyFromPoints, squareToQuad } from '../../src/domain/planeFitPoints';
import { cardSize } from '../../workers/scale/card';
import { noiseOf } from './scaleScenes';

const square = [
  { x: 0, y: 0 },
  { x: 1, y: 0 },
  { x: 1, y: 1 },
  { x: 0, y: 1 },
] as const;

/** Plane of equal units seen by a camera: focal length, tilt about x, turn in the plane, distance. */
const seenBy = (focalPx: number, tiltDeg: number, turnDeg: number, distance: number): Homography => {
  const [c, s] = [Math.cos((tiltDeg * Math.PI) / 180), Math.sin((tiltDeg * Math.PI) / 180)];
  const [p, q] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
  const planeToPhoto = multiply3(
    [focalPx, 0, 1000, 0, focalPx, 750, 0, 0, 1],
    [p, -q, 0, c * q, c * p, 0, s * q, s * p, distance],
  );
  return normalised(invertHomography(planeToPhoto));
};

const facts = { widthPx: 2000, heightPx: 1500, focalLength35Mm: null };

const gridSightings = (
  photoToPlane: Homography,
  noise: number,
  lens = straightLens(2000, 1500),
): LineSighting[] => {
  const random = noiseOf(3);
  const back = invertHomography(photoToPlane);
  const out: LineSighting[] = [];
  for (const axis of [0, 1] as const) {
    for (let k = -6; k <= 6; k++) {
      for (let t = -6; t <= 6; t += 0.25) {
        const [sx, sy] = axis === 0 ? mapPoint(back, k * 10, t * 10) : mapPoint(back, t * 10, k * 10);
        const [x, y] = bowed(lens, sx, sy);
        out.push({
          x: x + noise * random(),
          y: y + noise * random(),
          axis,
          index: k * 10,
          group: 2 * k + axis,
        });
      }
    }
  }
  return out;
};

describe('homographies', () => {
  // Square-to-quadrilateral formulas of P. Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989; worked by hand.
  it('carry the unit square onto (0,0) (4,0) (3,2) (1,2) as [[4,2,0],[0,4,0],[0,1,1]]', () => {
    const quad = [
      { x: 0, y: 0 },
      { x: 4, y: 0 },
      { x: 3, y: 2 },
      { x: 1, y: 2 },
    ] as const;
    for (const h of [squareToQuad(quad)!, homographyFromPoints(square, quad)!]) {
      for (const [i, v] of [4, 2, 0, 0, 4, 0, 0, 1, 1].entries()) expect(h[i]).toBeCloseTo(v, 10);
      const [x, y] = mapPoint(h, 0.5, 0.5);
      expect(x).toBeCloseTo(2, 10);
      expect(y).toBeCloseTo(4 / 3, 10);
    }
  });

  it('agree with the singular vector that ml-matrix finds for the same noisy points', () => {
    const random = noiseOf(11);
    const truth = seenBy(1500, 14, 20, 150);
    const from = Array.from({ length: 40 }, () => ({ x: 1000 + 1800 * random(), y: 750 + 1400 * random() }));
    const to = from.map((p) => {
      const [x, y] = mapPoint(truth, p.x, p.y);
      return { x: x + 0.02 * random(), y: y + 0.02 * random() };
    });
    const ours = homographyFromPoints(from, to)!;
    const scale = 1 / 1000;
    const rows = from.flatMap((p, i) => {
      const [x, y, u, v] = [p.x * scale - 1, p.y * scale - 0.75, to[i]!.x / 50, to[i]!.y / 50];
      return [
        [x, y, 1, 0, 0, 0, -u * x, -u * y, -u],
        [0, 0, 0, x, y, 1, -v * x, -v * y, -v],
      ];
    });
    const decomposition = new SingularValueDecomposition(new Matrix(rows), { autoTranspose: true });
    const h = decomposition.rightSingularVectors.getColumn(8);
    const theirs = multiply3(
      [50, 0, 0, 0, 50, 0, 0, 0, 1],
      multiply3(h, [scale, 0, -1, 0, scale, -0.75, 0, 0, 1]),
    );
    for (const [x, y] of [
      [200, 200],
      [1000, 750],
      [1800, 1300],
    ] as const) {
      const [a, b] = mapPoint(ours, x, y);
      const [c, d] = mapPoint(theirs, x, y);
      // Both minimise slightly different sums of squares of the same 0.006 mm noise.
      expect(Math.hypot(a - c, b - d)).toBeLessThan(0.005);
    }
  });

  it('do not exist for three corners on a line', () => {
    expect(
      homographyFromPoints(square, [
        { x: 0, y: 0 },
        { x: 1, y: 0 },
        { x: 2, y: 0 },
        { x: 0, y: 1 },
      ]),
    ).toBeNull();
  });

  it('fitted to noisy lines come back within their own uncertainty, although a tenth of the places are wild', () => {
    const truth = seenBy(1500, 12, 8, 150);
    const random = noiseOf(5);
    const sightings = gridSightings(truth, 0.6).map((s) =>
      random() > 0.4 ? { ...s, x: s.x + 30 * random() } : s,
    );
    const fit = fitPlaneToLines(sightings, seenBy(1450, 11, 9, 152))!;
    const [x, y] = mapPoint(fit.photoToPlane, 1000, 750);
    const [tx, ty] = mapPoint(truth, 1000, 750);
    expect(Math.hypot(x - tx, y - ty)).toBeLessThan(0.01);
    expect(fit.residualPx).toBeGreaterThan(0.1);
    expect(fit.residualPx).toBeLessThan(0.4);
  });
});

describe('the lens', () => {
  it('bows and straightens as inverses of each other', () => {
    const lens = { ...straightLens(2000, 1500), bow: 0.02 };
    const [x, y] = straightened(lens, ...bowed(lens, 1900, 80));
    expect(x).toBeCloseTo(1900, 3);
    expect(y).toBeCloseTo(80, 3);
  });

  it('is told from the bowing of the lines', () => {
    const lens = { ...straightLens(2000, 1500), bow: 0.015 };
    const truth = seenBy(1500, 8, 5, 130);
    const fit = fitPlaneAndLens(gridSightings(truth, 0.4, lens), truth, straightLens(2000, 1500), true)!;
    expect(fit.lens.bow).toBeCloseTo(0.015, 3);
    expect(Math.abs(fit.lens.bow - 0.015)).toBeLessThan(5 * fit.bowUncertainty!);
  });
});

describe('the camera over a plane', () => {
  const exact = (h: Homography) => ({
    photoToPlane: h,
    covariance: new Array<number>(64).fill(0).map((_, k) => (k % 9 === 0 ? 1e-18 : 0)),
  });

  it('stands at its true height and tilt, within their uncertainty, when the plane shows the focal length', () => {
    const pose = cameraPose(exact(seenBy(1350, 20, 30, 160)), facts);
    const height = 160 * Math.cos((20 * Math.PI) / 180);
    expect(Math.abs(pose.focalPx.value - 1350)).toBeLessThan(2 * pose.focalPx.standardUncertainty);
    // The perspective narrows the usual focal length's 14 % to a few.
    expect(pose.focalPx.standardUncertainty / 1350).toBeLessThan(0.06);
    expect(Math.abs(pose.height.value / height - 1)).toBeLessThan(0.03);
    expect((pose.tiltRad * 180) / Math.PI).toBeCloseTo(20, 0);
  });

  it('falls back over a plane seen squarely on a focal length that phones and cameras share, 30 mm, and is as uncertain as that', () => {
    const pose = cameraPose(exact(seenBy(1500, 0, 10, 150)), facts);
    const stated = priorFocalPx({ ...facts, focalLength35Mm: 30 });
    expect(pose.focalPx.value).toBeCloseTo(stated.value, 0);
    // Between a phone's 24 mm and a camera's 50 mm nothing is seen.
    expect(pose.height.standardUncertainty / pose.height.value).toBeGreaterThan(0.25);
  });

  it('trusts what a tilted plane shows of the focal length over what is usual, also of a lens of 50 mm', () => {
    const stated = priorFocalPx({ ...facts, focalLength35Mm: 50 }).value;
    const { focalPx, height } = cameraPose(exact(seenBy(stated, 12, 10, 150)), facts);
    expect(Math.abs(focalPx.value / stated - 1)).toBeLessThan(0.05);
    expect(Math.abs(height.value - 150)).toBeLessThan(2 * height.standardUncertainty);
  });

  it('takes the focal length that the file states over the sensor’s diagonal: the frame of 35 mm film has one of 43.27 mm', () => {
    const stated = (widthPx: number, heightPx: number): number =>
      priorFocalPx({ widthPx, heightPx, focalLength35Mm: 27 }).value;
    expect(stated(2000, 1500)).toBeCloseTo((27 / 43.267) * 2500, 0);
    expect(stated(1800, 1200)).toBeCloseTo((27 / 36) * 1800, 6);
    // A wide or a square picture is cut out of a 4:3 sensor and keeps that one's focal length.
    expect(stated(2000, 1125)).toBeCloseTo(stated(2000, 1500), 9);
    expect(stated(1500, 1500)).toBeCloseTo(stated(2000, 1500), 9);
  });

  it('sees the axes of a square plane square and equally long', () => {
    const { ratio, cosine } = axesSeenWith(seenBy(1500, 25, 40, 150), facts, 1500);
    expect(ratio).toBeCloseTo(1, 9);
    expect(cosine).toBeCloseTo(0, 9);
  });

  it('is found from the four sides of a card, with the focal length held', () => {
    const truth = seenBy(1500, 15, 12, 180);
    const back = invertHomography(truth);
    const sides: [0 | 1, number, (t: number) => [number, number]][] = [
      [1, 0, (t) => [85.6 * t, 0]],
      [0, 85.6, (t) => [85.6, 53.98 * t]],
      [1, 53.98, (t) => [85.6 * t, 53.98]],
      [0, 0, (t) => [0, 53.98 * t]],
    ];
    const sightings = sides.flatMap(([axis, index, at], group) =>
      Array.from({ length: 30 }, (_, i): LineSighting => {
        const [x, y] = mapPoint(back, ...at((i + 0.5) / 30));
        return { x, y, axis, index, group };
      }),
    );
    const fit = fitCameraToLines(sightings, seenBy(1500, 13, 12.5, 182), facts, 0.5)!;
    const [x, y] = mapPoint(fit.photoToPlane, 1500, 400);
    const [tx, ty] = mapPoint(truth, 1500, 400);
    expect(Math.hypot(x - tx, y - ty)).toBeLessThan(0.05);
  });
});

describe('published sizes', () => {
  it('of the ID-1 card are those of ISO/IEC 7810: 85.60 × 53.98 mm, 0.76 mm thick', () => {
    expect([cardSize.longMm, cardSize.shortMm, cardSize.heightMm]).toEqual([85.6, 53.98, 0.76]);
    // Its rounded corners (3.18 mm) are left out of every side.
    expect(cardSize.leaveOut * cardSize.shortMm).toBeGreaterThan(3.18);
  });

  it('of sheets are those of ISO 216, each half of the next larger one, and Letter is 8.5 × 11 in', () => {
    expect(paperSize('A4')).toMatchObject({ shortMm: 210, longMm: 297 });
    expect(paperSize('A5')).toMatchObject({ shortMm: 148, longMm: 210 });
    expect(paperSize('A6')).toMatchObject({ shortMm: 105, longMm: 148 });
    expect(Math.floor(paperSize('A4').longMm / 2)).toBe(paperSize('A5').shortMm);
    expect(paperSize('Letter').shortMm).toBeCloseTo(8.5 * 25.4, 9);
    expect(paperSize('Letter').longMm).toBeCloseTo(11 * 25.4, 9);
  });

  // United States Mint, Coin Specifications; EUR-Lex summary of Regulation (EC) 975/98; The Royal Mint; Japan Mint; Norges Bank.
  it('of coins are those that the mints give', () => {
    const sizes: [country: string, name: string, diameterMm: number][] = [
      ['United States', '1 cent', 19.05],
      ['United States', '25 cents', 24.26],
      ['Euro area', '2 euro', 25.75],
      ['Euro area', '1 euro', 23.25],
      ['United Kingdom', '1 pound, point to point', 23.43],
      ['Japan', '10 yen', 23.5],
      ['Norway', '20 kroner', 27.5],
      ['Sweden', '1 krona', 19.5],
    ];
    for (const [country, name, diameterMm] of sizes) {
      expect(coins.find((c) => c.country === country && c.name === name)?.diameterMm).toBe(diameterMm);
    }
  });

  it('are found by words of country and name, in any order', () => {
    expect(searchCoins('euro 2').map((c) => c.name)).toContain('2 euro');
    expect(searchCoins('norway').every((c) => c.country === 'Norway')).toBe(true);
    expect(searchCoins('no such coin')).toEqual([]);
  });

  it('leave coins out of the measurable ones whose outline is no circle', () => {
    expect(measurableCoins().some((c) => c.shape === 'polygon' || c.shape === 'constantWidth')).toBe(false);
  });

  it('name the coins that a diameter cannot tell apart', () => {
    const quarter = coins.find((c) => c.country === 'United States' && c.name === '25 cents')!;
    expect(easilyConfused(quarter).map((c) => `${c.country} ${c.name}`)).toContain('Euro area 50 cent');
  });
});
