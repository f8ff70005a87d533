import fc from 'fast-check';
import { Matrix, solve } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { type Homography, toPlane } from '../../src/domain/plane';
import { latticeOf } from '../builders/fabric-lattice';
import { drawScene } from '../builders/scene';
import { cameraOf } from '../builders/scene-camera';
import { evenFabric, evenScene } from '../builders/scene-plain';
import { randomSpec, SCENE_KINDS } from '../builders/scene-random';
import { CARD_ID1, thingToTable } from '../builders/scene-reference';
import { centralRun, gaugeOfLattice } from '../builders/scene-truth';

const INCH = 25.4;

const through = (h: Homography, [x, y]: readonly [number, number]): [number, number] => {
  const p = toPlane({ photoToPlane: h }, photoPoint(x, y));
  return [p.x, p.y];
};

const between = (a: readonly [number, number], b: readonly [number, number]): number =>
  Math.hypot(a[0] - b[0], a[1] - b[1]);

const small = { ...evenScene, camera: { ...evenScene.camera, widthPx: 400, heightPx: 320, focalPx: 500 } };
const tilted = {
  ...small,
  camera: { ...small.camera, tiltRad: 0.4, azimuthRad: 2.1, rollRad: 1.3 },
  lens: { ...small.lens, noise: 0 },
};

describe('a drawn photo', () => {
  it('is the same to the byte when it is drawn again, and another with another seed', () => {
    const once = drawScene(small);
    const again = drawScene(small);
    const other = drawScene({ ...small, fabric: { ...evenFabric, seed: 12 } });
    expect(Buffer.compare(Buffer.from(once.image.data), Buffer.from(again.image.data))).toBe(0);
    expect(again.truth).toEqual(once.truth);
    expect(Buffer.compare(Buffer.from(once.image.data), Buffer.from(other.image.data))).not.toBe(0);
  });

  it('has truth lines that lie one stated pitch apart when they are carried to the fabric', () => {
    const { truth } = drawScene(tilted);
    const [w0, w1] = centralRun(evenFabric.needles, 1);
    const [c0, c1] = centralRun(evenFabric.courses, 1);
    const at = (wale: number, course: number) =>
      through(truth.photoToFabric, truth.wales[wale]!.px[course] as [number, number]);
    for (const course of [c0, 15, c1]) {
      const perInch = ((w1 - w0) / between(at(w0, course), at(w1, course))) * INCH;
      expect(perInch).toBeCloseTo(truth.gauge.needlePositionsPerInch, 6);
    }
    const rows = ((c1 - c0) / between(at(12, c0), at(12, c1))) * INCH;
    expect(rows).toBeCloseTo(truth.gauge.rowsPerInch, 6);
    expect(truth.gauge.stitchesPerInch).toBeCloseTo(8, 9);
    expect(truth.gauge.rowsPerInch).toBeCloseTo(11.2, 9);
  });

  it('shows the fabric enlarged by H / (H − h) against the table below it (relief displacement)', () => {
    const { truth } = drawScene(tilted);
    const a: [number, number] = [120, 90];
    const b: [number, number] = [260, 230];
    const onTable = between(through(truth.photoToTable, a), through(truth.photoToTable, b));
    const onFabric = between(through(truth.photoToFabric, a), through(truth.photoToFabric, b));
    const enlarged = truth.cameraHeightMm / (truth.cameraHeightMm - truth.visibleHeightMm);
    expect(onTable / onFabric).toBeCloseTo(enlarged, 9);
    expect(truth.gauge.stitchesPerInch * enlarged).toBeGreaterThan(truth.gauge.stitchesPerInch);
    expect(truth.visibleHeightMm).toBeGreaterThan(truth.middleHeightMm);
    expect(truth.visibleHeightMm).toBeLessThan(truth.topHeightMm);
  });

  it('is bright where the truth says that the mat’s lines cross, and dark between them', () => {
    const { image, truth } = drawScene({ ...small, light: { ...small.light, falloff: 0 } });
    if (truth.reference.kind !== 'grid') throw new Error('The scene has a mat.');
    const level = (x: number, y: number): number =>
      image.data[4 * (Math.floor(y) * image.widthPx + Math.floor(x)) + 1] as number;
    const free = truth.reference.crossings.filter(
      ({ px: [x, y], mm }) => Math.abs(mm[0]) > 46 && x > 8 && y > 8 && x < 390 && y < 310,
    );
    expect(free.length).toBeGreaterThanOrEqual(4);
    for (const { px } of free) {
      expect(level(px[0], px[1])).toBeGreaterThan(level(px[0] - 7, px[1] - 7) + 50);
    }
  });

  it('counts only stitches that show: three of four needles in a mock rib, one of two ridges in garter', () => {
    const mock = gaugeOfLattice(
      { ...evenFabric, structure: { kind: 'mockRib', gapEvery: 4, gapWidth: 1 } },
      latticeOf({ ...evenFabric, structure: { kind: 'mockRib', gapEvery: 4, gapWidth: 1 } }),
    );
    expect(mock.needlePositionsPerInch).toBeCloseTo(8, 9);
    expect(mock.stitchesPerInch).toBeCloseTo(6, 9);
    const garter = gaugeOfLattice(
      { ...evenFabric, structure: { kind: 'garter' } },
      latticeOf({ ...evenFabric, structure: { kind: 'garter' } }),
    );
    expect(garter.visibleRowsPerInch).toBeCloseTo(garter.rowsPerInch / 2, 9);
  });

  it('keeps the local stretch within what was asked for', () => {
    const lattice = latticeOf({ ...evenFabric, stretch: 0.02 });
    const strains: number[] = [];
    for (let x = -40; x < 40; x += 4) {
      for (let y = -40; y < 40; y += 4) {
        const a = lattice.place(x, y);
        const b = lattice.place(x + 0.01, y);
        strains.push(Math.hypot(b.x - a.x, b.y - a.y) / 0.01 - 1);
      }
    }
    expect(Math.max(...strains.map(Math.abs))).toBeLessThan(0.042);
    expect(Math.max(...strains) - Math.min(...strains)).toBeGreaterThan(0.004);
  });
});

