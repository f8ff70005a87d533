import type { Light } from './fabric';
import { noise2, roughNoise2 } from './fabric-noise';
import { digitCover } from './scene-digits';

/** What the swatch lies on. */
export type GroundSpec =
  | {
      readonly kind: 'mat';
      readonly pitchMm: number;
      /** Fine lines between two heavy ones divide the pitch by this; 1 for none. */
      readonly fineParts: number;
      /** Table mm of one crossing of heavy lines, and the turn of the grid. */
      readonly originMm: readonly [number, number];
      readonly rotationRad: number;
      readonly base: Light;
      readonly line: Light;
      readonly heavyWidthMm: number;
      readonly fineWidthMm: number;
      /** How much of the fine lines' print shows, 0 to 1. */
      readonly fineStrength: number;
      /** How far the print has worn off in places, 0 to 1. */
      readonly wear: number;
      readonly numerals: boolean;
    }
  | { readonly kind: 'wood'; readonly base: Light; readonly grain: Light; readonly rotationRad: number }
  | {
      readonly kind: 'cloth';
      readonly base: Light;
      readonly other: Light;
      readonly threadMm: number;
      readonly rotationRad: number;
    };

/** Writes the ground's colour at table mm (x, y) into `out`, averaged over a spot `spotMm` wide. */
export type GroundPainter = (x: number, y: number, spotMm: number, out: Float32Array) => void;

/** Share of a spot that a line covers, for a spot centre `distanceMm` off the line's middle. */
export const lineCover = (distanceMm: number, widthMm: number, spotMm: number): number => {
  const inside = (widthMm / 2 + spotMm / 2 - Math.abs(distanceMm)) / spotMm;
  return inside <= 0 ? 0 : Math.min(inside, 1, widthMm / spotMm);
};

const offLine = (value: number, pitch: number): number => value - pitch * Math.round(value / pitch);

const blendInto = (out: Float32Array, colour: Light, share: number): void => {
  for (let c = 0; c < 3; c++) {
    const own = out[c] as number;
    out[c] = own + ((colour[c] as number) - own) * share;
  }
};

const tint = (out: Float32Array, base: Light, factor: number): void => {
  for (let c = 0; c < 3; c++) out[c] = (base[c] as number) * factor;
};

const matPainter = (spec: Extract<GroundSpec, { kind: 'mat' }>): GroundPainter => {
  const cos = Math.cos(spec.rotationRad);
  const sin = Math.sin(spec.rotationRad);
  const { pitchMm, fineParts, wear } = spec;
  const fineMm = pitchMm / fineParts;
  const digitMm = Math.min(5, pitchMm * 0.42);
  return (x, y, spotMm, out) => {
    const rx = x - spec.originMm[0];
    const ry = y - spec.originMm[1];
    const gx = cos * rx + sin * ry;
    const gy = -sin * rx + cos * ry;
    const grainy = spotMm < 1.5 ? noise2(gx * 2.3, gy * 2.3) * 0.05 : 0;
    tint(out, spec.base, 1 + grainy + 0.06 * roughNoise2(gx / 43, gy / 43));
    const dx = offLine(gx, pitchMm);
    const dy = offLine(gy, pitchMm);
    let ink = Math.max(lineCover(dx, spec.heavyWidthMm, spotMm), lineCover(dy, spec.heavyWidthMm, spotMm));
    if (fineParts > 1) {
      const fine = Math.max(
        lineCover(offLine(gx, fineMm), spec.fineWidthMm, spotMm),
        lineCover(offLine(gy, fineMm), spec.fineWidthMm, spotMm),
      );
      ink = Math.max(ink, fine * spec.fineStrength);
    }
    if (spec.numerals && ink < 1) {
      const column = Math.floor(gx / pitchMm);
      const row = Math.floor(gy / pitchMm);
      if (row === -3)
        ink = Math.max(
          ink,
          digitCover(column + 20, gx - column * pitchMm - 1, gy - row * pitchMm - 1, digitMm, spotMm),
        );
      else if (column === -3)
        ink = Math.max(
          ink,
          digitCover(row + 20, gx - column * pitchMm - 1, gy - row * pitchMm - 1, digitMm, spotMm),
        );
    }
    if (ink > 0) {
      const worn = wear > 0 ? Math.max(0, 1 - wear * (0.75 + 0.9 * roughNoise2(gx / 6.1 + 7, gy / 6.1))) : 1;
      blendInto(out, spec.line, ink * Math.min(1, worn));
    }
    if (wear > 0) {
      const scratch = lineCover(
        offLine(gx * 0.83 + gy * 0.55 + 4 * noise2(gx / 60, gy / 60), 61),
        0.12,
        spotMm,
      );
      if (scratch > 0) blendInto(out, spec.line, 0.35 * wear * scratch);
    }
  };
};

const woodPainter = (spec: Extract<GroundSpec, { kind: 'wood' }>): GroundPainter => {
  const cos = Math.cos(spec.rotationRad);
  const sin = Math.sin(spec.rotationRad);
  return (x, y, spotMm, out) => {
    const u = cos * x + sin * y;
    const v = -sin * x + cos * y;
    const plank = Math.floor(v / 92);
    const lengthwise = u / 55 + plank * 13.7;
    const warp = 4 * noise2(lengthwise * 0.6, v / 30) + plank * 5.3;
    const rings = 0.5 + 0.5 * Math.sin((v / 92) * 30 + warp * 2.2);
    const fine = noise2(u / 9, v * 3.1) * 0.5 + noise2(u / 4, v * 7.3) * (spotMm < 0.5 ? 0.35 : 0.1);
    tint(out, spec.base, 1 + 0.08 * noise2(plank * 3.3, lengthwise));
    blendInto(out, spec.grain, Math.max(0, Math.min(0.85, 0.42 * rings * rings + 0.28 * fine + 0.12)));
    const gap = lineCover(offLine(v, 92), 0.7, spotMm);
    if (gap > 0) for (let c = 0; c < 3; c++) out[c] = (out[c] as number) * (1 - 0.8 * gap);
  };
};

const clothPainter = (spec: Extract<GroundSpec, { kind: 'cloth' }>): GroundPainter => {
  const cos = Math.cos(spec.rotationRad);
  const sin = Math.sin(spec.rotationRad);
  const t = spec.threadMm;
  return (x, y, spotMm, out) => {
    const u = (cos * x + sin * y + 0.5 * noise2(x / 30, y / 30)) / t;
    const v = (-sin * x + cos * y + 0.5 * noise2(x / 33 + 9, y / 33)) / t;
    const visible = Math.max(0, Math.min(1, 1.4 - spotMm / t));
    const over = (Math.floor(u) + Math.floor(v)) % 2 === 0;
    const along = Math.sin(Math.PI * (over ? u - Math.floor(u) : v - Math.floor(v)));
    const relief = 1 - 0.35 * visible * (1 - along);
    tint(out, spec.base, 1 + 0.05 * roughNoise2(x / 25, y / 25));
    blendInto(out, spec.other, 0.5 + (over ? 0.5 : -0.5) * visible);
    const slub =
      1 + 0.08 * noise2(u * 0.21, Math.floor(v) * 3.7) + 0.08 * noise2(Math.floor(u) * 3.1, v * 0.21);
    for (let c = 0; c < 3; c++) out[c] = (out[c] as number) * relief * slub;
  };
};

/** Makes the painter for a ground. */
export const groundPainter = (spec: GroundSpec): GroundPainter => {
  switch (spec.kind) {
    case 'mat':
      return matPainter(spec);
    case 'wood':
      return woodPainter(spec);
    case 'cloth':
      return clothPainter(spec);
  }
};
