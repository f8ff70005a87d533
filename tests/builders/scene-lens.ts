import type { RgbaImage } from '../../workers/image';
import { seeded } from './random';

/** What lens, hand and sensor do to the light. */
export interface LensSpec {
  /** Standard deviation of the soft focus, photo px. */
  readonly blurPx: number;
  /** Length and heading of the hand's shake, photo px and radians. */
  readonly shakePx: number;
  readonly shakeRad: number;
  /** Standard deviation of the sensor's noise at mid-grey, in 8-bit steps. */
  readonly noise: number;
  /** Multiplies all light before the sensor clips it. */
  readonly exposure: number;
  /** Darkening of the corners, 0 to 1. */
  readonly vignette: number;
}

/** Blurs a picture of `channels` interleaved channels, in place: a Gaussian, or three box passes close to one where it is wide. */
export const blurPlanes = (
  data: Float32Array,
  width: number,
  height: number,
  channels: number,
  sigmaPx: number,
): void => {
  if (sigmaPx < 0.15) return;
  if (sigmaPx < 1.6) {
    const taps = gaussianTaps(sigmaPx);
    weighAlongRows(data, width, height, channels, taps);
    weighAlongColumns(data, width * channels, height, taps);
    return;
  }
  const radius = Math.max(1, Math.round((Math.sqrt(4 * sigmaPx * sigmaPx + 1) - 1) / 2));
  for (let pass = 0; pass < 3; pass++) {
    averageAlongRows(data, width, height, channels, radius);
    averageAlongColumns(data, width * channels, height, radius);
  }
};

const gaussianTaps = (sigma: number): Float32Array => {
  const reach = Math.max(1, Math.ceil(sigma * 2.6));
  const bare = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigma * sigma)),
  );
  const sum = bare.reduce((x, y) => x + y, 0);
  return Float32Array.from(bare, (v) => v / sum);
};

const weighAlongRows = (
  data: Float32Array,
  width: number,
  height: number,
  channels: number,
  taps: Float32Array,
): void => {
  const reach = (taps.length - 1) / 2;
  const length = width * channels;
  const line = new Float32Array(length + 2 * reach * channels);
  for (let y = 0; y < height; y++) {
    const start = y * length;
    line.set(data.subarray(start, start + length), reach * channels);
    for (let i = 0; i < reach * channels; i++) {
      line[i] = data[start + (i % channels)] as number;
      line[length + reach * channels + i] = data[start + length - channels + (i % channels)] as number;
    }
    for (let i = 0; i < length; i++) {
      let value = 0;
      for (let k = 0; k < taps.length; k++) value += (line[i + k * channels] as number) * (taps[k] as number);
      data[start + i] = value;
    }
  }
};

const weighAlongColumns = (data: Float32Array, length: number, height: number, taps: Float32Array): void => {
  const reach = (taps.length - 1) / 2;
  const source = Float32Array.from(data);
  for (let y = 0; y < height; y++) {
    const out = data.subarray(y * length, (y + 1) * length);
    out.fill(0);
    for (let k = -reach; k <= reach; k++) {
      const from = Math.max(0, Math.min(height - 1, y + k)) * length;
      const tap = taps[k + reach] as number;
      for (let i = 0; i < length; i++) out[i] = (out[i] as number) + (source[from + i] as number) * tap;
    }
  }
};

const averageAlongRows = (
  data: Float32Array,
  width: number,
  height: number,
  channels: number,
  radius: number,
): void => {
  const line = new Float32Array(width);
  const share = 1 / (2 * radius + 1);
  for (let l = 0; l < height * channels; l++) {
    const start = Math.floor(l / channels) * width * channels + (l % channels);
    for (let i = 0; i < width; i++) line[i] = data[start + i * channels] as number;
    let sum = (line[0] as number) * radius;
    for (let i = 0; i < radius; i++) sum += line[Math.min(i, width - 1)] as number;
    for (let i = 0; i < width; i++) {
      sum += line[Math.min(i + radius, width - 1)] as number;
      data[start + i * channels] = sum * share;
      sum -= line[Math.max(i - radius, 0)] as number;
    }
  }
};

