import type { GreyImage, RgbaImage } from '../image';

/** How much of red, green and blue a picture is made of, and the value that stands for none. */
type ColourWeights = readonly [red: number, green: number, blue: number, about: number];

const lightnessWeights: ColourWeights = [0.299, 0.587, 0.114, 0];
const warmthWeights: ColourWeights = [0.5, 0, -0.5, 128];
const greennessWeights: ColourWeights = [-0.25, 0.5, -0.25, 128];

const weighed = (
  { widthPx, heightPx, data }: RgbaImage,
  [red, green, blue, about]: ColourWeights,
): GreyImage => {
  const out = new Float32Array(widthPx * heightPx);
  for (let i = 0, j = 0; i < out.length; i++, j += 4) {
    out[i] =
      about + red * (data[j] as number) + green * (data[j + 1] as number) + blue * (data[j + 2] as number);
  }
  return { widthPx, heightPx, data: out };
};

/** Lightness of every pixel as the eye weighs the three colours (ITU-R BT.601 luma), 0 to 255. */
export const lightness = (image: RgbaImage): GreyImage => weighed(image, lightnessWeights);

/** Red minus blue of every pixel about 128: tells warm from cool ground where lightness does not. */
export const warmth = (image: RgbaImage): GreyImage => weighed(image, warmthWeights);

/** Green minus the mean of red and blue of every pixel about 128: tells green from magenta, which the other two hardly do. */
export const greenness = (image: RgbaImage): GreyImage => weighed(image, greennessWeights);

/** What {@link lightness}, {@link warmth} and {@link greenness} give, each of one size. */
export interface ColourPlanes {
  readonly lightness: GreyImage;
  readonly warmth: GreyImage;
  readonly greenness: GreyImage;
}

/** All three shrunk by a whole factor, as {@link shrunk} does, without ever making them in full size. */
export const shrunkPlanes = ({ widthPx, heightPx, data }: RgbaImage, factor: number): ColourPlanes => {
  const w = Math.floor(widthPx / factor);
  const h = Math.floor(heightPx / factor);
  const plane = (): GreyImage => ({ widthPx: w, heightPx: h, data: new Float32Array(w * h) });
  const planes = { lightness: plane(), warmth: plane(), greenness: plane() };
  const share = 1 / (factor * factor);
  const mixed = (red: number, green: number, blue: number, weights: ColourWeights): number =>
    weights[3] + share * (weights[0] * red + weights[1] * green + weights[2] * blue);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      let [red, green, blue] = [0, 0, 0];
      for (let dy = 0; dy < factor; dy++) {
        let from = 4 * ((y * factor + dy) * widthPx + x * factor);
        for (let dx = 0; dx < factor; dx++, from += 4) {
          red += data[from] as number;
          green += data[from + 1] as number;
          blue += data[from + 2] as number;
        }
      }
      const i = y * w + x;
      planes.lightness.data[i] = mixed(red, green, blue, lightnessWeights);
      planes.warmth.data[i] = mixed(red, green, blue, warmthWeights);
      planes.greenness.data[i] = mixed(red, green, blue, greennessWeights);
    }
  }
  return planes;
};

/** The picture shrunk by a whole factor, every new pixel the mean of the old ones it covers. */
export const shrunk = (image: GreyImage, factor: number): GreyImage => {
  if (factor <= 1) return image;
  const widthPx = Math.floor(image.widthPx / factor);
  const heightPx = Math.floor(image.heightPx / factor);
  const out = new Float32Array(widthPx * heightPx);
  const share = 1 / (factor * factor);
  for (let y = 0; y < heightPx; y++) {
    for (let dy = 0; dy < factor; dy++) {
      let from = (y * factor + dy) * image.widthPx;
      const to = y * widthPx;
      for (let x = 0; x < widthPx; x++) {
        let sum = 0;
        for (let dx = 0; dx < factor; dx++) sum += image.data[from++] as number;
        out[to + x] = (out[to + x] as number) + sum * share;
      }
    }
  }
  return { widthPx, heightPx, data: out };
};

const gaussianKernel = (sigma: number): Float32Array => {
  const radius = Math.max(1, Math.ceil(2.6 * sigma));
  const kernel = Float32Array.from({ length: 2 * radius + 1 }, (_, i) =>
    Math.exp(-((i - radius) ** 2) / (2 * sigma * sigma)),
  );
  const sum = kernel.reduce((a, b) => a + b, 0);
  return kernel.map((v) => v / sum);
};

/** The picture blurred by a Gaussian of `sigma` px; pixels beyond the border repeat the border. */
export const blurred = (image: GreyImage, sigma: number): GreyImage => {
  const { widthPx: w, heightPx: h, data } = image;
  const kernel = gaussianKernel(sigma);
  const radius = (kernel.length - 1) / 2;
  const middle = kernel[radius] as number;
  // One row in double precision with its border repeated; the kernel is symmetrical, so two pixels at a time are weighed.
  const line = new Float64Array(w + 2 * radius);
  const across = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    line.fill(data[row] as number, 0, radius);
    for (let x = 0; x < w; x++) line[radius + x] = data[row + x] as number;
    line.fill(data[row + w - 1] as number, radius + w);
    for (let x = 0; x < w; x++) {
      const i = x + radius;
      let sum = middle * (line[i] as number);
      for (let k = 1; k <= radius; k++)
        sum += (kernel[radius + k] as number) * ((line[i - k] as number) + (line[i + k] as number));
      across[row + x] = sum;
    }
  }
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    for (let x = 0; x < w; x++) line[x] = middle * (across[row + x] as number);
    for (let k = 1; k <= radius; k++) {
      const above = Math.max(0, y - k) * w;
      const below = Math.min(h - 1, y + k) * w;
      const weight = kernel[radius + k] as number;
      for (let x = 0; x < w; x++) {
        line[x] =
          (line[x] as number) + weight * ((across[above + x] as number) + (across[below + x] as number));
      }
    }
    for (let x = 0; x < w; x++) out[row + x] = line[x] as number;
  }
  return { widthPx: w, heightPx: h, data: out };
};

/** Value between the pixel centres at continuous coordinates (pixel centres at +0.5), bilinear; NaN outside. */
export const sampleAt = (image: GreyImage, x: number, y: number): number => {
  const { widthPx, heightPx, data } = image;
  const fx = x - 0.5;
  const fy = y - 0.5;
  const ix = Math.floor(fx);
  const iy = Math.floor(fy);
  if (ix < 0 || iy < 0 || ix >= widthPx - 1 || iy >= heightPx - 1) return Number.NaN;
  const ax = fx - ix;
  const ay = fy - iy;
  const i = iy * widthPx + ix;
  const top = (data[i] as number) * (1 - ax) + (data[i + 1] as number) * ax;
  const bottom = (data[i + widthPx] as number) * (1 - ax) + (data[i + widthPx + 1] as number) * ax;
  return top * (1 - ay) + bottom * ay;
};
