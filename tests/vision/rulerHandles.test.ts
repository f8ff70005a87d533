import { beforeAll, describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { opencvReady } from '../../workers/opencv';
import { correctReference } from '../../workers/scale/references';
import { knitted, lying, photograph, plain, ruler, scaleError } from './scaleScenes';

beforeAll(opencvReady);

describe('the handles of a ruler, laid by hand', () => {
  const scene = photograph(
    { widthPx: 1000, heightPx: 750, focal35Mm: 27, tiltDeg: 10, leanDeg: 20, turnDeg: 6, distanceMm: 170 },
    lying(
      ruler(1.5875, 16, 150),
      lying(knitted(3.2, 2.3, [190, 60, 70]), plain([70, 75, 82]), {
        x: 0,
        y: 25,
        widthMm: 80,
        heightMm: 70,
      }),
      { x: 0, y: -40, widthMm: 160, heightMm: 26 },
    ),
  );
  const toPhoto = invertHomography(scene.photoToTable);

  it.each([0, 6, -6, 11, -11])(
    'come to lie where the marks begin when they are let go %d px beside that line',
    (besidePx) => {
      const handles = [-55, 55].map((mm) => {
        const [x, y] = mapPoint(toPhoto, mm, -40);
        return photoPoint(x, y + besidePx);
      });
      const found = correctReference(scene.work, scene.photo, {
        kind: 'ruler',
        handles,
        pitchMm: 1.5875,
        lengthMm: null,
      });
      for (const handle of found.handles) {
        const [, y] = mapPoint(scene.photoToTable, handle.x, handle.y);
        // A pixel is 0.23 mm here.
        expect(Math.abs(y + 40)).toBeLessThan(0.5);
      }
      const [x, y] = mapPoint(toPhoto, 0, -40);
      expect(scaleError(found.plane!.photoToPlane, scene.photoToTable, x, y)).toBeLessThan(0.003);
    },
  );
});
