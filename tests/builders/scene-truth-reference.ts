import { sheetFrame } from '../../src/domain/referenceSheet';
import type { Camera } from './scene-camera';
import type { GroundSpec } from './scene-ground';
import { CARD_ID1, type ReferenceSpec, rulerStartMm, rulerTicks, thingToTable } from './scene-reference';
import type { Px } from './scene-truth';

/** Where the reference's features are in the photo; `heightMm` is that of its upper face above the table. */
export type ReferenceTruth =
  | { readonly kind: 'none'; readonly heightMm: 0 }
  | {
      readonly kind: 'grid';
      readonly heightMm: 0;
      readonly pitchMm: number;
      readonly finePitchMm: number;
      /** Crossings of heavy lines inside the frame; table mm and px. */
      readonly crossings: readonly { readonly mm: Px; readonly px: Px }[];
    }
  | {
      readonly kind: 'card' | 'paper';
      readonly heightMm: number;
      readonly sizeMm: readonly [number, number];
      /** Corners of the rectangle, before any rounding. */
      readonly cornersPx: readonly Px[];
    }
  | {
      readonly kind: 'coin';
      readonly heightMm: number;
      readonly diameterMm: number;
      readonly ellipse: {
        readonly centre: Px;
        readonly semiMajorPx: number;
        readonly semiMinorPx: number;
        readonly angleRad: number;
      };
    }
  | {
      readonly kind: 'ruler';
      readonly heightMm: number;
      readonly tickMm: number;
      /** Where each tick meets the ruler's edge; mm from tick 0. */
      readonly ticks: readonly { readonly mm: number; readonly px: Px }[];
    }
  | {
      readonly kind: 'sheet';
      readonly heightMm: number;
      readonly print: { readonly across: number; readonly along: number };
      /** Corners of the printed frame, clockwise from its upper left. */
      readonly cornersPx: readonly Px[];
    }
  | {
      readonly kind: 'caliper';
      readonly heightMm: number;
      readonly openingMm: number;
      /** Middles of the two jaws' inner edges. */
      readonly jawsPx: readonly [Px, Px];
    };

const inFrame = (camera: Camera, [x, y]: Px): boolean =>
  x >= 0 && y >= 0 && x <= camera.spec.widthPx && y <= camera.spec.heightPx;

const seen = (camera: Camera, x: number, y: number, z: number): Px => {
  const [px, py] = camera.project(x, y, z);
  return [px, py];
};

const gridTruth = (camera: Camera, ground: Extract<GroundSpec, { kind: 'mat' }>): ReferenceTruth => {
  const c = Math.cos(ground.rotationRad);
  const s = Math.sin(ground.rotationRad);
  const crossings: { mm: Px; px: Px }[] = [];
  const reach = Math.ceil((3 * camera.spec.distanceMm) / ground.pitchMm);
  for (let i = -reach; i <= reach; i++) {
    for (let j = -reach; j <= reach; j++) {
      const u = i * ground.pitchMm;
      const v = j * ground.pitchMm;
      const mm: Px = [ground.originMm[0] + c * u - s * v, ground.originMm[1] + s * u + c * v];
      const px = seen(camera, mm[0], mm[1], 0);
      if (inFrame(camera, px)) crossings.push({ mm, px });
    }
  }
  return {
    kind: 'grid',
    heightMm: 0,
    pitchMm: ground.pitchMm,
    finePitchMm: ground.pitchMm / ground.fineParts,
    crossings,
  };
};

