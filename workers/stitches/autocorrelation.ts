import type { GreyImage } from '../image';
import { scope } from '../opencv';

/**
 * How well a picture matches itself when shifted: `data` holds (2 · reach + 1)² values, row by row, for shifts from −reach to +reach in
 * x and y; 1 at shift zero, symmetric about it.
 */
export interface LagMap {
  readonly reach: number;
  readonly data: Float32Array;
}

/** A whole-pixel position, of a tile's top-left corner. */
export interface Corner {
  readonly x: number;
  readonly y: number;
}

/** Side of the square tiles that are correlated with themselves, px. */
export const tilePx = 128;
/** Largest shift looked at, px: beyond it too little of the tile overlaps itself. */
export const reachPx = 44;

/** Raised-cosine taper over 40 px at each end of a tile: keeps the tile's own border from being a feature. */
const taper = Float32Array.from({ length: tilePx }, (_, i) => {
  const edge = Math.min(i + 0.5, tilePx - i - 0.5);
  return edge >= 40 ? 1 : 0.5 - 0.5 * Math.cos((Math.PI * edge) / 40);
});

/**
 * Windowed autocorrelation of square tiles by the Wiener–Khinchin theorem: inverse transform of the power spectrum, divided by the window's
 * own autocorrelation (so that long shifts are not played down) and by its value at shift zero. Several channels (all of one size) are
 * treated as one vector-valued picture: their power spectra add.
 * Returns one map for each tile corner, in order; a tile without any contrast gives null.
 * @param corners Top-left corners, whole pixels; tiles must lie inside the picture.
 */
export const autocorrelateTiles = (
  channels: readonly GreyImage[],
  corners: readonly Corner[],
): (LagMap | null)[] =>
  scope((track, cv) => {
    const real = track(new cv.Mat(tilePx, tilePx, cv.CV_32F));
    const spectrum = track(new cv.Mat(tilePx, tilePx, cv.CV_32FC2));
    const lags = track(new cv.Mat(tilePx, tilePx, cv.CV_32F));
    const power = new Float32Array(tilePx * tilePx);
    const addPower = (): void => {
      cv.dft(real, spectrum, cv.DFT_COMPLEX_OUTPUT, 0);
      const s = spectrum.data32F;
      for (let k = 0; k < power.length; k++)
        power[k] = (power[k] as number) + (s[2 * k] as number) ** 2 + (s[2 * k + 1] as number) ** 2;
    };
    const lagsOfPower = (): Float32Array => {
      const s = spectrum.data32F;
      for (let k = 0; k < power.length; k++) {
        s[2 * k] = power[k] as number;
        s[2 * k + 1] = 0;
      }
      cv.dft(spectrum, lags, cv.DFT_INVERSE | cv.DFT_REAL_OUTPUT | cv.DFT_SCALE, 0);
      power.fill(0);
      return lags.data32F;
    };
    fillWindow(real.data32F);
    addPower();
    const windowOwn = Float32Array.from(lagsOfPower());
    return corners.map((corner) => {
      let contrast = false;
      for (const channel of channels) {
        contrast = fillTile(channel, corner, real.data32F) || contrast;
        addPower();
      }
      const result = lagsOfPower();
      return contrast ? normalised(result, windowOwn) : null;
    });
  });

const fillWindow = (out: Float32Array): void => {
  for (let y = 0; y < tilePx; y++)
    for (let x = 0; x < tilePx; x++) out[y * tilePx + x] = (taper[x] as number) * (taper[y] as number);
};

/** Windowed tile with its mean under the window taken away; says whether it has any contrast. */
const fillTile = (image: GreyImage, corner: Corner, out: Float32Array): boolean => {
  let sum = 0;
  let weight = 0;
  for (let y = 0; y < tilePx; y++) {
    const base = (corner.y + y) * image.widthPx + corner.x;
    for (let x = 0; x < tilePx; x++) {
      const w = (taper[x] as number) * (taper[y] as number);
      sum += w * (image.data[base + x] as number);
      weight += w;
    }
  }
  const mean = sum / weight;
  let energy = 0;
  for (let y = 0; y < tilePx; y++) {
    const base = (corner.y + y) * image.widthPx + corner.x;
    for (let x = 0; x < tilePx; x++) {
      const v = (taper[x] as number) * (taper[y] as number) * ((image.data[base + x] as number) - mean);
      out[y * tilePx + x] = v;
      energy += v * v;
    }
  }
  return energy > 1e-6 * weight;
};

const normalised = (lags: Float32Array, windowOwn: Float32Array): LagMap => {
  const side = 2 * reachPx + 1;
  const data = new Float32Array(side * side);
  const zero = (lags[0] as number) / (windowOwn[0] as number);
  for (let dy = -reachPx; dy <= reachPx; dy++) {
    const row = ((dy + tilePx) % tilePx) * tilePx;
    for (let dx = -reachPx; dx <= reachPx; dx++) {
      const k = row + ((dx + tilePx) % tilePx);
      data[(dy + reachPx) * side + dx + reachPx] = (lags[k] as number) / (windowOwn[k] as number) / zero;
    }
  }
  return { reach: reachPx, data };
};

/** Mean of several maps of the same reach; null when there is none. */
export const meanLagMap = (maps: readonly LagMap[]): LagMap | null => {
  const first = maps[0];
  if (first === undefined) return null;
  const data = new Float32Array(first.data.length);
  for (const map of maps)
    for (let i = 0; i < data.length; i++) data[i] = (data[i] as number) + (map.data[i] as number);
  for (let i = 0; i < data.length; i++) data[i] = (data[i] as number) / maps.length;
  return { reach: first.reach, data };
};