const averageAlongColumns = (data: Float32Array, length: number, height: number, radius: number): void => {
  const source = Float32Array.from(data);
  const sums = new Float64Array(length);
  const share = 1 / (2 * radius + 1);
  const add = (y: number, sign: number): void => {
    const from = Math.max(0, Math.min(height - 1, y)) * length;
    for (let i = 0; i < length; i++) sums[i] = (sums[i] as number) + sign * (source[from + i] as number);
  };
  for (let y = -radius; y < radius; y++) add(y, 1);
  for (let y = 0; y < height; y++) {
    add(y + radius, 1);
    for (let i = 0; i < length; i++) data[y * length + i] = (sums[i] as number) * share;
    add(y - radius, -1);
  }
};

const shake = (light: Float32Array, width: number, height: number, lens: LensSpec): Float32Array => {
  const steps = Math.max(2, Math.ceil(lens.shakePx) + 1);
  const out = new Float32Array(light.length);
  for (let s = 0; s < steps; s++) {
    const along = (s / (steps - 1) - 0.5) * lens.shakePx;
    const dx = along * Math.cos(lens.shakeRad);
    const dy = along * Math.sin(lens.shakeRad);
    const ix = Math.floor(dx);
    const iy = Math.floor(dy);
    const fx = dx - ix;
    const fy = dy - iy;
    const weights = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy] as const;
    for (let y = 0; y < height; y++) {
      const y0 = Math.min(height - 1, Math.max(0, y + iy)) * width;
      const y1 = Math.min(height - 1, Math.max(0, y + iy + 1)) * width;
      for (let x = 0; x < width; x++) {
        const x0 = Math.min(width - 1, Math.max(0, x + ix));
        const x1 = Math.min(width - 1, Math.max(0, x + ix + 1));
        for (let c = 0; c < 3; c++) {
          const at = 3 * (y * width + x) + c;
          out[at] =
            (out[at] as number) +
            ((light[3 * (y0 + x0) + c] as number) * weights[0] +
              (light[3 * (y0 + x1) + c] as number) * weights[1] +
              (light[3 * (y1 + x0) + c] as number) * weights[2] +
              (light[3 * (y1 + x1) + c] as number) * weights[3]) /
              steps;
        }
      }
    }
  }
  return out;
};

/** sRGB encoding (IEC 61966-2-1) of linear light 0 … 1 in 4096 steps, as 8-bit levels. */
const encoded = Float32Array.from({ length: 4097 }, (_, i) => {
  const v = i / 4096;
  return 255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
});

const normals = ((): Float32Array => {
  const random = seeded(77);
  return Float32Array.from({ length: 65_536 }, () => random.normal());
})();

/** Turns linear light (three numbers a pixel) into the 8-bit photo. */
export const expose = (
  light: Float32Array,
  width: number,
  height: number,
  lens: LensSpec,
  seed: number,
): RgbaImage => {
  const moved = lens.shakePx > 0.3 ? shake(light, width, height, lens) : light;
  blurPlanes(moved, width, height, 3, lens.blurPx);
  const data = new Uint8ClampedArray(4 * width * height);
  const random = seeded(seed).fork('sensor');
  const half = Math.hypot(width, height) / 2;
  for (let y = 0; y < height; y++) {
    let at = Math.floor(random.next() * 65_536);
    const step = 1 + 2 * Math.floor(random.next() * 500);
    for (let x = 0; x < width; x++) {
      const r2 = ((x - width / 2) ** 2 + (y - height / 2) ** 2) / (half * half);
      const gain = lens.exposure * (1 - lens.vignette * r2);
      const p = y * width + x;
      for (let c = 0; c < 3; c++) {
        const v = Math.min(1, Math.max(0, (moved[3 * p + c] as number) * gain));
        at = (at + step) & 65_535;
        const noise = lens.noise === 0 ? 0 : lens.noise * (1.25 - 0.6 * v) * (normals[at] as number);
        data[4 * p + c] = (encoded[Math.round(v * 4096)] as number) + noise;
      }
      data[4 * p + 3] = 255;
    }
  }
  return { widthPx: width, heightPx: height, data };
};
