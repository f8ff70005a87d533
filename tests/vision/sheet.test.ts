import { beforeAll, describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { withPrintScale } from '../../src/domain/referenceSheet';
import { sheetMarkers } from '../../src/domain/sheetMarkers';
import { median } from '../../src/domain/statistics';
import { opencvReady } from '../../workers/opencv';
import { blurred } from '../../workers/scale/pictures';
import { correctReference, findReferences } from '../../workers/scale/references';
import { readMarks } from '../../workers/scale/sheetMarks';
import {
  hintsFor,
  knitted,
  lying,
  type Paint,
  photograph,
  plain,
  type Scene,
  type SceneCamera,
  scaleError,
  wood,
} from './scaleScenes';
import { printedSheet } from './sheetScenes';

beforeAll(opencvReady);

const camera = (change: Partial<SceneCamera> = {}): SceneCamera => ({
  widthPx: 720,
  heightPx: 960,
  focal35Mm: 27,
  tiltDeg: 10,
  leanDeg: 40,
  turnDeg: 6,
  distanceMm: 290,
  ...change,
});

const swatch = knitted(3.2, 2.3, [210, 185, 140]);
const withSwatch = (sheet: Paint, change: Partial<Parameters<typeof lying>[2]> = {}): Paint =>
  lying(swatch, sheet, { x: 2, y: 4, widthMm: 115, heightMm: 150, turnDeg: 4, ...change });

/** The same photo out of focus: every channel blurred by a Gaussian. */
const outOfFocus = (scene: Scene, sigmaPx: number): Scene => {
  const { widthPx, heightPx, data } = scene.work.image;
  const soft = new Uint8ClampedArray(data);
  for (let c = 0; c < 3; c++) {
    const channel = { widthPx, heightPx, data: new Float32Array(widthPx * heightPx) };
    channel.data.forEach((_, i) => {
      channel.data[i] = data[4 * i + c]!;
    });
    blurred(channel, sigmaPx).data.forEach((v, i) => {
      soft[4 * i + c] = v;
    });
  }
  return { ...scene, work: { ...scene.work, image: { widthPx, heightPx, data: soft } } };
};

const bestOf = (scene: Scene, reference: 'auto' | 'sheet' = 'sheet') => {
  const [best] = findReferences(scene.work, scene.photo, hintsFor({ reference }));
  expect(best?.kind).toBe('sheet');
  return best!;
};
const errorOf = (scene: Scene): number =>
  scaleError(
    bestOf(scene).plane!.photoToPlane,
    scene.photoToTable,
    scene.photo.widthPx / 2,
    scene.photo.heightPx / 2,
  );

describe('the printed sheet', () => {
  it('ranks first and gives lengths to a tenth of a percent, tilted, half hidden, small or blurred', () => {
    const sheet = printedSheet(wood);
    const scenes = [
      photograph(camera(), withSwatch(sheet)),
      photograph(camera({ tiltDeg: 28, leanDeg: 200 }), withSwatch(sheet)),
      photograph(camera({ turnDeg: 135, distanceMm: 330 }), withSwatch(sheet)),
      photograph(camera({ turnDeg: 270 }), withSwatch(sheet, { x: -40, widthMm: 130 })),
      photograph(camera(), withSwatch(sheet, { y: 60, heightMm: 260 })),
      outOfFocus(photograph(camera({ tiltDeg: 15 }), withSwatch(sheet)), 1.8),
      photograph(camera({ bow: 0.006 }), withSwatch(sheet)),
    ];
    const errors = scenes.map(errorOf);
    expect(median(errors)).toBeLessThan(0.001);
    expect(Math.max(...errors)).toBeLessThan(0.003);
    const best = bestOf(scenes[0]!, 'auto');
    expect(best.score).toBe(1);
  });

  it('asks what its check rulers measure, and until then counts with a printer that may be 2 % off', () => {
    const scene = photograph(camera(), withSwatch(printedSheet(wood)));
    const found = bestOf(scene);
    expect([found.question, found.plane === null]).toEqual(['checkRulers', false]);
    expect(2 * found.plane!.relativeUncertainty).toBeGreaterThan(0.02);
    const [told] = findReferences(scene.work, scene.photo, hintsFor({ sheetPrint: { across: 1, along: 1 } }));
    expect(told!.question).toBeNull();
    expect(2 * told!.plane!.relativeUncertainty).toBeLessThan(0.003);
  });

  it('tells the tilt and the height of the camera', () => {
    const scene = photograph(camera({ tiltDeg: 20, focal35Mm: 25 }), withSwatch(printedSheet(wood)));
    const { tiltRad, cameraHeightMm } = bestOf(scene).plane!;
    expect((tiltRad! * 180) / Math.PI).toBeCloseTo(20, 0);
    expect(Math.abs(cameraHeightMm!.value / scene.heightMm - 1)).toBeLessThan(0.05);
  });

  it('is corrected on both axes by what its check rulers really measure', () => {
    const print = { across: 0.962, along: 0.968 };
    const scene = photograph(camera(), withSwatch(printedSheet(wood, { print })));
    const raw = bestOf(scene);
    const at = [360, 480] as const;
    expect(scaleError(raw.plane!.photoToPlane, scene.photoToTable, ...at)).toBeGreaterThan(0.03);
    const corrected = withPrintScale(raw, print);
    expect(scaleError(corrected.plane!.photoToPlane, scene.photoToTable, ...at)).toBeLessThan(0.001);
    expect(corrected.plane!.relativeUncertainty).toBeLessThan(raw.plane!.relativeUncertainty);
    const [asked] = findReferences(scene.work, scene.photo, hintsFor({ sheetPrint: print }));
    expect(scaleError(asked!.plane!.photoToPlane, scene.photoToTable, ...at)).toBeLessThan(0.001);
  });

  it('does not mind ink that runs beyond the edges of the squares', () => {
    const errors = [0, 0.12].map((printGainMm) =>
      errorOf(photograph(camera(), withSwatch(printedSheet(wood, { printGainMm })))),
    );
    expect(Math.max(...errors)).toBeLessThan(0.001);
  });

  it('fits again to four corners that were put near those of the frame', () => {
    const scene = photograph(camera(), withSwatch(printedSheet(wood)));
    const handles = bestOf(scene).handles.map((p, i) => photoPoint(p.x + (i % 2 ? 3 : -3), p.y + 2));
    const again = correctReference(scene.work, scene.photo, {
      kind: 'sheet',
      handles,
      pitchMm: null,
      lengthMm: null,
    });
    expect(scaleError(again.plane!.photoToPlane, scene.photoToTable, 360, 480)).toBeLessThan(0.001);
  });

  it('is refused where it is not, and not seen in fabric or on a bare table', () => {
    const scene = photograph(camera(), lying(swatch, wood, { x: 0, y: 0, widthMm: 120, heightMm: 150 }));
    expect(findReferences(scene.work, scene.photo, hintsFor({ reference: 'sheet' }))).toEqual([]);
    const handles = [photoPoint(80, 80), photoPoint(640, 80), photoPoint(640, 880), photoPoint(80, 880)];
    expect(() =>
      correctReference(scene.work, scene.photo, { kind: 'sheet', handles, pitchMm: null, lengthMm: null }),
    ).toThrow(/squares of the printed sheet/);
  });

  it('has the very marks that OpenCV reads under their numbers, all different', () => {
    const scene = photograph(camera({ tiltDeg: 0, turnDeg: 0 }), printedSheet(plain([90, 80, 70])), 0);
    const { widthPx, heightPx, data } = scene.work.image;
    const grey = Float32Array.from({ length: widthPx * heightPx }, (_, i) => data[4 * i]!);
    const ids = readMarks({ widthPx, heightPx, data: grey }).map(({ id }) => id);
    expect(ids.sort((a, b) => a - b)).toEqual(sheetMarkers.map(({ id }) => id));
  });
});
