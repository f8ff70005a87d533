import { beforeAll, describe, expect, it } from 'vitest';
import type { ScaleReference } from '../../src/domain/measurement';
import type { PaperName } from '../../src/domain/paper';
import type { WorkImage } from '../../workers/image';
import { opencvReady } from '../../workers/opencv';
import { findReferences } from '../../workers/scale/references';
import { scaleErrorOf } from '../bench/compare';
import { knownFromScene } from '../bench/known';
import { drawScene, type Scene } from '../builders/scene';
import { evenScene } from '../builders/scene-plain';
import { hintsFor } from './scaleScenes';

interface Sheet {
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly curlMm: number;
}

const drawn = ({ widthMm, lengthMm, curlMm }: Sheet): Scene =>
  drawScene({
    ...evenScene,
    fabric: { ...evenScene.fabric, needles: 16, courses: 22 },
    ground: { kind: 'wood', base: [0.35, 0.2, 0.1], grain: [0.2, 0.1, 0.05], rotationRad: 0.4 },
    reference: {
      kind: 'paper',
      centreMm: [4, -6],
      rotationRad: 0.06,
      widthMm,
      lengthMm,
      colour: [0.8, 0.8, 0.78],
      curlMm,
    },
    camera: { ...evenScene.camera, widthPx: 700, heightPx: 900, focalPx: 900, distanceMm: 1.4 * lengthMm },
  });

const papersIn = ({ image }: Scene, paperSize: PaperName | null): ScaleReference | undefined => {
  const { widthPx, heightPx } = image;
  const work: WorkImage = { image, photoPxPerWorkPx: 1 };
  const photo = { widthPx, heightPx, mime: 'image/png', takenAt: null, focalLength35Mm: null, remarks: [] };
  return findReferences(work, photo, hintsFor({ reference: 'paper', paperSize }))[0];
};

// ISO 216: A5 148 × 210 mm, A6 105 × 148 mm; Letter is the trade size of 8.5 × 11 in.
const sheets: readonly (readonly [PaperName, Sheet])[] = [
  ['A6', { widthMm: 105, lengthMm: 148, curlMm: 0 }],
  ['A5', { widthMm: 148, lengthMm: 210, curlMm: 20 }],
  ['Letter', { widthMm: 8.5 * 25.4, lengthMm: 11 * 25.4, curlMm: 28 }],
];

describe.each(sheets)('a drawn sheet of %s', (name, sheet) => {
  let scene: Scene;
  beforeAll(async () => {
    await opencvReady();
    scene = drawn(sheet);
  });

  it('is told by its shape and its size is asked for', () => {
    const found = papersIn(scene, null);
    expect([found?.question, found?.plane]).toEqual(['paperSize', null]);
    expect(found?.sentence).toContain(name === 'Letter' ? 'Letter shape' : 'A series');
  });

  it(`gives the scale to 0.2 %${sheet.curlMm > 0 ? ', one of its corners curling up' : ''}`, () => {
    const error = scaleErrorOf(papersIn(scene, name)?.plane ?? null, knownFromScene(scene.truth));
    expect(Math.abs(error ?? 1)).toBeLessThan(0.002);
  });
});
