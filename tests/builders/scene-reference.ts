import { sheetFrame } from '../../src/domain/referenceSheet';
import type { Light } from './fabric';
import { noise2, roughNoise2 } from './fabric-noise';
import { caliperOutline, caliperPaint, caliperReachMm } from './scene-caliper';
import { digitCover } from './scene-digits';
import { lineCover } from './scene-ground';
import { inkAt, PAPER_MARGIN_MM } from './scene-sheet';

interface Lying {
  /** Table mm of the thing's middle and its turn. */
  readonly centreMm: readonly [number, number];
  readonly rotationRad: number;
}

/** The thing of known length in the picture. */
export type ReferenceSpec =
  | { readonly kind: 'none' }
  /** The mat below is the reference. */
  | { readonly kind: 'grid' }
  | (Lying & { readonly kind: 'card'; readonly colour: Light; readonly print: Light })
  | (Lying & {
      readonly kind: 'ruler';
      readonly tickMm: number;
      /** Ticks between two of the longest, and between two of the middle length. */
      readonly perNumber: number;
      readonly perMiddle: number;
      readonly lengthMm: number;
      readonly widthMm: number;
      readonly thicknessMm: number;
      readonly colour: Light;
      readonly ink: Light;
    })
  | (Lying & {
      readonly kind: 'coin';
      readonly diameterMm: number;
      readonly thicknessMm: number;
      readonly colour: Light;
    })
  | (Lying & {
      readonly kind: 'paper';
      readonly widthMm: number;
      readonly lengthMm: number;
      readonly colour: Light;
      /** The corner of greatest x and y rolled up about a slanting line that cuts so much off both of its sides, mm; none lies flat. */
      readonly curlMm?: number;
    })
  /** The app's own printed sheet, as its printer scaled it. */
  | (Lying & {
      readonly kind: 'sheet';
      readonly print: { readonly across: number; readonly along: number };
      readonly colour: Light;
    })
  /** A caliper laid flat; the origin lies midway between the inner edges of its long jaws, its beam on the side of −y. */
  | (Lying & {
      readonly kind: 'caliper';
      readonly openingMm: number;
      readonly thicknessMm: number;
      readonly colour: Light;
    });

/** A flat thing on the table, in its own mm with the origin at its middle. */
export interface FlatThing extends Lying {
  readonly thicknessMm: number;
  /** Half the size of the box around it, mm. */
  readonly reachMm: readonly [number, number];
  /** Distance to the outline, mm, negative inside. */
  outline(x: number, y: number): number;
  paint(x: number, y: number, spotMm: number, out: Float32Array): void;
}

/** ISO/IEC 7810:2019, ID-1: nominal size, corner radius and thickness, mm (radius 2.88 to 3.48). */
export const CARD_ID1 = { widthMm: 85.6, heightMm: 53.98, radiusMm: 3.18, thicknessMm: 0.76 } as const;

const roundedBox = (x: number, y: number, hw: number, hh: number, r: number): number => {
  const qx = Math.abs(x) - hw + r;
  const qy = Math.abs(y) - hh + r;
  return Math.min(Math.max(qx, qy), 0) + Math.hypot(Math.max(qx, 0), Math.max(qy, 0)) - r;
};

const set = (out: Float32Array, colour: Light, factor = 1): void => {
  for (let c = 0; c < 3; c++) out[c] = (colour[c] as number) * factor;
};

const mixIn = (out: Float32Array, colour: Light, share: number): void => {
  for (let c = 0; c < 3; c++) {
    const own = out[c] as number;
    out[c] = own + ((colour[c] as number) - own) * share;
  }
};

const cardThing = (spec: Extract<ReferenceSpec, { kind: 'card' }>): FlatThing => {
  const hw = CARD_ID1.widthMm / 2;
  const hh = CARD_ID1.heightMm / 2;
  return {
    centreMm: spec.centreMm,
    rotationRad: spec.rotationRad,
    thicknessMm: CARD_ID1.thicknessMm,
    reachMm: [hw, hh],
    outline: (x, y) => roundedBox(x, y, hw, hh, CARD_ID1.radiusMm),
    paint: (x, y, spotMm, out) => {
      set(out, spec.colour, 1 + 0.12 * Math.sin(x / 23 + y / 31));
      const stripe = Math.max(0, Math.min(1, (5 - Math.abs(y + 14)) / spotMm));
      mixIn(out, spec.print, 0.85 * stripe);
      const chip = roundedBox(x + 27, y - 2, 6, 4.8, 1.2);
      mixIn(out, [0.62, 0.5, 0.2], Math.max(0, Math.min(1, 0.5 - chip / spotMm)));
      mixIn(out, spec.print, 0.8 * digitCover(482, x - 5, y - 6, 5, spotMm));
      mixIn(out, spec.print, 0.8 * digitCover(917, x - 20, y - 6, 5, spotMm));
    },
  };
};

