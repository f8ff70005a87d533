import type { Random } from './random';
import { hsv } from './random-colour';
import type { GroundSpec } from './scene-ground';
import type { LensSpec } from './scene-lens';
import type { LightSpec } from './scene-light';
import { CARD_ID1, type ReferenceSpec } from './scene-reference';

const INCH = 25.4;

/** A random ground; a mat where one is needed. */
export const groundFor = (random: Random, mat: boolean): GroundSpec => {
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

/** From the middle between a caliper's jaws to the far side of its beam, mm. */
const CALIPER_REACH_MM = 38;

/** A random reference of a kind, laid beside (paper: below) a swatch of the given size at the table's origin. */
export const referenceFor = (
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
    case 'sheet':
      return {
        kind,
        centreMm: [random.between(-6, 6), random.between(-8, 8)],
        rotationRad: random.between(-0.1, 0.1),
        print: { across: random.between(0.985, 1.01), along: random.between(0.985, 1.01) },
        colour: [0.8, 0.8, 0.78],
      };
    case 'caliper': {
      const openingMm = random.pick([INCH, 40, 50, 2 * INCH, random.between(25, 60)]);
      return {
        kind,
        centreMm: [random.between(-12, 12), swatchMm[1] / 2 + CALIPER_REACH_MM + random.between(4, 10)],
        rotationRad: random.between(-0.15, 0.15),
        openingMm,
        thicknessMm: random.between(1.5, 3.5),
        colour: hsv(random.pick([0.12, 0.6]), random.between(0, 0.15), random.between(0.6, 0.9)),
      };
    }
  }
};

/** Random light; poor light has shadow edges and glare more often. */
export const lightFor = (random: Random, poor: boolean): LightSpec => ({
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

/** Random lens and sensor; `pitchPx` bounds what blur and shake leave readable. */
export const lensFor = (random: Random, poor: boolean, pitchPx: number): LensSpec => ({
  blurPx:
    random.between(0.4, 0.9) +
    (poor && random.chance(0.5) ? Math.min(4, pitchPx * random.between(0.05, 0.12)) : 0),
  shakePx: poor && random.chance(0.35) ? pitchPx * random.between(0.08, 0.25) : 0,
  shakeRad: random.between(0, Math.PI),
  noise: poor ? random.between(2, 7) : random.between(0.8, 3),
  exposure: random.between(0.85, 1.25) * (poor && random.chance(0.3) ? random.pick([0.45, 1.5]) : 1),
  vignette: random.between(0, 0.3),
});