describe('the camera', () => {
  it('agrees with its homography at any height, tilt and turn', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.52, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: 0, max: 6, noNaN: true }),
        (tiltRad, azimuthRad, rollRad, x, y, z) => {
          const camera = cameraOf({ ...evenScene.camera, tiltRad, azimuthRad, rollRad });
          const [px, py] = camera.project(x, y, z);
          const back = through(camera.homographyToPlane(z), [px, py]);
          expect(between(back, [x, y])).toBeLessThan(1e-8);
          const out = new Float64Array(2);
          camera.onPlane(px, py, z, out);
          expect(between([out[0]!, out[1]!], [x, y])).toBeLessThan(1e-8);
        },
      ),
      { numRuns: 60, seed: 4 },
    );
  });

  it('looks through a lens whose distortion is undone on the way back', () => {
    const camera = cameraOf({ ...evenScene.camera, radialK1: -0.06, tiltRad: 0.3 });
    const out = new Float64Array(2);
    for (const [x, y] of [
      [50, 40],
      [-60, 10],
      [0, 0],
    ] as const) {
      const [px, py] = camera.project(x, y, 1);
      camera.onPlane(px, py, 1, out);
      expect(between([out[0]!, out[1]!], [x, y])).toBeLessThan(1e-4);
    }
  });

  it('agrees with a homography that a general linear solver finds from four corners', () => {
    const camera = cameraOf({ ...evenScene.camera, tiltRad: 0.35, azimuthRad: 0.7, rollRad: -2 });
    const card = { centreMm: [10, -12] as const, rotationRad: 0.4 };
    const z = CARD_ID1.thicknessMm;
    const pairs = [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ].map(([sx, sy]) => {
      const mm = thingToTable(card, (sx! * CARD_ID1.widthMm) / 2, (sy! * CARD_ID1.heightMm) / 2);
      return { mm, px: camera.project(...mm, z) };
    });
    // The eight equations of four point pairs with the last entry held at 1 (Heckbert 1989, from memory).
    const rows = pairs.flatMap(({ mm: [u, v], px: [x, y] }) => [
      [x, y, 1, 0, 0, 0, -x * u, -y * u],
      [0, 0, 0, x, y, 1, -x * v, -y * v],
    ]);
    const sides = pairs.flatMap(({ mm }) => mm.map((value) => [value]));
    const solved = [...solve(new Matrix(rows), new Matrix(sides)).to1DArray(), 1];
    camera.homographyToPlane(z).forEach((entry, i) => {
      expect(entry).toBeCloseTo(solved[i]!, 8);
    });
  });
});