const coinThing = (spec: Extract<ReferenceSpec, { kind: 'coin' }>): FlatThing => {
  const r = spec.diameterMm / 2;
  return {
    centreMm: spec.centreMm,
    rotationRad: spec.rotationRad,
    thicknessMm: spec.thicknessMm,
    reachMm: [r, r],
    outline: (x, y) => Math.hypot(x, y) - r,
    paint: (x, y, spotMm, out) => {
      const d = Math.hypot(x, y);
      const slope = roughNoise2(x / 2.1, y / 2.1) - roughNoise2(x / 2.1 + 0.2, y / 2.1 + 0.2);
      const inner = d < 0.72 * r ? 1 : 0.3;
      const rim = lineCover(d - 0.94 * r, 0.05 * r, spotMm) - lineCover(d - 0.9 * r, 0.04 * r, spotMm);
      set(out, spec.colour, 0.9 + 0.9 * inner * slope + 0.3 * rim + 0.14 * Math.sin(Math.atan2(y, x) * 2));
    },
  };
};

/** A corner curls up about a roll of this radius, as a share of how far its tip lies beyond the line where it leaves the table. */
const ROLL_SHARE = 0.8;

/** A sheet's corner rolled up: from a place seen from above to the place on the flat sheet that is there, and how steep the sheet stands (0 flat, 1 upright). */
const curledAt = (
  { widthMm, lengthMm, curlMm = 0 }: Extract<ReferenceSpec, { kind: 'paper' }>,
  x: number,
  y: number,
): { x: number; y: number; steep: number } => {
  const beyond = (x - widthMm / 2 + (y - lengthMm / 2) + curlMm) * Math.SQRT1_2;
  if (curlMm === 0 || beyond <= 0) return { x, y, steep: 0 };
  const radius = ROLL_SHARE * curlMm * Math.SQRT1_2;
  const steep = Math.min(1, beyond / radius);
  const unrolled = beyond < radius ? radius * Math.asin(steep) : 4 * curlMm;
  const further = (unrolled - beyond) * Math.SQRT1_2;
  return { x: x + further, y: y + further, steep };
};

const paperThing = (spec: Extract<ReferenceSpec, { kind: 'paper' }>): FlatThing => ({
  centreMm: spec.centreMm,
  rotationRad: spec.rotationRad,
  thicknessMm: 0.1,
  reachMm: [spec.widthMm / 2, spec.lengthMm / 2],
  outline: (x, y) => {
    const flat = curledAt(spec, x, y);
    return roundedBox(flat.x, flat.y, spec.widthMm / 2, spec.lengthMm / 2, 0.05);
  },
  paint: (x, y, _spotMm, out) =>
    set(
      out,
      spec.colour,
      (1 + 0.015 * noise2(x / 3, y / 3) + 0.02 * noise2(x / 70, y / 70)) *
        (1 - 0.5 * curledAt(spec, x, y).steep ** 2),
    ),
});

/** Local x of tick number 0 of a ruler, mm. */
export const rulerStartMm = (spec: Extract<ReferenceSpec, { kind: 'ruler' }>): number =>
  -spec.lengthMm / 2 + 4;

/** How far a tick reaches in from the ruler's edge, mm. */
const tickReachMm = (spec: Extract<ReferenceSpec, { kind: 'ruler' }>, tick: number): number =>
  tick % spec.perNumber === 0 ? 8.5 : tick % spec.perMiddle === 0 ? 6 : 4;

/** Number of ticks printed on a ruler. */
export const rulerTicks = (spec: Extract<ReferenceSpec, { kind: 'ruler' }>): number =>
  Math.floor((spec.lengthMm - 8) / spec.tickMm) + 1;

