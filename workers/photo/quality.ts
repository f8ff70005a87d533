import type { RgbaImage } from '../image';

/** How sharp and how well exposed a photo is. */
export interface PhotoQuality {
  /**
   * Variance of the Laplacian at half resolution over that at a quarter, in the most textured tenth of the picture. A crisp photo
   * gives 0.3 to 0.7, one blurred by a Gaussian of 2 px less than 0.2. Full resolution is left out: noise and JPEG blocks
   * live there, whether the photo is sharp or not.
   */
  readonly fineDetail: number;
  /** Share of pixels whose brightest channel is at its limit. */
  readonly burntShare: number;
  /** Lightness that only the brightest fiftieth of the picture exceeds, 0 to 255; a dark mat does not pull it down. */
  readonly brightLightness: number;
}

const TILE_PX = 64;
const BRIGHT_QUANTILE = 0.98;

interface Plane {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8ClampedArray | Float32Array;
}

/** Lightness by the weights of ITU-R BT.601, as a picture of its own. */
const lightness = ({ widthPx, heightPx, data }: RgbaImage): Plane => {
  const grey = new Float32Array(widthPx * heightPx);
  for (let i = 0, p = 0; i < grey.length; i += 1, p += 4) {
    grey[i] = 0.299 * (data[p] as number) + 0.587 * (data[p + 1] as number) + 0.114 * (data[p + 2] as number);
  }
  return { widthPx, heightPx, data: grey };
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

const fineDetailOf = (full: Plane): number => {
  const half = halved(full);
  return energyRatio(half, halved(half));
};

const exposureOf = (
  { data }: RgbaImage,
  grey: Plane,
): Pick<PhotoQuality, 'burntShare' | 'brightLightness'> => {
  const histogram = new Uint32Array(256);
  let burnt = 0;
  for (let i = 0, p = 0; i < grey.data.length; i += 1, p += 4) {
    const level = Math.round(grey.data[i] as number);
    histogram[level] = (histogram[level] as number) + 1;
    if (Math.min(data[p] as number, data[p + 1] as number, data[p + 2] as number) >= 254) burnt += 1;
  }
  let dimmer = grey.data.length;
  let brightLightness = 255;
  while (brightLightness > 0) {
    dimmer -= histogram[brightLightness] as number;
    if (dimmer < BRIGHT_QUANTILE * grey.data.length) break;
    brightLightness -= 1;
  }
  return { burntShare: burnt / grey.data.length, brightLightness };
};

/** Measures sharpness and exposure of an upright picture. */
export const qualityOf = (image: RgbaImage): PhotoQuality => {
  const grey = lightness(image);
  return { fineDetail: fineDetailOf(grey), ...exposureOf(image, grey) };
};
