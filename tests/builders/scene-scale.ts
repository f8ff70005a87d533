import { columnsOf } from './fabric';
import { fabricFor } from './fabric-random';
import { type Random, seeded } from './random';
import { hsv } from './random-colour';
import type { SceneSpec } from './scene';
import { SCENE_KINDS } from './scene-kinds';
import type { LightSpec } from './scene-light';
import { frameFor, mustShow } from './scene-random';
import { groundFor, lensFor, lightFor, referenceFor } from './scene-random-setting';
import type { ReferenceSpec } from './scene-reference';

/** Kinds of reference that a photo can be drawn with, the app's own printed sheet among them. */
export const SCALE_KINDS = ['grid', 'card', 'ruler', 'coin', 'paper', 'sheet', 'caliper'] as const;
export type ScaleKind = (typeof SCALE_KINDS)[number];

/** A mat as they are sold: dark or pale, in inches or centimetres, some with lines that hardly show. */
const groundBelow = (random: Random, kind: ScaleKind): SceneSpec['ground'] => {
  const ground = groundFor(random, kind === 'grid' || random.chance(0.25));
  return random.chance(0.5) ? ground : { ...ground, rotationRad: random.normal() * 0.01 };
};

/** Half of the photos with a shadow's edge across them, some with a reflection. */
const unevenLight = (random: Random): LightSpec => {
  const light = lightFor(random, false);
  return {
    ...light,
    hardShadow: random.chance(0.5)
      ? {
          at: [random.between(0.25, 0.75), random.between(0.25, 0.75)],
          headingRad: random.between(0, 2 * Math.PI),
          depth: random.between(0.3, 0.65),
          penumbraPx: random.logBetween(2, 40),
        }
      : null,
    glare: random.chance(0.12)
      ? {
          at: [random.between(0.1, 0.9), random.between(0.1, 0.7)],
          radius: random.between(0.04, 0.1),
          strength: random.between(0.2, 0.7),
        }
      : null,
  };
};

/** The swatch may lie over a part of the thing: a card's corner, a stretch of a ruler, some squares of the sheet. */
const partlyCovered = (
  random: Random,
  reference: ReferenceSpec,
  swatchMm: readonly [number, number],
): ReferenceSpec => {
  if (!random.chance(0.3)) return reference;
  if (reference.kind === 'ruler') {
    const [x, y] = reference.centreMm;
    const shift = random.between(6, 0.6 * reference.widthMm);
    return { ...reference, centreMm: [x + 0.35 * swatchMm[0], y - Math.sign(y) * shift] };
  }
  if (reference.kind === 'sheet') {
    const [x, y] = reference.centreMm;
    return { ...reference, centreMm: [x + random.between(-30, 30), y + random.between(-30, 30)] };
  }
  return reference;
};

/**
 * A photo with one reference of a kind: tilt to 30°, bowing lens in half of them, a shadow's edge in half of them, the swatch over a part of the
 * reference in some. The same seed and kind give the same scene.
 */
export const scaleSpec = (seed: number, kind: ScaleKind, maximumPx: number): SceneSpec => {
  const random = seeded(seed);
  const fabricKinds = SCENE_KINDS.filter((name) => name !== 'close up' && name !== 'small in the picture');
  const fabric = fabricFor(random.fork('fabric'), random.fork('kind').pick(fabricKinds));
  const setting = random.fork('setting');
  const swatchMm: [number, number] = [
    columnsOf(fabric).reduce((sum, column) => sum + column.widthMm, 0),
    fabric.courses * fabric.coursePitchMm,
  ];
  const whole = asSheet(random.fork('sheet'), referenceFor(setting, kind, swatchMm), swatchMm);
  const reference = partlyCovered(random.fork('cover'), whole, swatchMm);
  const ground = groundBelow(random.fork('ground'), kind);
  const turn = setting.normal() * 0.06;
  const radialK1 = setting.chance(0.5) ? setting.normal() * 0.02 : 0;
  const points = mustShow(swatchMm, turn, reference);
  // The picture is as large as it may be: a scale is asked of phones' photos, not of thumbnails.
  const camera = frameFor(random.fork('camera'), points, fabric.walePitchMm, 1e4, radialK1, maximumPx);
  const pitchPx = (fabric.walePitchMm * camera.focalPx) / camera.distanceMm;
  return {
    fabric,
    fabricCentreMm: [0, 0],
    fabricRotationRad: turn,
    ground,
    reference: recoloured(random.fork('colour'), reference),
    camera,
    light: unevenLight(random.fork('light')),
    lens: lensFor(random.fork('lens'), false, pitchPx),
    jpegQuality: random.fork('file').whole(75, 95),
    seed,
  };
};

/** ISO 216 A4, A5 and A6, and Letter (ANSI/ASME Y14.1 size A, 8.5 × 11 in), mm; the least across of the swatches that are laid on them. */
const SHEETS = [
  { widthMm: 210, lengthMm: 297, fitsMm: Number.POSITIVE_INFINITY },
  { widthMm: 215.9, lengthMm: 279.4, fitsMm: Number.POSITIVE_INFINITY },
  { widthMm: 148, lengthMm: 210, fitsMm: 140 },
  { widthMm: 105, lengthMm: 148, fitsMm: 95 },
] as const;

/** A sheet of any size that is larger than the swatch; some have a corner that curls up. */
const asSheet = (
  random: Random,
  reference: ReferenceSpec,
  swatchMm: readonly [number, number],
): ReferenceSpec => {
  if (reference.kind !== 'paper') return reference;
  const across = Math.hypot(...swatchMm);
  const { widthMm, lengthMm } = random.pick(SHEETS.filter(({ fitsMm }) => across < fitsMm));
  const curlMm = random.chance(0.3) ? random.between(0.06, 0.16) * widthMm : 0;
  return { ...reference, widthMm, lengthMm, curlMm };
};

/** Some sheets of paper are coloured. */
const recoloured = (random: Random, reference: ReferenceSpec): ReferenceSpec =>
  reference.kind === 'paper' && random.chance(0.3)
    ? { ...reference, colour: hsv(random.next(), random.between(0.1, 0.5), random.between(0.6, 0.9)) }
    : reference;
