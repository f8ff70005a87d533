import type { FabricSpec, Light, Structure, YarnSpec } from './fabric';
import { columnsOf } from './fabric';
import { type Random, seeded } from './random';
import type { SceneSpec } from './scene';
import { type CameraSpec, cameraOf } from './scene-camera';
import type { GroundSpec } from './scene-ground';
import type { LensSpec } from './scene-lens';
import type { LightSpec } from './scene-light';
import { CARD_ID1, type ReferenceSpec } from './scene-reference';

/** What a generated photo is a case of. */
export const SCENE_KINDS = [
  'plain knit',
  'plain purl',
  'near-black',
  'stripes',
  'marl',
  'heather and speckle',
  'fuzzy',
  'needle gaps',
  'rib',
  'garter',
  'poor photo',
  'small in the picture',
  'close up',
] as const;

export type SceneKind = (typeof SCENE_KINDS)[number];

const INCH = 25.4;

const hsv = (h: number, s: number, v: number): Light => {
  const f = (n: number): number => {
    const k = (n + h * 6) % 6;
    return (v - v * s * Math.max(0, Math.min(k, 4 - k, 1))) ** 2.2;
  };
  return [f(5), f(3), f(1)];
};

const yarnColour = (random: Random, kind: SceneKind): YarnSpec['colour'] => {
  const light = (): Light => hsv(random.next(), random.between(0.02, 0.3), random.between(0.8, 0.95));
  const middle = (): Light => hsv(random.next(), random.between(0.3, 0.75), random.between(0.5, 0.85));
  const dark = (): Light => hsv(random.next(), random.between(0.1, 0.6), random.between(0.12, 0.3));
  const any = (): Light => random.pick([light, middle, middle, dark])();
  switch (kind) {
    case 'near-black':
      return { kind: 'solid', base: dark() };
    case 'stripes':
      return {
        kind: 'stripes',
        colours: Array.from({ length: random.whole(2, 5) }, any),
        runMm: random.logBetween(60, 2500),
      };
    case 'marl':
      return { kind: 'marl', base: light(), other: random.pick([middle, dark])() };
    case 'heather and speckle':
      return random.chance(0.5)
        ? { kind: 'heather', base: middle(), other: any() }
        : {
            kind: 'speckle',
            base: light(),
            dots: Array.from({ length: random.whole(2, 4) }, middle),
            share: random.between(0.08, 0.35),
          };
    case 'poor photo':
    case 'small in the picture':
    case 'close up':
      return { kind: 'solid', base: random.pick([light, middle])() };
    default:
      return { kind: 'solid', base: random.pick([light, middle, middle])() };
  }
};

const yarnFor = (random: Random, kind: SceneKind, walePitchMm: number): YarnSpec => {
  const plies = kind === 'marl' ? 2 : random.whole(2, 4);
  return {
    colour: yarnColour(random, kind),
    diameterMm: walePitchMm * random.between(0.4, 0.52),
    plies,
    lay: random.between(3, 6.5),
    relief: random.between(0.15, 0.75),
    halo: kind === 'fuzzy' ? random.between(0.45, 1) : random.between(0, 0.25),
    slub: random.between(0.01, 0.06),
  };
};

const structureFor = (random: Random, kind: SceneKind): Structure => {
  switch (kind) {
    case 'plain purl':
      return { kind: 'plainPurl' };
    case 'needle gaps':
      return { kind: 'mockRib', gapEvery: random.pick([2, 3, 4, 6]), gapWidth: random.between(0.8, 1.3) };
    case 'rib': {
      const [knit, purl] = random.pick([
        [1, 1],
        [2, 1],
        [2, 2],
      ] as const);
      return { kind: 'rib', knit, purl, openness: random.chance(0.4) ? 0 : random.between(0.4, 0.9) };
    }
    case 'garter':
      return { kind: 'garter' };
    case 'plain knit':
    case 'close up':
      return { kind: 'plainKnit' };
    default:
      return random.chance(0.75) ? { kind: 'plainKnit' } : { kind: 'plainPurl' };
  }
};

