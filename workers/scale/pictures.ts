import type { GreyImage, RgbaImage } from '../image';

/** Lightness of every pixel as the eye weighs the three colours (ITU-R BT.601 luma), 0 to 255. */
export const lightness = (image: RgbaImage): GreyImage => {
  const { widthPx, heightPx, data } = image;
  const out = new Float32Array(widthPx * heightPx);
  for (let i = 0, j = 0; i < out.length; i++, j += 4) {
    out[i] = 0.299 * (data[j] as number) + 0.587 * (data[j + 1] as number) + 0.114 * (data[j + 2] as number);
  }
  return { widthPx, heightPx, data: out };
};

/** Red minus blue of every pixel about 128: tells warm from cool ground where lightness does not. */
export const warmth = (image: RgbaImage): GreyImage => {
  const { widthPx, heightPx, data } = image;
  const out = new Float32Array(widthPx * heightPx);
  for (let i = 0, j = 0; i < out.length; i++, j += 4)
    out[i] = 128 + ((data[j] as number) - (data[j + 2] as number)) / 2;
  return { widthPx, heightPx, data: out };
};

/** Green minus the mean of red and blue of every pixel about 128: tells green from magenta, which the other two hardly do. */
export const greenness = (image: RgbaImage): GreyImage => {
  const { widthPx, heightPx, data } = image;
  const out = new Float32Array(widthPx * heightPx);
  for (let i = 0, j = 0; i < out.length; i++, j += 4) {
    out[i] = 128 + (data[j + 1] as number) / 2 - ((data[j] as number) + (data[j + 2] as number)) / 4;
  }
  return { widthPx, heightPx, data: out };
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
  const across = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    for (let x = 0; x < w; x++) {
      let sum = 0;
      if (x >= radius && x < w - radius) {
        for (let k = 0, i = row + x - radius; k < kernel.length; k++, i++) {
          sum += (kernel[k] as number) * (data[i] as number);
        }
      } else {
        for (let k = -radius; k <= radius; k++) {
          const i = row + Math.min(w - 1, Math.max(0, x + k));
          sum += (kernel[k + radius] as number) * (data[i] as number);
        }
      }
      across[row + x] = sum;
    }
  }
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    for (let k = -radius; k <= radius; k++) {
      const from = Math.min(h - 1, Math.max(0, y + k)) * w;
      const weight = kernel[k + radius] as number;
      for (let x = 0; x < w; x++)
        out[row + x] = (out[row + x] as number) + weight * (across[from + x] as number);
    }
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
