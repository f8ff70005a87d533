import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import type { PhotoFacts, ReferenceKind, ScaleReference } from '../../src/domain/measurement';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { MeasureHints } from '../../workers/contract';
import type { WorkImage } from '../../workers/image';
import { correctReference, findReferences } from '../../workers/scale/references';
import {
  hintsFor,
  knitted,
  lying,
  mat,
  photograph,
  photoToLifted,
  plain,
  ruler,
  type Scene,
  scaleError,
  thickCoin,
  wood,
} from './scaleScenes';

const camera = {
  widthPx: 1000,
  heightPx: 750,
  focal35Mm: 27,
  tiltDeg: 9,
  leanDeg: 20,
  turnDeg: 6,
  distanceMm: 230,
};
const swatch = knitted(3.2, 2.3, [190, 60, 70]);

const best = (scene: Scene, hints: Partial<MeasureHints> = {}): ScaleReference => {
  const [first] = findReferences(scene.work, scene.photo, hintsFor(hints));
  expect(first).toBeDefined();
  return first!;
};

const errorAt = (scene: Scene, reference: ScaleReference, xMm: number, yMm: number): number => {
  const toPhoto = invertHomography(scene.photoToTable);
  const [x, y] = mapPoint(toPhoto, xMm, yMm);
  return scaleError(reference.plane!.photoToPlane, scene.photoToTable, x, y);
};

describe('a card of identification size', () => {
  const onWood = (card: Parameters<typeof lying>[0], turnDeg: number) =>
    photograph(
      camera,
      lying(card, lying(swatch, wood, { x: 45, y: 0, widthMm: 80, heightMm: 90 }), {
        x: -55,
        y: 0,
        widthMm: 85.6,
        heightMm: 53.98,
        turnDeg,
        cornerMm: 3.18,
      }),
    );

  it('is found dark on wood, upright or turned, and carries its scale to the swatch beside it', () => {
    for (const turnDeg of [90, 78]) {
      const scene = onWood(plain([40, 52, 78]), turnDeg);
      const reference = best(scene);
      expect(reference.kind).toBe('card');
      expect(reference.question).toBeNull();
      expect(errorAt(scene, reference, 45, 0)).toBeLessThan(0.006);
      expect(errorAt(scene, reference, -55, 0)).toBeLessThan(0.003);
    }
  });

  it('is found pale with a printed stripe, which is not taken for its edge', () => {
    const printed = lying(plain([30, 90, 60]), plain([232, 230, 225]), {
      x: 0,
      y: 12,
      widthMm: 85.6,
      heightMm: 8,
    });
    const scene = onWood(printed, 84);
    const reference = best(scene);
    expect(reference.kind).toBe('card');
    expect(errorAt(scene, reference, -55, 0)).toBeLessThan(0.003);
  });

  it('is none where it would fill the photo and leave no room for a swatch', () => {
    const near = (distanceMm: number): boolean => {
      const place = { x: 0, y: 0, widthMm: 85.6, heightMm: 53.98, turnDeg: 0, cornerMm: 3.18 };
      const scene = photograph(
        { ...camera, tiltDeg: 4, distanceMm },
        lying(plain([40, 52, 78]), wood, place),
      );
      return findReferences(scene.work, scene.photo, hintsFor()).some(({ kind }) => kind === 'card');
    };
    expect(near(130)).toBe(true);
    expect(near(80)).toBe(false);
  });

  it('snaps to its edges from corners that were dragged a few pixels off', () => {
    const scene = onWood(plain([40, 52, 78]), 84);
    const found = best(scene);
    const handles = found.handles.map((p, i) =>
      photoPoint(p.x + (i < 2 ? 5 : -4), p.y + (i % 2 === 0 ? 4 : -5)),
    );
    const again = correctReference(scene.work, scene.photo, {
      kind: 'card',
      handles,
      pitchMm: null,
      lengthMm: null,
    });
    expect(errorAt(scene, again, -55, 0)).toBeLessThan(0.003);
  });
});

