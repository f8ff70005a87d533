import type { FabricSpec, Light, YarnSpec } from './fabric';
import { noise2 } from './fabric-noise';
import type { YarnPieces, YarnRaster } from './fabric-raster';
import { unitFrom } from './random';

/** The fabric at the photo's own pixels over a box, before shadows fall on it. */
export interface FabricLayer {
  readonly box: YarnRaster['box'];
  /** Share of each pixel that yarn covers. */
  readonly cover: Float32Array;
  /** Light by the lamp and own colour, each three numbers a pixel, already times `cover`. */
  readonly lit: Float32Array;
  readonly own: Float32Array;
  /** Mean depth of the yarn in the pixel, mm; 0 where there is none. */
  readonly depth: Float32Array;
}

interface PieceColours {
  readonly first: Float32Array;
  readonly second: Float32Array;
}

const colourAlong = (yarn: YarnSpec, alongMm: number, seed: number): readonly [Light, Light] => {
  const { colour } = yarn;
  switch (colour.kind) {
    case 'solid':
      return [colour.base, colour.base];
    case 'heather':
    case 'marl':
      return [colour.base, colour.other];
    case 'stripes': {
      const run = Math.floor(alongMm / colour.runMm);
      const c = colour.colours[run % colour.colours.length] as Light;
      return [c, c];
    }
    case 'speckle': {
      const cellMm = 4 * yarn.diameterMm;
      const cell = Math.floor(alongMm / cellMm + 0.5 * noise2(alongMm / 31, seed));
      const dotted = unitFrom(seed, cell, 17) < colour.share;
      const dot = colour.dots[Math.floor(unitFrom(seed, cell, 18) * colour.dots.length)];
      const c = dotted && dot !== undefined ? dot : colour.base;
      return [c, c];
    }
  }
};

const pieceColours = (spec: FabricSpec, pieces: YarnPieces): PieceColours => {
  const first = new Float32Array(3 * pieces.count);
  const second = new Float32Array(3 * pieces.count);
  for (let k = 0; k < pieces.count; k++) {
    const along = pieces.alongA[k] as number;
    const shade = 1 + 0.07 * noise2(along / (40 * spec.yarn.diameterMm), 7.3 + (spec.seed % 97));
    const [a, b] = colourAlong(spec.yarn, along, spec.seed);
    for (let c = 0; c < 3; c++) {
      first[3 * k + c] = (a[c] as number) * shade;
      second[3 * k + c] = (b[c] as number) * shade;
    }
  }
  return { first, second };
};

const angleOf = Float32Array.from({ length: 256 }, (_, i) =>
  Math.asin(Math.max(-1, Math.min(1, (i - 128) / 127))),
);

/** Sine over one turn in 4096 steps; the cosine is a quarter turn on. */
const sineOf = Float32Array.from({ length: 4096 }, (_, i) => Math.sin((2 * Math.PI * i) / 4096));
const STEPS_A_RADIAN = 4096 / (2 * Math.PI);

/**
 * Lights every visible sample of yarn and gathers the samples into photo pixels. `lamp` is the unit vector towards the lamp in camera axes
 * (right, down, forward).
 */
export const lightYarn = (
  spec: FabricSpec,
  pieces: YarnPieces,
  raster: YarnRaster,
  lamp: readonly [number, number, number],
): FabricLayer => {
  const { box, fineness, width, height } = raster;
  const n = box.width * box.height;
  const layer: FabricLayer = {
    box,
    cover: new Float32Array(n),
    lit: new Float32Array(3 * n),
    own: new Float32Array(3 * n),
    depth: new Float32Array(n),
  };
  const { cover, lit, own, depth } = layer;
  const { piece, offset, share: shareAlong } = raster;
  const { yarn } = spec;
  const { first, second } = pieceColours(spec, pieces);
  const layMm = yarn.lay * yarn.diameterMm;
  const turn = (2 * Math.PI) / layMm;
  const streak = 1.3 / yarn.diameterMm;
  const mixed = yarn.colour.kind === 'marl' ? 1 : yarn.colour.kind === 'heather' ? 2 : 0;
  const weight = 1 / (fineness * fineness);
  const [lx, ly, lz] = lamp;
  const wrap = 0.18 + 0.35 * yarn.halo;
  for (let y = 0; y < height; y++) {
    const row = Math.floor(y / fineness) * box.width;
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      const k = piece[at] as number;
      if (k < 0) continue;
      const i = (offset[at] as number) + 128;
      const u = (i - 128) / 127;
      const phi = angleOf[i] as number;
      const f = (shareAlong[at] as number) / 255;
      const along = (pieces.alongA[k] as number) * (1 - f) + (pieces.alongB[k] as number) * f;
      const theta = phi + along * turn;
      const half = (theta * yarn.plies) / 2;
      const step = Math.floor(half * STEPS_A_RADIAN);
      const sine = sineOf[step & 4095] as number;
      const ply = sineOf[(step + 1024) & 4095] as number;
      const groove = 1 - Math.abs(ply);
      // The relief of the strands leans the surface away from each strand's crest.
      let across = u + yarn.relief * 0.55 * (ply < 0 ? -sine : sine);
      across = Math.max(-0.999, Math.min(0.999, across));
      const facing = Math.sqrt(1 - across * across);
      const nDotL =
        across * ((pieces.across[3 * k] as number) * lx + (pieces.across[3 * k + 1] as number) * ly) +
        facing *
          ((pieces.towards[3 * k] as number) * lx +
            (pieces.towards[3 * k + 1] as number) * ly +
            (pieces.towards[3 * k + 2] as number) * lz);
      const fibre = noise2(theta * 2.6, along * streak);
      const direct = Math.max(0, (nDotL + wrap) / (1 + wrap)) + 0.1 * (1 - facing);
      const tone = (1 - 0.55 * yarn.relief * groove * groove) * (1 + 0.13 * fibre);
      let blend = 0;
      if (mixed === 1) blend = ply + 0.25 * fibre > 0 ? 0 : 1;
      else if (mixed === 2) {
        const strand =
          noise2(theta * 1.7 + 40, along * 0.55 * streak) + 0.4 * noise2(theta * 4 + 9, along * streak);
        blend = strand > 0.28 ? 0.8 : strand > 0.05 ? 0.35 : 0;
      }
      const p = row + Math.floor(x / fineness);
      const litTone = tone * direct * weight;
      const ownTone = tone * weight;
      const q = 3 * p;
      const from = 3 * k;
      const keep = 1 - blend;
      const red = (first[from] as number) * keep + (second[from] as number) * blend;
      const green = (first[from + 1] as number) * keep + (second[from + 1] as number) * blend;
      const blue = (first[from + 2] as number) * keep + (second[from + 2] as number) * blend;
      lit[q] = (lit[q] as number) + red * litTone;
      lit[q + 1] = (lit[q + 1] as number) + green * litTone;
      lit[q + 2] = (lit[q + 2] as number) + blue * litTone;
      own[q] = (own[q] as number) + red * ownTone;
      own[q + 1] = (own[q + 1] as number) + green * ownTone;
      own[q + 2] = (own[q + 2] as number) + blue * ownTone;
      cover[p] = (cover[p] as number) + weight;
      depth[p] = (depth[p] as number) + (raster.depth[at] as number) * weight;
    }
  }
  for (let p = 0; p < n; p++) {
    const share = cover[p] as number;
    if (share > 0) depth[p] = (depth[p] as number) / share;
  }
  return layer;
};