const rulerThing = (spec: Extract<ReferenceSpec, { kind: 'ruler' }>): FlatThing => {
  const hw = spec.lengthMm / 2;
  const hh = spec.widthMm / 2;
  const start = rulerStartMm(spec);
  const count = rulerTicks(spec);
  const numberMm = spec.tickMm * spec.perNumber;
  return {
    centreMm: spec.centreMm,
    rotationRad: spec.rotationRad,
    thicknessMm: spec.thicknessMm,
    reachMm: [hw, hh],
    outline: (x, y) => roundedBox(x, y, hw, hh, 0.6),
    paint: (x, y, spotMm, out) => {
      set(out, spec.colour, 1 + 0.06 * noise2(x * 0.9, y * 9) + 0.04 * noise2(x / 20, y / 5));
      const tick = Math.round((x - start) / spec.tickMm);
      const fromEdge = y + hh;
      if (tick >= 0 && tick < count && fromEdge < tickReachMm(spec, tick)) {
        mixIn(out, spec.ink, lineCover(x - start - tick * spec.tickMm, 0.18, spotMm));
      }
      const number = Math.round((x - start) / numberMm);
      mixIn(
        out,
        spec.ink,
        digitCover(number, x - start - number * numberMm + 1.2, fromEdge - 9.5, 3.6, spotMm),
      );
    },
  };
};

/** Size of the paper that the printed sheet is on, mm. */
export const printedPaperMm = {
  widthMm: sheetFrame.widthMm + 2 * PAPER_MARGIN_MM,
  heightMm: sheetFrame.heightMm + 2 * PAPER_MARGIN_MM,
} as const;

const sheetThing = (spec: Extract<ReferenceSpec, { kind: 'sheet' }>): FlatThing => {
  const { widthMm, heightMm } = printedPaperMm;
  const { across, along } = spec.print;
  return {
    centreMm: spec.centreMm,
    rotationRad: spec.rotationRad,
    thicknessMm: 0.1,
    reachMm: [widthMm / 2, heightMm / 2],
    outline: (x, y) => roundedBox(x, y, widthMm / 2, heightMm / 2, 0.05),
    paint: (x, y, spotMm, out) => {
      const ink = inkAt(
        x / across + sheetFrame.widthMm / 2,
        y / along + sheetFrame.heightMm / 2,
        spotMm,
        0.04,
      );
      set(out, spec.colour, (1 - 0.94 * ink) * (1 + 0.015 * noise2(x / 3, y / 3)));
    },
  };
};

const caliperThing = (spec: Extract<ReferenceSpec, { kind: 'caliper' }>): FlatThing => ({
  centreMm: spec.centreMm,
  rotationRad: spec.rotationRad,
  thicknessMm: spec.thicknessMm,
  reachMm: caliperReachMm(spec.openingMm),
  outline: (x, y) => caliperOutline(x, y, spec.openingMm),
  paint: (x, y, spotMm, out) => set(out, spec.colour, caliperPaint(x, y, spec.openingMm, spotMm)),
});

/** The flat thing to lay on the table for a reference, or null where the reference is none or the ground itself. */
export const flatThingOf = (spec: ReferenceSpec): FlatThing | null => {
  switch (spec.kind) {
    case 'none':
    case 'grid':
      return null;
    case 'card':
      return cardThing(spec);
    case 'coin':
      return coinThing(spec);
    case 'paper':
      return paperThing(spec);
    case 'ruler':
      return rulerThing(spec);
    case 'sheet':
      return sheetThing(spec);
    case 'caliper':
      return caliperThing(spec);
  }
};

/** Carries a thing's own mm to table mm. */
export const thingToTable = (thing: Lying, x: number, y: number): [number, number] => {
  const c = Math.cos(thing.rotationRad);
  const s = Math.sin(thing.rotationRad);
  return [thing.centreMm[0] + c * x - s * y, thing.centreMm[1] + s * x + c * y];
};

/** Carries table mm to a thing's own mm. */
export const tableToThing = (thing: Lying, x: number, y: number): [number, number] => {
  const c = Math.cos(thing.rotationRad);
  const s = Math.sin(thing.rotationRad);
  const dx = x - thing.centreMm[0];
  const dy = y - thing.centreMm[1];
  return [c * dx + s * dy, -s * dx + c * dy];
};
