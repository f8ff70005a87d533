import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { gaugeOf } from '../../src/domain/gaugeOf';
import { uncertainPerInch } from '../../src/domain/units';
import { measure } from '../../workers/measure';
import { opencvReady } from '../../workers/opencv';
import { drawScene, type SceneSpec } from '../builders/scene';
import { evenFabric, evenScene } from '../builders/scene-plain';

const DEGREE = Math.PI / 180;

const measured = (spec: SceneSpec) => {
  const { image, truth } = drawScene(spec);
  const facts = {
    widthPx: image.widthPx,
    heightPx: image.heightPx,
    mime: 'image/png',
    takenAt: null,
    focalLength35Mm: null,
    remarks: [],
  };
  const hints = { gridPitchMm: 25.4, reference: 'auto', region: null, thicknessMm: null } as const;
  const { references, chosenReference, stitches } = measure({ image, photoPxPerWorkPx: 1 }, facts, hints);
  const plane = references[chosenReference ?? -1]?.plane;
  if (!plane || !stitches.grid || !stitches.window) throw new Error('Nothing was found in the drawn photo.');
  const result = gaugeOf(stitches.grid, stitches.window, plane, { thicknessMm: null, layers: 1 });
  if (!result.ok) throw new Error(result.sentence);
  return {
    truth,
    status: stitches.confidence.status,
    stitches: uncertainPerInch(result.gauge.walesPerMm),
    rows: uncertainPerInch(result.gauge.coursesPerMm),
  };
};

/** The bar of the job: both densities within 1 % of the truth, and the truth inside the stated ±. */
const expectRight = (spec: SceneSpec): void => {
  const { truth, stitches, rows } = measured(spec);
  const { stitchesPerInch, visibleRowsPerInch } = truth.gauge;
  expect(Math.abs(stitches.value / stitchesPerInch - 1)).toBeLessThan(0.01);
  expect(Math.abs(rows.value / visibleRowsPerInch - 1)).toBeLessThan(0.01);
  expect(Math.abs(stitches.value - stitchesPerInch)).toBeLessThan(stitches.plusMinus95);
  expect(Math.abs(rows.value - visibleRowsPerInch)).toBeLessThan(rows.plusMinus95);
};

const withFabric = (part: Partial<SceneSpec['fabric']>): SceneSpec => ({
  ...evenScene,
  fabric: { ...evenFabric, ...part },
});
const withYarn = (part: Partial<SceneSpec['fabric']['yarn']>): SceneSpec =>
  withFabric({ yarn: { ...evenFabric.yarn, ...part } });
const withCamera = (part: Partial<SceneSpec['camera']>): SceneSpec => ({
  ...evenScene,
  camera: { ...evenScene.camera, ...part },
});
const withLight = (part: Partial<SceneSpec['light']>): SceneSpec => ({
  ...evenScene,
  light: { ...evenScene.light, ...part },
});

describe('the gauge of a drawn swatch is within its ± and within 1 % of the truth', () => {
  beforeAll(opencvReady);

  it('as it lies', () => expectRight(evenScene));

  it('turned by 20° on the mat', () => expectRight({ ...evenScene, fabricRotationRad: 0.35 }));

  it('with the photo taken sideways', () =>
    expectRight(withCamera({ rollRad: Math.PI / 2 - 0.1, widthPx: 512, heightPx: 640 })));

  it('at three quarters of the size', () =>
    expectRight(withCamera({ widthPx: 480, heightPx: 384, focalPx: 600 })));

  it('seen from 20° aside', () => expectRight(withCamera({ tiltRad: 0.35, distanceMm: 215 })));

  it('lit from the other side, low and hard', () =>
    expectRight(withLight({ azimuthRad: 0.6, elevationRad: 0.5, direct: 0.75, softness: 0.1 })));

  it('with a shadow across it', () =>
    expectRight(withLight({ hardShadow: { at: [0.5, 0.5], headingRad: 0.4, depth: 0.55, penumbraPx: 6 } })));

  it('in charcoal', () => expectRight(withYarn({ colour: { kind: 'solid', base: [0.035, 0.033, 0.04] } })));

  it('in violet and mint, twisted into one yarn', () =>
    expectRight(
      withYarn({ plies: 2, colour: { kind: 'marl', base: [0.2, 0.05, 0.4], other: [0.35, 0.7, 0.55] } }),
    ));

  it('in stripes of white, blue and near black', () =>
    expectRight(
      withYarn({
        colour: {
          kind: 'stripes',
          runMm: 900,
          colours: [
            [0.8, 0.8, 0.78],
            [0.1, 0.15, 0.5],
            [0.02, 0.02, 0.02],
          ],
        },
      }),
    ));

  it('in red on its purl face', () =>
    expectRight(
      withFabric({
        structure: { kind: 'plainPurl' },
        yarn: { ...evenFabric.yarn, colour: { kind: 'solid', base: [0.5, 0.05, 0.08] } },
      }),
    ));

  it('with every fourth needle out, upside down', () =>
    expectRight({
      ...withCamera({ rollRad: Math.PI }),
      fabric: { ...evenFabric, structure: { kind: 'mockRib', gapEvery: 4, gapWidth: 0.9 } },
    }));

  it('with 2 % of local stretch', () => expectRight(withFabric({ stretch: 0.02, seed: 21 })));

  it('bowed, askew and leaning', () => expectRight(withFabric({ bowMm: 2, skewRad: 0.04, leanRad: 0.06 })));
});

describe('the gauge of a drawn swatch', () => {
  beforeAll(opencvReady);

  it('is right at any turn, size and light taken at random', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 25 }),
        fc.integer({ min: 80, max: 115 }),
        fc.integer({ min: 0, max: 359 }),
        (turnDeg, percent, lampDeg) => {
          const size = percent / 100;
          const { camera, light } = evenScene;
          expectRight({
            ...evenScene,
            fabricRotationRad: turnDeg * DEGREE,
            light: { ...light, azimuthRad: lampDeg * DEGREE },
            camera: {
              ...camera,
              widthPx: Math.round(camera.widthPx * size),
              heightPx: Math.round(camera.heightPx * size),
              focalPx: camera.focalPx * size,
            },
          });
        },
      ),
      { numRuns: 4, seed: 8, endOnFailure: true },
    );
  });
});

describe('what does not change the fabric does not change its gauge', () => {
  beforeAll(opencvReady);

  it('gives the same value in another colour of the same lightness', () => {
    const one = measured(withYarn({ colour: { kind: 'solid', base: [0.5, 0.3, 0.3] } }));
    const other = measured(withYarn({ colour: { kind: 'solid', base: [0.25, 0.4, 0.45] } }));
    expect(Math.abs(one.stitches.value / other.stitches.value - 1)).toBeLessThan(0.003);
    expect(Math.abs(one.rows.value / other.rows.value - 1)).toBeLessThan(0.003);
  });
});