const fabricFor = (random: Random, kind: SceneKind): FabricSpec => {
  const perInch = kind === 'close up' ? random.logBetween(4, 8) : random.logBetween(4, 14);
  const walePitchMm = INCH / perInch;
  const structure = structureFor(random, kind);
  const ratio = structure.kind === 'garter' ? random.between(1.7, 2.1) : random.between(1.22, 1.6);
  const yarn = yarnFor(random, kind, walePitchMm);
  const coursePitchMm = walePitchMm / ratio;
  const sizeMm = kind === 'close up' ? random.between(45, 60) : random.between(60, 120);
  const size = Math.max(sizeMm, 14 * walePitchMm);
  const draft: FabricSpec = {
    structure,
    needles: Math.round(size / walePitchMm),
    courses: Math.round((size * random.between(0.85, 1.25)) / coursePitchMm),
    walePitchMm,
    coursePitchMm,
    yarn,
    loop: { spread: random.between(0.21, 0.27), reach: random.between(1.1, 1.24) },
    skewRad: random.normal() * 0.02,
    leanRad: random.normal() * 0.04,
    bowMm: random.normal() * size * 0.012,
    stretch: Math.abs(random.normal()) * 0.012,
    jitter: random.between(0.01, 0.06),
    unevenness: {
      share: random.between(0, 0.03),
      every: random.chance(0.15) ? random.whole(4, 12) : 0,
    },
    curlRad: structure.kind === 'plainKnit' || structure.kind === 'plainPurl' ? random.between(0, 1) : 0,
    seed: Math.floor(random.next() * 1e9),
  };
  // Closed ribs are narrower than their needle count says: make them as wide as the rest.
  const width = columnsOf(draft).reduce((sum, column) => sum + column.widthMm, 0);
  return { ...draft, needles: Math.round((draft.needles * size) / width) };
};

const groundFor = (random: Random, mat: boolean): GroundSpec => {
  const rotationRad = random.between(-0.35, 0.35);
  if (!mat && random.chance(0.6)) {
    const h = random.between(0.05, 0.1);
    return {
      kind: 'wood',
      base: hsv(h, random.between(0.3, 0.6), random.between(0.45, 0.85)),
      grain: hsv(h, 0.6, random.between(0.25, 0.45)),
      rotationRad: random.between(0, Math.PI),
    };
  }
  if (!mat) {
    const h = random.next();
    const v = random.between(0.3, 0.9);
    return {
      kind: 'cloth',
      base: hsv(h, 0.2, v),
      other: hsv(h, 0.3, v * random.between(0.85, 1)),
      threadMm: random.between(0.4, 1.1),
      rotationRad,
    };
  }
  const inch = random.chance(0.5);
  const pale = random.chance(0.2);
  const h = random.pick([0.4, 0.45, 0.55, 0.6, 0.85, 0]);
  const base = pale
    ? hsv(h, random.between(0.05, 0.2), random.between(0.75, 0.9))
    : hsv(h, random.between(0, 0.7), random.between(0.12, 0.5));
  return {
    kind: 'mat',
    pitchMm: inch ? INCH : 10,
    fineParts: inch ? random.pick([1, 2, 4, 8]) : random.pick([1, 2, 2]),
    originMm: [random.between(-20, 20), random.between(-20, 20)],
    rotationRad,
    base,
    line: pale
      ? hsv(h, random.between(0.2, 0.6), random.between(0.3, 0.5))
      : hsv(random.pick([h, 0.15]), random.between(0, 0.35), random.between(0.7, 0.95)),
    heavyWidthMm: random.between(0.3, 0.6),
    fineWidthMm: random.between(0.12, 0.25),
    fineStrength: random.between(0.35, 0.8),
    wear: random.chance(0.5) ? random.between(0, 0.5) : 0,
    numerals: random.chance(0.6),
  };
};

/** Coins by diameter and thickness, mm, as their mints publish them (24.26/1.75, 23.25/2.33, 22.25/2.14, 19.05/1.52). */
const COINS = [
  [24.26, 1.75],
  [23.25, 2.33],
  [22.25, 2.14],
  [19.05, 1.52],
] as const;

/** ISO 216 A4 and A5, mm. */
const SHEETS = [
  [210, 297],
  [148, 210],
] as const;

