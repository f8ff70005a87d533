import { describe, expect, it } from 'vitest';
import { heldByHand } from '../../src/domain/cameraLevel';
import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { mapPoint, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import { jawsNear } from '../../workers/scale/jawEdges';
import { togetherAs } from '../../workers/scale/jawSkew';
import { correctReference } from '../../workers/scale/references';
import {
  lying,
  mat,
  type Paint,
  photograph,
  plain,
  type Scene,
  type SceneCamera,
  scaleError,
  wood,
} from './scaleScenes';

const camera = (change: Partial<SceneCamera> = {}): SceneCamera => ({
  widthPx: 900,
  heightPx: 700,
  focal35Mm: 27,
  tiltDeg: 0,
  leanDeg: 0,
  turnDeg: 12,
  distanceMm: 200,
  ...change,
});

const steel = plain([196, 199, 204]);
const wall = plain([150, 152, 156]);

/** Jaws are 2 mm thick, and the camera stands 200 mm over the table's origin: what lies on their face looks larger by this factor than on the table. */
const thickMm = 2;
const raised = 200 / (200 - thickMm);

/**
 * Two jaws of a caliper, opened to `openMm` along x about the middle, on a bar. Their upper edges are seen further out than their feet, and between the two the
 * wall of either jaw.
 */
const caliper =
  (openMm: number, table: Paint): Paint =>
  (x, y, blurMm) => {
    const jaws = (half: number, metal: Paint, under: Paint): Paint => {
      const left = lying(metal, under, { x: -half - 6, y: 0, widthMm: 12, heightMm: 36 });
      return lying(metal, left, { x: half + 6, y: 0, widthMm: 12, heightMm: 36 });
    };
    const both = jaws((openMm / 2) * raised, steel, jaws(openMm / 2, wall, table));
    return lying(steel, both, { x: 10, y: -26, widthMm: 120, heightMm: 16 })(x, y, blurMm);
  };

/** Photo px → mm on the upper face of the jaws. */
const onFace = ({ photoToTable }: Scene): Homography =>
  normalised(multiply3([1 / raised, 0, 0, 0, 1 / raised, 0, 0, 0, 1], photoToTable));

const at = (scene: Scene, x: number, y: number, off: readonly [number, number] = [0, 0]): PhotoPoint => {
  const [px, py] = mapPoint(invertHomography(scene.photoToTable), x, y);
  return photoPoint(px + off[0], py + off[1]);
};

const corrected = (scene: Scene, handles: readonly PhotoPoint[], lengthMm: number | null) =>
  correctReference(scene.work, scene.photo, { kind: 'caliper', handles, pitchMm: null, lengthMm });

describe('a caliper that lies flat', () => {
  it.each([
    [25.4, 12],
    [40, 77],
    [60, 190],
  ])(
    'opened to %d mm and turned by %d° gives the scale from two taps that miss the jaws by some pixels',
    (openMm, turnDeg) => {
      const scene = photograph(camera({ turnDeg }), caliper(openMm, wood));
      const taps = [at(scene, -openMm / 2, 3, [5, -4]), at(scene, openMm / 2, -2, [-4, 3])];
      const found = corrected(scene, taps, openMm);
      expect(scaleError(found.plane!.photoToPlane, onFace(scene), 450, 350)).toBeLessThan(0.002);
      expect(found).toMatchObject({ kind: 'caliper', question: null });
      expect(found.plane!.tiltRad).toBeNull();
      found.handles.forEach((handle, i) => {
        const [x] = mapPoint(onFace(scene), handle.x, handle.y);
        expect(Math.abs(x - (i === 0 ? -openMm / 2 : openMm / 2))).toBeLessThan(0.1);
      });
    },
  );

  it('keeps the truth within its ± when the camera is tilted by ten degrees', () => {
    const scene = photograph(camera({ tiltDeg: 10, leanDeg: 30 }), caliper(30, wood));
    const found = corrected(scene, [at(scene, -15, 0), at(scene, 15, 0)], 30).plane!;
    const error = scaleError(found.photoToPlane, scene.photoToTable, 450, 350);
    expect(error).toBeLessThan(2 * found.relativeUncertainty);
    expect(found.relativeUncertainty).toBeLessThan(0.03);
  });

  it('takes jaws that draw together in a photo from 28° aside, and asks where that leaves the scale unsure', () => {
    const seen = camera({ tiltDeg: 28, leanDeg: 90, turnDeg: 0 });
    const printed = mat({ pitchMm: 10, divide: 1, line: [214, 220, 205], ground: [38, 62, 52] });
    const scene = photograph(seen, caliper(60, printed));
    const found = corrected(scene, [at(scene, -30, 0), at(scene, 30, 0)], 60);
    const error = scaleError(found.plane!.photoToPlane, onFace(scene), 450, 350);
    expect(error).toBeLessThan(2 * found.plane!.relativeUncertainty);
    if (found.plane!.relativeUncertainty > 0.0175) expect(found.score).toBeLessThan(0.3);
  });

  it('gives no sure number where the outer edges of the jaws were tapped instead of the inner ones', () => {
    const scene = photograph(camera(), caliper(40, wood));
    const found = corrected(scene, [at(scene, -32, 0), at(scene, 32, 0)], 40);
    expect(scaleError(found.plane!.photoToPlane, onFace(scene), 450, 350)).toBeGreaterThan(0.3);
    expect(found.score).toBeLessThan(0.3);
  });

  it('asks for the reading when it was not typed yet', () => {
    const scene = photograph(camera(), caliper(30, wood));
    const found = corrected(scene, [at(scene, -15, 0), at(scene, 15, 0)], null);
    expect(found).toMatchObject({ question: 'length', plane: null });
    expect(found.unitPlane).not.toBeNull();
  });

  it('says that there is no edge where the table is bare', () => {
    const scene = photograph(camera(), plain([120, 112, 100]));
    expect(() => corrected(scene, [photoPoint(300, 350), photoPoint(600, 350)], 30)).toThrow(/straight edge/);
  });

  it('refuses two edges that are not parallel', () => {
    const turned = lying(steel, plain([90, 80, 70]), { x: 21, y: 0, widthMm: 12, heightMm: 40, turnDeg: 9 });
    const both = lying(steel, turned, { x: -21, y: 0, widthMm: 12, heightMm: 40 });
    const scene = photograph(camera({ turnDeg: 0 }), both);
    expect(() => corrected(scene, [at(scene, -15, 0), at(scene, 15, 0)], 30)).toThrow(/parallel/);
  });
});

describe('the edge of a jaw near a tap', () => {
  /** Angle between the edge that was found near the tap on the right jaw and the jaw's own edge, rad. */
  const turnedBy = (scene: Scene, taps: readonly [PhotoPoint, PhotoPoint]): number => {
    const [, jaw] = jawsNear(scene.work.image, taps[0], taps[1], togetherAs(heldByHand, scene.photo));
    const { along } = jaw!.view;
    const [a, b] = [at(scene, 20 * raised, -5), at(scene, 20 * raised, 15)];
    const apart = Math.atan2(along.y, along.x) - Math.atan2(b.y - a.y, b.x - a.x);
    return Math.abs(apart - Math.PI * Math.round(apart / Math.PI));
  };

  it('is followed to a few hundredths of a degree where bright metal lies on dark ground and the taps lie askew', () => {
    const scene = photograph(camera({ turnDeg: 3 }), caliper(40, plain([58, 44, 70])));
    expect(turnedBy(scene, [at(scene, -20, 8), at(scene, 20, -3, [3, 0])])).toBeLessThan(0.003);
  });

  it('keeps its direction where a shadow’s edge crosses it aslant and its wall shows below it', () => {
    const lit = (metal: Paint, table: Paint, wallMm: number): Paint => {
      const jaws = (half: number, over: Paint, under: Paint): Paint => {
        const left = lying(over, under, { x: -half - 6, y: 0, widthMm: 12, heightMm: 36 });
        return lying(over, left, { x: half + 6, y: 0, widthMm: 12, heightMm: 36 });
      };
      return jaws(20 * raised, metal, jaws(20 * raised - wallMm, wall, table));
    };
    const both = lit(steel, wood, 0.8);
    const shaded: Paint = (x, y, blurMm) => {
      const share = x - 19 - (y - 1) > 0 ? 1 : 0.55;
      const [r, g, b] = both(x, y, blurMm);
      return [share * r, share * g, share * b];
    };
    const scene = photograph(camera({ turnDeg: 0 }), shaded);
    expect(turnedBy(scene, [at(scene, -20, 0), at(scene, 20, 0, [3, -4])])).toBeLessThan(0.002);
  });

  it('is not taken for a brighter line that is printed beside it at a slant', () => {
    const line = { x: 16.5, y: 0, widthMm: 1, heightMm: 60, turnDeg: 4 };
    const printed = lying(plain([232, 236, 228]), plain([70, 92, 84]), line);
    const scene = photograph(camera({ turnDeg: 0 }), caliper(40, printed));
    expect(turnedBy(scene, [at(scene, -20, 0), at(scene, 20, 0)])).toBeLessThan(0.003);
  });
});