/** The ellipse that a circle on a level plane becomes: its conic carried through the plane's homography. */
const ellipseOf = (camera: Camera, centreMm: readonly [number, number], radiusMm: number, z: number) => {
  const h = camera.homographyToPlane(z);
  const [mx, my] = centreMm;
  const rows = [
    [h[0] - mx * h[6], h[1] - mx * h[7], h[2] - mx * h[8]],
    [h[3] - my * h[6], h[4] - my * h[7], h[5] - my * h[8]],
    [radiusMm * h[6], radiusMm * h[7], radiusMm * h[8]],
  ] as const;
  const entry = (i: 0 | 1 | 2, j: 0 | 1 | 2): number =>
    rows[0][i] * rows[0][j] + rows[1][i] * rows[1][j] - rows[2][i] * rows[2][j];
  const a = entry(0, 0);
  const b = entry(0, 1);
  const c = entry(1, 1);
  const d = entry(0, 2);
  const e = entry(1, 2);
  const g = entry(2, 2);
  const det = a * c - b * b;
  const x = (b * e - c * d) / det;
  const y = (b * d - a * e) / det;
  const level = -(d * x + e * y + g);
  const middle = (a + c) / 2;
  const spread = Math.hypot((a - c) / 2, b);
  return {
    centre: [x, y] as const,
    semiMajorPx: Math.sqrt(level / (middle - spread)),
    semiMinorPx: Math.sqrt(level / (middle + spread)),
    angleRad: 0.5 * Math.atan2(2 * b, a - c) + Math.PI / 2,
  };
};

/** Works out where the reference is seen. */
export const referenceTruth = (
  camera: Camera,
  reference: ReferenceSpec,
  ground: GroundSpec,
): ReferenceTruth => {
  const cornersOf = (
    thing: Extract<ReferenceSpec, { kind: 'card' | 'paper' | 'sheet' }>,
    w: number,
    h: number,
    z: number,
  ) =>
    (
      [
        [-1, -1],
        [1, -1],
        [1, 1],
        [-1, 1],
      ] as const
    ).map(([sx, sy]) => seen(camera, ...thingToTable(thing, (sx * w) / 2, (sy * h) / 2), z));
  switch (reference.kind) {
    case 'none':
      return { kind: 'none', heightMm: 0 };
    case 'grid':
      if (ground.kind !== 'mat') throw new RangeError('A grid reference needs a mat to lie on.');
      return gridTruth(camera, ground);
    case 'card': {
      const { widthMm, heightMm, thicknessMm } = CARD_ID1;
      return {
        kind: 'card',
        heightMm: thicknessMm,
        sizeMm: [widthMm, heightMm],
        cornersPx: cornersOf(reference, widthMm, heightMm, thicknessMm),
      };
    }
    case 'paper':
      return {
        kind: 'paper',
        heightMm: 0.1,
        sizeMm: [reference.widthMm, reference.lengthMm],
        cornersPx: cornersOf(reference, reference.widthMm, reference.lengthMm, 0.1),
      };
    case 'coin':
      return {
        kind: 'coin',
        heightMm: reference.thicknessMm,
        diameterMm: reference.diameterMm,
        ellipse: ellipseOf(camera, reference.centreMm, reference.diameterMm / 2, reference.thicknessMm),
      };
    case 'ruler': {
      const start = rulerStartMm(reference);
      const ticks = Array.from({ length: rulerTicks(reference) }, (_, i) => ({
        mm: i * reference.tickMm,
        px: seen(
          camera,
          ...thingToTable(reference, start + i * reference.tickMm, -reference.widthMm / 2),
          reference.thicknessMm,
        ),
      }));
      return {
        kind: 'ruler',
        heightMm: reference.thicknessMm,
        tickMm: reference.tickMm,
        ticks: ticks.filter((tick) => inFrame(camera, tick.px)),
      };
    }
    case 'sheet': {
      const { across, along } = reference.print;
      return {
        kind: 'sheet',
        heightMm: 0.1,
        print: reference.print,
        cornersPx: cornersOf(reference, sheetFrame.widthMm * across, sheetFrame.heightMm * along, 0.1),
      };
    }
    case 'caliper': {
      const half = reference.openingMm / 2;
      const jaw = (x: number): Px => seen(camera, ...thingToTable(reference, x, 0), reference.thicknessMm);
      return {
        kind: 'caliper',
        heightMm: reference.thicknessMm,
        openingMm: reference.openingMm,
        jawsPx: [jaw(-half), jaw(half)],
      };
    }
  }
};