const referenceFor = (
  random: Random,
  kind: ReferenceSpec['kind'],
  swatchMm: readonly [number, number],
): ReferenceSpec => {
  const beside = (halfWidth: number): [number, number] => {
    const side = random.pick([-1, 1]);
    return [
      side * (swatchMm[0] / 2 + halfWidth + random.between(6, 14)),
      random.between(-0.25, 0.25) * swatchMm[1],
    ];
  };
  switch (kind) {
    case 'none':
    case 'grid':
      return { kind };
    case 'card': {
      const upright = random.chance(0.6);
      const half = (upright ? CARD_ID1.heightMm : CARD_ID1.widthMm) / 2;
      return {
        kind,
        centreMm: beside(half + 3),
        rotationRad: (upright ? Math.PI / 2 : 0) + random.between(-0.12, 0.12),
        colour: hsv(random.next(), random.between(0.05, 0.7), random.between(0.3, 0.95)),
        print: hsv(random.next(), 0.3, random.between(0.1, 0.9)),
      };
    }
    case 'ruler': {
      const [tickMm, perNumber, perMiddle] = random.pick([
        [1, 10, 5],
        [INCH / 16, 16, 8],
        [INCH / 8, 8, 4],
      ] as const);
      const dark = random.chance(0.25);
      const metal = hsv(random.pick([0.12, 0.6]), random.between(0, 0.3), random.between(0.75, 0.92));
      const ink = hsv(0, 0, 0.1);
      return {
        kind,
        centreMm: [
          random.between(-10, 10),
          random.pick([-1, 1]) * (swatchMm[1] / 2 + 14 + random.between(4, 10)),
        ],
        rotationRad: random.between(-0.08, 0.08),
        tickMm,
        perNumber,
        perMiddle,
        lengthMm: random.pick([162, 212]),
        widthMm: random.between(19, 28),
        thicknessMm: random.between(0.6, 1.2),
        colour: dark ? ink : metal,
        ink: dark ? metal : ink,
      };
    }
    case 'coin': {
      const [diameterMm, thicknessMm] = random.pick(COINS);
      return {
        kind,
        centreMm: beside(diameterMm / 2),
        rotationRad: random.between(0, 6),
        diameterMm,
        thicknessMm,
        colour: hsv(random.pick([0.07, 0.12, 0.6]), random.between(0.05, 0.5), random.between(0.5, 0.75)),
      };
    }
    case 'paper': {
      const size = Math.hypot(...swatchMm) > 140 ? SHEETS[0] : random.pick(SHEETS);
      return {
        kind,
        centreMm: [random.between(-0.1, 0.1) * size[0], random.between(-0.1, 0.1) * size[1]],
        rotationRad: random.between(-0.1, 0.1),
        widthMm: size[0],
        lengthMm: size[1],
        colour: [0.8, 0.8, 0.78],
      };
    }
  }
};

const lightFor = (random: Random, poor: boolean): LightSpec => ({
  azimuthRad: random.between(0, 2 * Math.PI),
  elevationRad: poor ? random.between(0.35, 1.2) : random.between(0.55, 1.3),
  direct: random.between(0.3, 0.75),
  softness: random.next(),
  tint: [1, random.between(0.9, 1), random.between(0.78, 1.05)],
  falloff: random.between(0, 0.5),
  hardShadow:
    (poor && random.chance(0.5)) || random.chance(0.06)
      ? {
          at: [random.between(0.35, 0.65), random.between(0.35, 0.65)],
          headingRad: random.between(0, 2 * Math.PI),
          depth: random.between(0.4, 0.7),
          penumbraPx: random.logBetween(2, 40),
        }
      : null,
  glare:
    (poor && random.chance(0.4)) || random.chance(0.04)
      ? {
          at: [random.between(0.2, 0.8), random.between(0.2, 0.6)],
          radius: random.between(0.06, 0.16),
          strength: random.between(0.3, 1),
        }
      : null,
});

const lensFor = (random: Random, poor: boolean, pitchPx: number): LensSpec => ({
  blurPx:
    random.between(0.4, 0.9) +
    (poor && random.chance(0.5) ? Math.min(4, pitchPx * random.between(0.05, 0.12)) : 0),
  shakePx: poor && random.chance(0.35) ? pitchPx * random.between(0.08, 0.25) : 0,
  shakeRad: random.between(0, Math.PI),
  noise: poor ? random.between(2, 7) : random.between(0.8, 3),
  exposure: random.between(0.85, 1.25) * (poor && random.chance(0.3) ? random.pick([0.45, 1.5]) : 1),
  vignette: random.between(0, 0.3),
});

const pitchPxFor = (random: Random, kind: SceneKind): number => {
  if (kind === 'small in the picture') return random.logBetween(4.5, 9);
  if (kind === 'close up') return random.logBetween(45, 100);
  return random.logBetween(9, 42);
};

/** Corners of everything that must be in the picture, table mm. */
const mustShow = (
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
    default:
      break;
  }
  return points;
};

/** Sets the camera so that everything fits, then chooses the picture's size for the wanted pixels a stitch. */
const frame = (
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
}

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
  const ground = groundFor(setting, referenceKind === 'grid');
  const turn = setting.normal() * 0.08;
  const wantedPitchPx = pitchPxFor(setting, kind);
  const radialK1 = setting.chance(0.3) ? setting.normal() * 0.02 : 0;
  const points = mustShow(swatchMm, turn, reference);
  const camera = frame(random.fork('camera'), points, fabric.walePitchMm, wantedPitchPx, radialK1, maximumPx);
  const pitchPx = (fabric.walePitchMm * camera.focalPx) / camera.distanceMm;
  return {
    kind,
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
