import { beforeAll, describe, expect, it } from 'vitest';
import { localScale } from '../../src/domain/planeFitAlgebra';
import type { MeasureHints } from '../../workers/contract';
import { measure } from '../../workers/measure';
import { opencvReady } from '../../workers/opencv';
import { findReferences } from '../../workers/scale/references';
import { drawScene } from '../builders/scene';
import { cameraOf } from '../builders/scene-camera';
import { evenFabric, evenScene } from '../builders/scene-plain';

// A coin some way beside the swatch, photographed well off the vertical: the coin gives its own size, the tilt carries it to the swatch.
const camera = {
  ...evenScene.camera,
  widthPx: 1100,
  heightPx: 760,
  focalPx: 900,
  targetMm: [22, 0],
  distanceMm: 240,
  tiltRad: 0.2,
  azimuthRad: 0.4,
} as const;
const diameterMm = 24.26;
const thicknessMm = 1.75;
const scene = drawScene({
  ...evenScene,
  fabric: evenFabric,
  ground: { kind: 'wood', base: [0.3, 0.16, 0.08], grain: [0.2, 0.1, 0.05], rotationRad: 0.3 },
  reference: {
    kind: 'coin',
    centreMm: [72, 10],
    rotationRad: 0,
    diameterMm,
    thicknessMm,
    colour: [0.6, 0.6, 0.62],
  },
  camera,
});
const hints: MeasureHints = {
  gridPitchMm: null,
  coinDiameterMm: diameterMm,
  reference: 'auto',
  region: null,
  thicknessMm: null,
};
const photo = {
  widthPx: camera.widthPx,
  heightPx: camera.heightPx,
  mime: 'image/jpeg',
  takenAt: null,
  focalLength35Mm: null,
  remarks: [],
};

// The coin’s plane is that of its upper face.
const onFace = cameraOf(camera).homographyToPlane(thicknessMm);

describe('the scale of a coin beside even knitting', () => {
  beforeAll(() => opencvReady());

  it('is carried to the swatch by the tilt that the stitches show, more surely than without them, and says so', () => {
    const work = { image: scene.image, photoPxPerWorkPx: 1 };
    const bare = findReferences(work, photo, hints).find(({ kind }) => kind === 'coin');
    const found = measure(work, photo, hints);
    const coin = found.references.find(({ kind }) => kind === 'coin');
    const { window } = found.stitches;
    if (!bare?.plane || !coin?.plane || window === null)
      throw new Error('The coin or the swatch was not found.');
    const x = window.corners.reduce((sum, corner) => sum + corner.x / window.corners.length, 0);
    const y = window.corners.reduce((sum, corner) => sum + corner.y / window.corners.length, 0);
    const off = localScale(coin.plane.photoToPlane, x, y) / localScale(onFace, x, y) - 1;
    expect(coin.sentence).toContain('evenness of the stitches');
    expect(coin.plane.referenceHeightMm).toBeCloseTo(thicknessMm, 0);
    expect(coin.plane.relativeUncertainty).toBeLessThan(bare.plane.relativeUncertainty);
    expect(Math.abs(off)).toBeLessThan(2 * coin.plane.relativeUncertainty);
    expect(Math.abs(off)).toBeLessThan(0.015);
  });
});
