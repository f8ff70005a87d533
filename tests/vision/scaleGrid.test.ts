import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { correctReference, findReferences } from '../../workers/scale/references';
import { drawScene } from '../builders/scene';
import { randomSpec } from '../builders/scene-random';
import {
  hintsFor,
  knitted,
  lying,
  mat,
  photograph,
  plain,
  type Scene,
  type SceneCamera,
  scaleError,
} from './scaleScenes';

const camera = (change: Partial<SceneCamera> = {}): SceneCamera => ({
  widthPx: 1000,
  heightPx: 750,
  focal35Mm: 27,
  tiltDeg: 12,
  leanDeg: 30,
  turnDeg: 8,
  distanceMm: 190,
  ...change,
});

const inchMat = mat({ pitchMm: 25.4, divide: 2, ground: [38, 92, 112], line: [225, 228, 205] });
const swatch = knitted(3.2, 2.3, [210, 185, 140]);
const withSwatch = lying(swatch, inchMat, { x: 5, y: 2, widthMm: 105, heightMm: 100, turnDeg: 5 });

const bestGrid = (scene: Scene, pitchMm: number | null) => {
  const [best] = findReferences(scene.work, scene.photo, hintsFor({ gridPitchMm: pitchMm }));
  expect(best?.kind).toBe('grid');
  return best!;
};

const errorAtMiddle = (scene: Scene, pitchMm: number): number => {
  const best = bestGrid(scene, pitchMm);
  return scaleError(
    best.plane!.photoToPlane,
    scene.photoToTable,
    scene.photo.widthPx / 2,
    scene.photo.heightPx / 2,
  );
};