describe('a card on a cutting mat', () => {
  const inches = mat({ pitchMm: 25.4, divide: 2, ground: [38, 92, 112], line: [225, 228, 205] });
  const withRectangle = (widthMm: number, heightMm: number) =>
    photograph(
      { ...camera, tiltDeg: 5 },
      lying(plain([235, 232, 225]), inches, { x: 0, y: 0, widthMm, heightMm, turnDeg: 20, cornerMm: 3.18 }),
    );
  const cardIn = (scene: Scene) =>
    findReferences(scene.work, scene.photo, hintsFor()).find((r) => r.kind === 'card');

  it('is found beside the grid', () => {
    expect(cardIn(withRectangle(85.6, 53.98))!.score).toBeGreaterThan(0.5);
  });

  it('is not believed where the grid shows that the rectangle has the shape of a card but not its size', () => {
    expect(cardIn(withRectangle(85.6 * 1.35, 53.98 * 1.35))?.score ?? 0).toBeLessThan(0.35);
  });
});

describe('a ruler', () => {
  it('gives the plane from its marks alone, once the spacing of the marks is said', () => {
    for (const turnDeg of [0, 17]) {
      const scene = photograph(
        { ...camera, tiltDeg: 10, distanceMm: 170 },
        lying(
          ruler(1.5875, 16, 150),
          lying(swatch, plain([70, 75, 82]), { x: 0, y: 25, widthMm: 80, heightMm: 70 }),
          {
            x: 0,
            y: -40,
            widthMm: 160,
            heightMm: 26,
            turnDeg,
          },
        ),
      );
      const open = best(scene);
      expect([open.kind, open.question, open.plane]).toEqual(['ruler', 'tickPitch', null]);
      expect(open.sentence).toContain('inch scale');
      const reference = best(scene, { tickPitchMm: 1.5875 });
      expect(errorAt(scene, reference, 0, -40)).toBeLessThan(0.002);
      expect(errorAt(scene, reference, 0, 15)).toBeLessThan(0.008);
    }
  });
});

describe('a coin', () => {
  it('is found on wood beside a swatch and asks which coin it is', () => {
    // 2 euro: 25.75 mm, 2.20 mm thick (European Central Bank, common sides of the coins).
    const coin = { x: 55, y: -15, diameterMm: 25.75, thicknessMm: 2.2 };
    const onWood = lying(swatch, wood, { x: -20, y: 0, widthMm: 80, heightMm: 90 });
    const scene = photograph(camera, thickCoin([175, 172, 160], onWood, coin, camera));
    const open = best(scene);
    expect([open.kind, open.question, open.plane]).toEqual(['coin', 'coinDiameter', null]);
    const reference = best(scene, { coinDiameterMm: coin.diameterMm });
    const { photoToPlane, referenceHeightMm } = reference.plane!;
    const exact = photoToLifted(scene, camera, referenceHeightMm);
    const [x, y] = mapPoint(invertHomography(scene.photoToTable), coin.x, coin.y);
    expect(scaleError(photoToPlane, exact, x, y)).toBeLessThan(0.006);
    expect(reference.plane!.relativeUncertainty).toBeGreaterThan(0.004);
  });
});

describe('a sheet of paper', () => {
  it('is found under the swatch, its size asked for and its trimming limits carried along', () => {
    const scene = photograph(
      { ...camera, distanceMm: 330 },
      lying(
        swatch,
        lying(plain([236, 235, 230]), wood, { x: 0, y: 0, widthMm: 297, heightMm: 210, turnDeg: 4 }),
        {
          x: 0,
          y: 0,
          widthMm: 110,
          heightMm: 100,
        },
      ),
    );
    const open = best(scene);
    expect([open.kind, open.question, open.plane]).toEqual(['paper', 'paperSize', null]);
    const reference = best(scene, { paperSize: 'A4' });
    expect(errorAt(scene, reference, 0, 0)).toBeLessThan(0.003);
    expect(reference.plane!.relativeUncertainty).toBeGreaterThan(0.003);
  });
});

