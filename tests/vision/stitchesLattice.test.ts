import FFT from 'fft.js';
import { beforeAll, describe, expect, it } from 'vitest';
import type { GreyImage } from '../../workers/image';
import { opencvReady } from '../../workers/opencv';
import { autocorrelateTiles, reachPx, tilePx } from '../../workers/stitches/autocorrelation';
import { type Basis, findBases } from '../../workers/stitches/basis';
import { flatten } from '../../workers/stitches/flatten';
import { lumaShrunk } from '../../workers/stitches/raster';
import { isFull, mapTiles } from '../../workers/stitches/region';
import { drawnKnit } from './stitchesSupport';

const noise = (widthPx: number, heightPx: number): GreyImage => {
  let state = 7;
  const data = Float32Array.from({ length: widthPx * heightPx }, () => {
    state = (state * 1664525 + 1013904223) >>> 0;
    return state / 2 ** 32;
  });
  return { widthPx, heightPx, data };
};

/** Two-dimensional transform by rows and columns with a library from outside the project. */
const transform2d = (re: Float64Array, im: Float64Array, size: number): void => {
  const fft = new FFT(size);
  const line = fft.createComplexArray();
  const out = fft.createComplexArray();
  const pass = (index: (i: number, j: number) => number): void => {
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++) {
        line[2 * j] = re[index(i, j)]!;
        line[2 * j + 1] = im[index(i, j)]!;
      }
      fft.transform(out, line);
      for (let j = 0; j < size; j++) {
        re[index(i, j)] = out[2 * j]!;
        im[index(i, j)] = out[2 * j + 1]!;
      }
    }
  };
  pass((i, j) => i * size + j);
  pass((i, j) => j * size + i);
};

/** Autocorrelation of a windowed tile, by the same definition but by the outside library. */
const autocorrelationOutside = (values: Float64Array): Float64Array => {
  const re = Float64Array.from(values);
  const im = new Float64Array(re.length);
  transform2d(re, im, tilePx);
  for (let k = 0; k < re.length; k++) {
    re[k] = re[k]! ** 2 + im[k]! ** 2;
    im[k] = 0;
  }
  transform2d(re, im, tilePx);
  return re;
};

const windowAt = (i: number): number => {
  const edge = Math.min(i + 0.5, tilePx - i - 0.5);
  return edge >= 40 ? 1 : 0.5 - 0.5 * Math.cos((Math.PI * edge) / 40);
};

const bestBasis = (image: GreyImage): Basis => {
  const [tile] = mapTiles(image, [{ x: 0, y: 0 }], 8);
  return findBases(tile!.map, 1)[0]!.basis;
};

const expectStep = (got: { x: number; y: number }, want: { x: number; y: number }): void => {
  expect(Math.hypot(got.x - want.x, got.y - want.y)).toBeLessThan(0.03 * Math.hypot(want.x, want.y));
};

describe('the lattice of a fabric', () => {
  beforeAll(opencvReady);

  it('is read from the same autocorrelation that an outside Fourier transform gives (fft.js, radix 4)', () => {
    const image = noise(tilePx, tilePx);
    const [map] = autocorrelateTiles([image], [{ x: 0, y: 0 }]);
    const window = new Float64Array(tilePx * tilePx).map(
      (_, k) => windowAt(k % tilePx) * windowAt(Math.floor(k / tilePx)),
    );
    const weight = window.reduce((sum, w) => sum + w, 0);
    const mean = window.reduce((sum, w, k) => sum + w * image.data[k]!, 0) / weight;
    const signal = autocorrelationOutside(window.map((w, k) => w * (image.data[k]! - mean)));
    const own = autocorrelationOutside(window);
    for (const [dx, dy] of [
      [0, 0],
      [3, 0],
      [0, 7],
      [-11, 5],
      [20, 31],
      [-40, 2],
    ] as const) {
      const k = ((dy + tilePx) % tilePx) * tilePx + ((dx + tilePx) % tilePx);
      const expected = signal[k]! / own[k]! / (signal[0]! / own[0]!);
      expect(map!.data[(dy + reachPx) * (2 * reachPx + 1) + dx + reachPx]).toBeCloseTo(expected, 4);
    }
  });

  it('is found at any angle up to 30° to within 3 % of a step', () => {
    for (const degrees of [-30, -12, 0, 8, 30]) {
      const angle = (degrees * Math.PI) / 180;
      const wale = { x: 16 * Math.cos(angle), y: 16 * Math.sin(angle) };
      const course = { x: -11.5 * Math.sin(angle), y: 11.5 * Math.cos(angle) };
      const basis = bestBasis(lumaShrunk(drawnKnit(tilePx, tilePx, wale, course), 1));
      expectStep(basis.wale, wale);
      expectStep(basis.course, course);
    }
  });

  it('keeps the whole stitch where its two legs look alike, and the single row where rows alternate in colour', () => {
    const wale = { x: 18, y: 0 };
    const course = { x: 0, y: 13 };
    const striped = bestBasis(
      lumaShrunk(
        drawnKnit(tilePx, tilePx, wale, course, (_, row) => (Math.floor(row / 3) % 2 === 0 ? 1 : 0.5)),
        1,
      ),
    );
    expectStep(striped.wale, wale);
    expectStep(striped.course, course);
  });

  it('is not looked for between the lines of a mat, which are mostly even ground', () => {
    const data = Float32Array.from({ length: tilePx * tilePx }, (_, k) =>
      (k % tilePx) % 20 < 2 || Math.floor(k / tilePx) % 20 < 2 ? 220 : 60 + (k % 3),
    );
    expect(isFull({ widthPx: tilePx, heightPx: tilePx, data }, { x: 0, y: 0 })).toBe(false);
    const knit = lumaShrunk(drawnKnit(tilePx, tilePx, { x: 16, y: 0 }, { x: 0, y: 12 }), 1);
    expect(isFull(knit, { x: 0, y: 0 })).toBe(true);
  });

  it('does not feel a shadow: flattened lightness is the same in sun and shade', () => {
    const sun = lumaShrunk(drawnKnit(tilePx, tilePx, { x: 16, y: 0 }, { x: 0, y: 12 }), 1);
    const shade: GreyImage = { ...sun, data: sun.data.map((v) => 0.3 * v) };
    const a = flatten(sun, 8).data;
    const b = flatten(shade, 8).data;
    const gap = Math.max(...a.map((v, k) => Math.abs(v - b[k]!)));
    expect(gap).toBeLessThan(0.05);
  });
});