describe('the grid of a cutting mat', () => {
  it('gives lengths to a tenth of a percent under a swatch on an inch mat with half-inch lines', () => {
    expect(errorAtMiddle(photograph(camera(), withSwatch), 25.4)).toBeLessThan(0.001);
  });

  it('is asked about and never turned into millimetres while its spacing is unknown', () => {
    const scene = photograph(camera(), withSwatch);
    const best = bestGrid(scene, null);
    expect(best.question).toBe('gridPitch');
    expect(best.plane).toBeNull();
    // One step of the unit plane is one inch of the table.
    const ratio = scaleError(best.unitPlane!.photoToPlane, scene.photoToTable, 500, 375);
    expect(1 - ratio).toBeCloseTo(1 / 25.4, 4);
  });

  it('is found whichever way the photo is turned and at a steep tilt', () => {
    for (const turnDeg of [47, 95, 200, 301]) {
      const scene = photograph(camera({ turnDeg, tiltDeg: 30, leanDeg: turnDeg / 2 }), withSwatch);
      expect(errorAtMiddle(scene, 25.4)).toBeLessThan(0.001);
    }
  });

  it('is found as dark lines on a pale mat with quarter-inch lines', () => {
    const pale = mat({ pitchMm: 25.4, divide: 4, ground: [205, 210, 215], line: [70, 75, 85], fineMm: 0.3 });
    const scene = photograph(
      camera(),
      lying(knitted(2.8, 2.1, [70, 70, 75]), pale, { x: 0, y: 0, widthMm: 90, heightMm: 95 }),
    );
    expect(errorAtMiddle(scene, 25.4)).toBeLessThan(0.001);
  });

  it('is found at low contrast', () => {
    const faint = mat({ pitchMm: 10, divide: 2, ground: [96, 110, 100], line: [116, 130, 120] });
    expect(errorAtMiddle(photograph(camera(), faint), 10)).toBeLessThan(0.002);
  });

  it('is found with only 35 % of the mat in view', () => {
    const cm = mat({ pitchMm: 10, divide: 2, ground: [70, 50, 90], line: [220, 215, 225] });
    const hidden = lying(swatch, cm, { x: 0, y: 0, widthMm: 205, heightMm: 150, turnDeg: 3 });
    expect(errorAtMiddle(photograph(camera({ tiltDeg: 6 }), hidden), 10)).toBeLessThan(0.002);
  });

  it('gives the height of the camera to a tenth, without any focal length in the file', () => {
    const scene = photograph(camera({ tiltDeg: 18, focal35Mm: 25 }), withSwatch);
    const { cameraHeightMm, tiltRad } = bestGrid(scene, 25.4).plane!;
    expect(Math.abs(cameraHeightMm!.value / scene.heightMm - 1)).toBeLessThan(0.1);
    expect((tiltRad! * 180) / Math.PI).toBeCloseTo(18, 0);
  });

  it('says that all lines look alike when they do, and offers no other reading of them', () => {
    const even = mat({ pitchMm: 10, divide: 1, ground: [30, 80, 75], line: [150, 220, 210], heavyMm: 0.4 });
    const found = findReferences(...open(photograph(camera(), even)), hintsFor());
    expect(found.filter((r) => r.kind === 'grid')).toHaveLength(1);
    expect(found[0]?.sentence).toContain('look alike');
  });

  it('takes the neighbouring lines for centimetres where every fifth line is heavier and the lines are half a millimetre thick', () => {
    const fifths = mat({
      pitchMm: 50,
      divide: 5,
      ground: [30, 80, 75],
      line: [150, 220, 210],
      heavyMm: 0.8,
      fineMm: 0.45,
      fineShare: 1,
    });
    const scene = photograph(camera({ distanceMm: 260 }), fifths);
    const best = bestGrid(scene, 10);
    expect(scaleError(best.plane!.photoToPlane, scene.photoToTable, 500, 375)).toBeLessThan(0.002);
    expect(best.sentence).toContain('fifth');
  });

  it('asks about the drawn lines, whatever its spacing is said to be, where heavy and fine lines cannot be told apart', () => {
    const close = mat({
      pitchMm: 25.4,
      divide: 2,
      ground: [38, 92, 112],
      line: [225, 228, 205],
      heavyMm: 0.5,
      fineMm: 0.42,
      fineShare: 1,
    });
    const best = bestGrid(photograph(camera(), close), 25.4);
    expect(best).toMatchObject({ gridLines: 'unclear', question: 'gridPitch', plane: null });
    expect(best.score).toBeLessThanOrEqual(0.5);
    expect(best.sentence).toMatch(/hard to tell apart/);
  });

  it('is found in a small photo where it shows only in the margin around the swatch', () => {
    const halves = mat({ pitchMm: 25.4, divide: 2, ground: [20, 28, 22], line: [230, 235, 225] });
    const hidden = lying(swatch, halves, { x: 1, y: 1, widthMm: 120, heightMm: 86, turnDeg: 2 });
    const scene = photograph(
      camera({ widthPx: 480, heightPx: 360, tiltDeg: 4, turnDeg: 2, distanceMm: 110 }),
      hidden,
    );
    expect(errorAtMiddle(scene, 25.4)).toBeLessThan(0.001);
  });

  it('is found round a swatch whose furrows run on from its lines and outnumber them', () => {
    // Two drawn photos of swatches that lie along an inch mat, a few hundred px wide.
    for (const [seed, kind] of [
      [50_100_091, 'plain knit'],
      [100_070, 'heather and speckle'],
    ] as const) {
      const { image, truth } = drawScene(randomSpec(seed, kind, 1600).spec);
      const { widthPx, heightPx } = image;
      const photo = {
        widthPx,
        heightPx,
        mime: 'image/jpeg',
        takenAt: null,
        focalLength35Mm: null,
        remarks: [],
      };
      const [best] = findReferences({ image, photoPxPerWorkPx: 1 }, photo, hintsFor({ gridPitchMm: 25.4 }));
      expect(best?.kind).toBe('grid');
      const error = scaleError(best!.plane!.photoToPlane, truth.photoToTable, widthPx / 2, heightPx / 2);
      expect(error).toBeLessThan(0.001);
    }
  });

  it('follows lines that the lens bows', () => {
    const cm = mat({ pitchMm: 10, divide: 2, ground: [40, 60, 60], line: [200, 220, 215] });
    const scene = photograph(camera({ bow: 0.012 }), cm);
    expect(errorAtMiddle(scene, 10)).toBeLessThan(0.004);
    expect(bestGrid(scene, 10).plane!.relativeUncertainty).toBeGreaterThan(0.0005);
  });

  it('is not seen in knitted fabric, straight or turned', () => {
    for (const turnDeg of [0, 9, 31]) {
      const scene = photograph(camera({ turnDeg, tiltDeg: 5 }), swatch);
      const grids = findReferences(scene.work, scene.photo, hintsFor({ gridPitchMm: 25.4 })).filter(
        (r) => r.score >= 0.3,
      );
      expect(grids).toEqual([]);
    }
  });

  it('is not seen on an empty table', () => {
    expect(findReferences(...open(photograph(camera(), plain([120, 110, 100]))), hintsFor())).toEqual([]);
  });

  it('fits again from four handles that were put near crossings of heavy lines', () => {
    const scene = photograph(camera(), withSwatch);
    const before = bestGrid(scene, 25.4);
    const handles = before.handles.map((p, i) =>
      photoPoint(p.x + (i % 2 === 0 ? 4 : -3), p.y + (i < 2 ? 3 : -4)),
    );
    const after = correctReference(scene.work, scene.photo, {
      kind: 'grid',
      handles,
      pitchMm: 25.4,
      lengthMm: null,
    });
    expect(scaleError(after.plane!.photoToPlane, scene.photoToTable, 500, 375)).toBeLessThan(0.001);
  });

  it('refuses handles where no grid is', () => {
    const scene = photograph(camera(), plain([120, 110, 100]));
    const handles = [photoPoint(100, 100), photoPoint(900, 100), photoPoint(900, 600), photoPoint(100, 600)];
    expect(() =>
      correctReference(scene.work, scene.photo, { kind: 'grid', handles, pitchMm: 10, lengthMm: null }),
    ).toThrow(/crossings/);
  });
});

const open = (scene: Scene) => [scene.work, scene.photo] as const;