describe('a drawn coin', () => {
  it('has an ellipse on which its rim lies', () => {
    const coin = {
      kind: 'coin',
      centreMm: [55, 5],
      rotationRad: 0,
      diameterMm: 24.26,
      thicknessMm: 1.75,
      colour: [0.3, 0.25, 0.2],
    } as const;
    const { truth } = drawScene({ ...tilted, reference: coin });
    if (truth.reference.kind !== 'coin') throw new Error('The scene has a coin.');
    const { centre, semiMajorPx, semiMinorPx, angleRad } = truth.reference.ellipse;
    const camera = cameraOf(tilted.camera);
    expect(semiMajorPx).toBeGreaterThan(semiMinorPx);
    for (let i = 0; i < 12; i++) {
      const a = (i * Math.PI) / 6;
      const [x, y] = camera.project(55 + 12.13 * Math.cos(a), 5 + 12.13 * Math.sin(a), 1.75);
      const u = Math.cos(angleRad) * (x - centre[0]) + Math.sin(angleRad) * (y - centre[1]);
      const v = -Math.sin(angleRad) * (x - centre[0]) + Math.cos(angleRad) * (y - centre[1]);
      expect(Math.hypot(u / semiMajorPx, v / semiMinorPx)).toBeCloseTo(1, 8);
    }
  });
});

describe('random scenes', () => {
  const scenes = Array.from({ length: 260 }, (_, i) =>
    randomSpec(i, SCENE_KINDS[i % SCENE_KINDS.length], 4000),
  );

  it('are the same for the same seed', () => {
    expect(randomSpec(17)).toEqual(randomSpec(17));
    expect(randomSpec(17).spec).not.toEqual(randomSpec(18).spec);
  });

  it('cover 4 to 14 stitches to the inch, 5 to 90 px a stitch and tilts up to 30°', () => {
    const perInch = scenes.map(({ spec }) => INCH / spec.fabric.walePitchMm);
    expect(Math.min(...perInch)).toBeGreaterThanOrEqual(4);
    expect(Math.min(...perInch)).toBeLessThan(4.5);
    expect(Math.max(...perInch)).toBeGreaterThan(13);
    expect(Math.max(...perInch)).toBeLessThanOrEqual(14);
    const px = scenes.map(
      ({ spec }) => (spec.fabric.walePitchMm * spec.camera.focalPx) / spec.camera.distanceMm,
    );
    expect(Math.min(...px)).toBeLessThan(6);
    expect(Math.max(...px)).toBeGreaterThan(80);
    expect(Math.max(...px)).toBeLessThanOrEqual(101);
    const tilts = scenes.map(({ spec }) => spec.camera.tiltRad);
    expect(Math.max(...tilts)).toBeGreaterThan(0.4);
    expect(Math.max(...tilts)).toBeLessThanOrEqual(0.524);
  });

  it('show the whole swatch in the picture', () => {
    for (const { spec } of scenes) {
      const camera = cameraOf(spec.camera);
      const lattice = latticeOf(spec.fabric);
      const [px, py] = camera.project(0, 0, 0);
      expect(px).toBeGreaterThan(0);
      expect(px).toBeLessThan(spec.camera.widthPx);
      expect(py).toBeGreaterThan(0);
      expect(py).toBeLessThan(spec.camera.heightPx);
      expect(lattice.widthMm).toBeGreaterThan(30);
    }
  });
});
