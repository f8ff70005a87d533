import type { RgbaImage } from '../image';

/** How sharp and how well exposed a photo is. */
export interface PhotoQuality {
  /**
   * Variance of the Laplacian at half resolution over that at a quarter, in the most textured tenth of the picture. A crisp photo
   * gives 0.3 to 0.7, one blurred by a Gaussian of 2 px less than 0.2. Full resolution is left out: noise and JPEG blocks
   * live there, whether the photo is sharp or not.
   */
  readonly fineDetail: number;
  /** Share of pixels of which every channel is at its limit. */
  readonly burntShare: number;
  /** Lightness that only the brightest fiftieth of the picture exceeds, 0 to 255; a dark mat does not pull it down. */
  readonly brightLightness: number;
}

const TILE_PX = 64;
const BRIGHT_QUANTILE = 0.98;
const BURNT = 254;

interface Plane {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Float32Array;
}

/** Lightness at half resolution, by the weights of ITU-R BT.601. */
const halfLightness = ({ widthPx, heightPx, data }: RgbaImage): Plane => {
  const w = widthPx >> 1;
  const h = heightPx >> 1;
  const grey = new Float32Array(w * h);
  for (let y = 0; y < h; y += 1) {
    for (let x = 0; x < w; x += 1) {
      const p = 8 * (y * widthPx + x);
      const q = p + 4 * widthPx;
      const r = (data[p] as number) + (data[p + 4] as number) + (data[q] as number) + (data[q + 4] as number);
      const g =
        (data[p + 1] as number) + (data[p + 5] as number) + (data[q + 1] as number) + (data[q + 5] as number);
      const b =
        (data[p + 2] as number) + (data[p + 6] as number) + (data[q + 2] as number) + (data[q + 6] as number);
      grey[y * w + x] = (0.299 * r + 0.587 * g + 0.114 * b) / 4;
    }
  }
  return { widthPx: w, heightPx: h, data: grey };
};

const halved = ({ widthPx, heightPx, data }: Plane): Plane => {
  const w = widthPx >> 1;
  const h = heightPx >> 1;
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y += 1) {
    for (let x = 0; x < w; x += 1) {
      const p = 2 * y * widthPx + 2 * x;
      out[y * w + x] =
        ((data[p] as number) +
          (data[p + 1] as number) +
          (data[p + widthPx] as number) +
          (data[p + widthPx + 1] as number)) /
        4;
    }
  }
  return { widthPx: w, heightPx: h, data: out };
};

/** Mean square of the four-neighbour Laplacian over one tile. */
const tileEnergy = ({ widthPx, heightPx, data }: Plane, left: number, top: number, size: number): number => {
  const right = Math.min(left + size, widthPx - 1);
  const bottom = Math.min(top + size, heightPx - 1);
  let sum = 0;
  let count = 0;
  for (let y = Math.max(1, top); y < bottom; y += 1) {
    for (let x = Math.max(1, left); x < right; x += 1) {
      const p = y * widthPx + x;
      const v =
        4 * (data[p] as number) -
        (data[p - 1] as number) -
        (data[p + 1] as number) -
        (data[p - widthPx] as number) -
        (data[p + widthPx] as number);
      sum += v * v;
      count += 1;
    }
  }
  return count === 0 ? 0 : sum / count;
};

/** Energy at one scale over that at the next coarser one, in the tenth of the tiles that are most textured there. */
const energyRatio = (fine: Plane, coarse: Plane): number => {
  const tiles: { fine: number; coarse: number }[] = [];
  for (let y = 0; y + TILE_PX <= fine.heightPx; y += TILE_PX) {
    for (let x = 0; x + TILE_PX <= fine.widthPx; x += TILE_PX) {
      tiles.push({
        fine: tileEnergy(fine, x, y, TILE_PX),
        coarse: tileEnergy(coarse, x / 2, y / 2, TILE_PX / 2),
      });
    }
  }
  const textured = tiles.sort((a, b) => b.coarse - a.coarse).slice(0, Math.ceil(tiles.length / 10));
  const total = textured.reduce(
    (sum, tile) => ({ fine: sum.fine + tile.fine, coarse: sum.coarse + tile.coarse }),
    { fine: 0, coarse: 0 },
  );
  return total.coarse === 0 ? 0 : total.fine / total.coarse;
};

/** Share of pixels of which every channel is at its limit; every second pixel of every second row is asked. */
const burntShareOf = ({ widthPx, heightPx, data }: RgbaImage): number => {
  let burnt = 0;
  let asked = 0;
  for (let y = 0; y < heightPx; y += 2) {
    for (let p = 4 * y * widthPx; p < 4 * (y + 1) * widthPx; p += 8) {
      asked += 1;
      if (
        (data[p] as number) >= BURNT &&
        (data[p + 1] as number) >= BURNT &&
        (data[p + 2] as number) >= BURNT
      ) {
        burnt += 1;
      }
    }
  }
  return burnt / asked;
};

const brightLightnessOf = ({ data }: Plane): number => {
  const histogram = new Uint32Array(256);
  for (let i = 0; i < data.length; i += 1) {
    const level = Math.round(data[i] as number);
    histogram[level] = (histogram[level] as number) + 1;
  }
  let dimmer = data.length;
  let level = 255;
  while (level > 0) {
    dimmer -= histogram[level] as number;
    if (dimmer < BRIGHT_QUANTILE * data.length) break;
    level -= 1;
  }
  return level;
};

/** Measures sharpness and exposure of an upright picture. */
export const qualityOf = (image: RgbaImage): PhotoQuality => {
  const half = halfLightness(image);
  return {
    fineDetail: energyRatio(half, halved(half)),
    burntShare: burntShareOf(image),
    brightLightness: brightLightnessOf(half),
  };
};