describe('two points with a typed length', () => {
  const scene = photograph({ ...camera, widthPx: 400, heightPx: 300 }, plain([120, 120, 120]));
  const between = (ax: number, ay: number, bx: number, by: number, lengthMm: number | null) =>
    correctReference(scene.work, scene.photo, {
      kind: 'twoPoints',
      handles: [photoPoint(ax, ay), photoPoint(bx, by)],
      pitchMm: null,
      lengthMm,
    });

  it('are taken exactly as they were put down', () => {
    const reference = between(50, 60, 350, 60, 25.4);
    const [x0] = mapPoint(reference.plane!.photoToPlane, 50, 60);
    const [x1] = mapPoint(reference.plane!.photoToPlane, 350, 60);
    expect(x1 - x0).toBeCloseTo(25.4, 9);
    expect(reference.handles).toEqual([photoPoint(50, 60), photoPoint(350, 60)]);
  });

  it('say that they know nothing of the tilt and are less certain than a grid', () => {
    const { plane, sentence } = between(50, 60, 350, 60, 25.4);
    expect(plane!.tiltRad).toBeNull();
    expect(plane!.relativeUncertainty).toBeGreaterThan(0.01);
    expect(sentence).toContain('tilt');
  });

  it('stay without millimetres until the length is typed', () => {
    const reference = between(50, 60, 350, 60, null);
    expect([reference.question, reference.plane]).toEqual(['length', null]);
  });

  it('are refused when they are too close together or the length is not positive', () => {
    expect(() => between(50, 60, 53, 60, 25.4)).toThrow(/too close/);
    expect(() => between(50, 60, 350, 60, 0)).toThrow(/more than zero/);
  });
});

describe('photos of swatches with known truth', () => {
  interface Truth {
    readonly photoToTable: Homography;
    readonly swatchMiddlePx: readonly [number, number];
    readonly cameraHeightMm: number;
    readonly referenceStepMm: number | null;
    readonly referenceHeightMm: number;
  }

  const opened = async (name: string): Promise<{ work: WorkImage; photo: PhotoFacts; truth: Truth }> => {
    const folder = join(import.meta.dirname, 'fixtures');
    const { data, info } = await sharp(join(folder, `${name}.jpg`))
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    return {
      work: {
        image: { widthPx: info.width, heightPx: info.height, data: new Uint8ClampedArray(data) },
        photoPxPerWorkPx: 1,
      },
      photo: {
        widthPx: info.width,
        heightPx: info.height,
        mime: 'image/jpeg',
        takenAt: null,
        focalLength35Mm: null,
        remarks: [],
      },
      truth: JSON.parse(readFileSync(join(folder, `${name}.json`), 'utf8')) as Truth,
    };
  };

  const cases: [name: string, kind: ReferenceKind, limit: number][] = [
    ['scale-inch-mat', 'grid', 0.001],
    ['scale-card', 'card', 0.004],
    ['scale-ruler', 'ruler', 0.004],
  ];
  for (const [name, kind, limit] of cases) {
    it(`give the scale of the swatch from a ${kind} to ${limit * 100} %`, async () => {
      const { work, photo, truth } = await opened(name);
      const hints = hintsFor({ gridPitchMm: truth.referenceStepMm, tickPitchMm: truth.referenceStepMm });
      const [first] = findReferences(work, photo, hints);
      expect(first?.kind).toBe(kind);
      const plane = first!.plane!;
      // The truth lies on the table; the reference's face is a little nearer to the camera.
      const lift = 1 - truth.referenceHeightMm / truth.cameraHeightMm;
      const [x, y] = truth.swatchMiddlePx;
      const onTable = plane.photoToPlane.map((v, i) => (i < 6 ? v / lift : v)) as unknown as Homography;
      expect(scaleError(onTable, truth.photoToTable, x, y)).toBeLessThan(limit);
    });
  }
});
