import { columnsOf } from './fabric';
import { fabricFor } from './fabric-random';
import { type Random, seeded } from './random';
import type { SceneSpec } from './scene';
import { type CameraSpec, cameraOf } from './scene-camera';
import { SCENE_KINDS, type SceneKind } from './scene-kinds';
import { groundFor, lensFor, lightFor, referenceFor } from './scene-random-setting';
import { CARD_ID1, printedPaperMm, type ReferenceSpec } from './scene-reference';

export { SCENE_KINDS, type SceneKind } from './scene-kinds';

const pitchPxFor = (random: Random, kind: SceneKind): number => {
  if (kind === 'small in the picture') return random.logBetween(4.5, 9);
  if (kind === 'close up') return random.logBetween(45, 100);
  return random.logBetween(9, 42);
};

/** Corners of everything that must be in the picture, table mm. */
export const mustShow = (
  swatchMm: readonly [number, number],
  turn: number,
  reference: ReferenceSpec,
): [number, number][] => {
  const box = (cx: number, cy: number, hw: number, hh: number, angle: number): [number, number][] =>
    [
      [-hw, -hh],
      [hw, -hh],
      [hw, hh],
      [-hw, hh],
    ].map(([x, y]) => [
      cx + Math.cos(angle) * (x as number) - Math.sin(angle) * (y as number),
      cy + Math.sin(angle) * (x as number) + Math.cos(angle) * (y as number),
    ]);
  const points = box(0, 0, swatchMm[0] / 2, swatchMm[1] / 2, turn);
  switch (reference.kind) {
    case 'card':
      points.push(
        ...box(...reference.centreMm, CARD_ID1.widthMm / 2, CARD_ID1.heightMm / 2, reference.rotationRad),
      );
      break;
    case 'coin':
      points.push(...box(...reference.centreMm, reference.diameterMm / 2, reference.diameterMm / 2, 0));
      break;
    case 'paper':
      points.push(
        ...box(...reference.centreMm, reference.widthMm / 2, reference.lengthMm / 2, reference.rotationRad),
      );
      break;
    case 'ruler':
      points.push(...box(...reference.centreMm, 50, reference.widthMm / 2, reference.rotationRad));
      break;
    case 'sheet':
      points.push(
        ...box(
          ...reference.centreMm,
          printedPaperMm.widthMm / 2,
          printedPaperMm.heightMm / 2,
          reference.rotationRad,
        ),
      );
      break;
    case 'caliper':
      points.push(...box(...reference.centreMm, reference.openingMm / 2 + 12, 22, reference.rotationRad));
      break;
    default:
      break;
  }
  return points;
};

/** Sets the camera so that everything fits, then chooses the picture's size for the wanted pixels a stitch. */
export const frameFor = (
  random: Random,
  points: readonly [number, number][],
  walePitchMm: number,
  pitchPx: number,
  radialK1: number,
  maximumPx: number,
): CameraSpec => {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  const target: [number, number] = [
    (Math.min(...xs) + Math.max(...xs)) / 2 + random.between(-4, 4),
    (Math.min(...ys) + Math.max(...ys)) / 2 + random.between(-4, 4),
  ];
  const landscape = random.chance(0.6);
  const focal35Mm = random.between(24, 50);
  const tiltRad = Math.min(0.52, Math.abs(random.normal()) * 0.17);
  const quarter = random.chance(0.75) ? 0 : random.whole(1, 3);
  const draft = {
    targetMm: target,
    tiltRad,
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: (quarter * Math.PI) / 2 + random.between(-0.15, 0.15),
    radialK1,
  };
  const w = landscape ? 4 : 3;
  const h = landscape ? 3 : 4;
  const focalPx = (focal35Mm * Math.hypot(w, h)) / Math.hypot(36, 24);
  const room = random.between(0.78, 0.92);
  let distanceMm = 60;
  for (let step = 0; step < 200; step++, distanceMm *= 1.03) {
    const camera = cameraOf({ ...draft, widthPx: w, heightPx: h, focalPx, distanceMm });
    const fits = points.every(([x, y]) => {
      const [px, py, depth] = camera.project(x, y, 0);
      return depth > 0 && Math.abs(px - w / 2) < (w / 2) * room && Math.abs(py - h / 2) < (h / 2) * room;
    });
    if (fits) break;
  }
  const wanted = ((pitchPx / walePitchMm) * distanceMm) / focalPx;
  const scale = Math.max(480 / Math.max(w, h), Math.min(maximumPx / Math.max(w, h), wanted));
  return {
    ...draft,
    widthPx: Math.round(w * scale),
    heightPx: Math.round(h * scale),
    focalPx: focalPx * scale,
    distanceMm,
  };
};

/** A random scene's description, and what it is a case of. */
export interface RandomScene {
  readonly kind: SceneKind;
  readonly spec: SceneSpec;
  /** Whether the file says with which focal length it was taken: cameras write it, what passes photos on often leaves it out. */
  readonly tellsFocalLength: boolean;
}

/** Share of photos that come straight from the camera that took them (judgement). */
const STRAIGHT_FROM_CAMERA = 0.75;

/** Whether the file of the scene with this generator says its focal length. */
export const tellsFocalLength = (scene: Random): boolean => scene.fork('record').chance(STRAIGHT_FROM_CAMERA);

/**
 * A scene from a seed: 4 to 14 stitches per inch, 4.5 to 100 px a stitch, tilt to 30°, any yarn, light and reference. The same seed and
 * kind give the same scene. `maximumPx` caps the longer side of the picture.
 */
export const randomSpec = (seed: number, wantedKind?: SceneKind, maximumPx = 3000): RandomScene => {
  const random = seeded(seed);
  const kind = wantedKind ?? random.pick(SCENE_KINDS);
  const poor = kind === 'poor photo';
  const fabric = fabricFor(random.fork('fabric'), kind);
  const setting = random.fork('setting');
  const swatchMm: [number, number] = [
    columnsOf(fabric).reduce((sum, column) => sum + column.widthMm, 0),
    fabric.courses * fabric.coursePitchMm,
  ];
  const referenceKind = setting.chance(0.6)
    ? ('grid' as const)
    : setting.pick(['card', 'card', 'ruler', 'coin', 'paper'] as const);
  const reference = referenceFor(setting, referenceKind, swatchMm);
  const loose = groundFor(setting, referenceKind === 'grid');
  // Many lay the swatch along the mat's lines.
  const aligned = setting.chance(0.4);
  const ground = aligned ? { ...loose, rotationRad: setting.normal() * 0.006 } : loose;
  const turn = setting.normal() * (aligned ? 0.012 : 0.08);
  const wantedPitchPx = pitchPxFor(setting, kind);
  const radialK1 = setting.chance(0.3) ? setting.normal() * 0.02 : 0;
  const points = mustShow(swatchMm, turn, reference);
  const camera = frameFor(
    random.fork('camera'),
    points,
    fabric.walePitchMm,
    wantedPitchPx,
    radialK1,
    maximumPx,
  );
  const pitchPx = (fabric.walePitchMm * camera.focalPx) / camera.distanceMm;
  return {
    kind,
    tellsFocalLength: tellsFocalLength(random),
    spec: {
      fabric,
      fabricCentreMm: [0, 0],
      fabricRotationRad: turn,
      ground,
      reference,
      camera,
      light: lightFor(random.fork('light'), poor),
      lens: lensFor(random.fork('lens'), poor, pitchPx),
      jpegQuality: random.fork('file').whole(poor ? 60 : 75, 95),
      seed,
    },
  };
};
