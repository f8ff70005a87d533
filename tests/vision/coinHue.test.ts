import { describe, expect, it } from 'vitest';
import type { RgbaImage } from '../../workers/image';
import { toldByHue } from '../../workers/scale/coinHue';
import { coinAround } from '../../workers/scale/coinRim';
import type { ScaleContext } from '../../workers/scale/kind';
import { radiusOf } from '../../workers/scale/rimFit';

type Colour = readonly [number, number, number];

const side = 360;
const middle = { x: 181.3, y: 178.6 };
const usualRadiusPx = 62;
const smallRadiusPx = 33;
const samples = 3;

/** A coin seen from above with a gleaming border inside its rim and a soft shadow to one side, out of focus by 0.8 px for one mean of 3 px and 1.2 px for two, in linear light. */
const coinOn = (coin: Colour, ground: Colour, radiusPx = usualRadiusPx, means = 2): RgbaImage => {
  let light = new Float64Array(3 * side * side);
  const at = (x: number, y: number, c: 0 | 1 | 2): number => {
    const share = Math.hypot(x - middle.x, y - middle.y) / radiusPx;
    if (share < 1)
      return coin[c] * (share > 0.9 && share < 0.965 ? 1.3 : 0.95 + 0.1 * Math.sin(x / 4) * Math.sin(y / 5));
    const shade = Math.hypot(x - middle.x - 5, y - middle.y - 4) / radiusPx;
    return (
      ground[c] *
      (1 - 0.4 * Math.max(0, Math.min(1, (1.08 - shade) / 0.16))) *
      (1 + 0.05 * Math.sin(x / 3 + y / 9))
    );
  };
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++)
      for (const c of [0, 1, 2] as const) {
        let sum = 0;
        for (let i = 0; i < samples; i++)
          for (let j = 0; j < samples; j++) sum += at(x + (i + 0.5) / samples, y + (j + 0.5) / samples, c);
        light[3 * (side * y + x) + c] = sum / samples ** 2;
      }
  for (const step of Array.from({ length: 2 * means }, (_, i) => (i % 2 === 0 ? 3 : 3 * side))) {
    const before = light;
    light = before.map((v, i) => (v + (before[i - step] ?? v) + (before[i + step] ?? v)) / 3);
  }
  const data = new Uint8ClampedArray(4 * side * side).fill(255);
  for (let p = 0; p < side * side; p++)
    for (let c = 0; c < 3; c++) data[4 * p + c] = 255 * light[3 * p + c]! ** (1 / 2.2);
  return { data, widthPx: side, heightPx: side };
};

/** Hue kept at half the fineness of lightness, as files mostly keep it (ITU-T T.871, means of 2 × 2 px). */
const asFiled = (image: RgbaImage): RgbaImage => {
  const data = new Uint8ClampedArray(image.data);
  const block = [0, 4, 4 * side, 4 * side + 4];
  const lightAt = (p: number): number =>
    0.299 * image.data[p]! + 0.587 * image.data[p + 1]! + 0.114 * image.data[p + 2]!;
  for (let y = 0; y < side; y += 2)
    for (let x = 0; x < side; x += 2)
      for (let c = 0; c < 3; c++) {
        const places = block.map((step) => 4 * (side * y + x) + step);
        const hue = places.reduce((sum, p) => sum + (image.data[p + c]! - lightAt(p)) / 4, 0);
        for (const p of places) data[p + c] = lightAt(p) + hue;
      }
  return { ...image, data };
};

const contextOf = (image: RgbaImage): ScaleContext =>
  ({
    work: { image, photoPxPerWorkPx: 1 },
    photo: {
      widthPx: side,
      heightPx: side,
      mime: 'image/jpeg',
      takenAt: null,
      focalLength35Mm: null,
      remarks: [],
    },
    hints: { gridPitchMm: null, reference: 'auto', region: null, thicknessMm: null },
    grid: () => null,
    level: () => ({ slopeX: 0, slopeY: 0, uncertainty: 0.01, isFromFabric: true }),
  }) as unknown as ScaleContext;

const rough = { x: 180, y: 180, radiusPx: 60 };
const radiusFrom = (coin: ReturnType<typeof coinAround>): number => radiusOf(coin!.best.fit.disc);

describe('a coin looked at by hue', () => {
  it('is as large as its rim, though the border inside the rim stands out more in lightness', () => {
    const context = contextOf(coinOn([0.33, 0.19, 0.12], [0.34, 0.12, 0.05]));
    const told = toldByHue(context, coinAround(context, rough)!);
    expect(Math.abs(radiusFrom(told) / usualRadiusPx - 1)).toBeLessThan(0.01);
  });

  it.each([
    ['lighter', [0.45, 0.38, 0.25], [0.25, 0.11, 0.06]],
    ['darker', [0.18, 0.14, 0.08], [0.5, 0.27, 0.15]],
  ] as const)(
    'is no larger and no smaller where it is small and much %s than the ground',
    (_, coin, ground) => {
      const context = contextOf(asFiled(coinOn(coin, ground, smallRadiusPx, 1)));
      const told = toldByHue(context, coinAround(context, { ...rough, radiusPx: smallRadiusPx - 1 })!);
      expect(Math.abs(radiusFrom(told) / smallRadiusPx - 1)).toBeLessThan(0.01);
    },
  );

  it('is left as it was where coin and ground are grey', () => {
    const context = contextOf(coinOn([0.5, 0.5, 0.5], [0.15, 0.15, 0.15]));
    const coin = coinAround(context, rough)!;
    expect(toldByHue(context, coin)).toBe(coin);
  });
});
