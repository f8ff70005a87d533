import { describe, expect, it } from 'vitest';
import type { RgbaImage } from '../../workers/image';
import { edgesInParts, faceEdgeIn } from '../../workers/scale/faceEdge';
import { greenness, lightness, warmth } from '../../workers/scale/pictures';
import { lightAcross } from '../../workers/scale/sideLight';
import { seeded } from '../builders/random';

type Light = readonly [number, number, number];

/** What lies on the ground: everything above `edgeAt(x)` is its face, then its wall, then ground in its shadow. */
interface Laid {
  readonly face: Light;
  readonly ground: Light;
  readonly wallPx: number;
  readonly wallShare: number;
  /** Depth of the shadow beside the foot, and how far out it has faded, px. */
  readonly shadow: readonly [depth: number, fadedPx: number];
}

const [widthPx, heightPx] = [300, 60];
const edgeAt = (x: number): number => 28.3 + 0.01 * x;

/** sRGB value of a light 0 to 1 (IEC 61966-2-1). */
const encoded = (v: number): number => 255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);

/** A photo of it, about 0.9 px soft (two box filters of 11 samples over 2.2 px), with some noise. */
const photoOf = (
  { face, ground, wallPx, wallShare, shadow: [depth, fadedPx] }: Laid,
  seed: number,
): RgbaImage => {
  const random = seeded(seed);
  const data = new Uint8ClampedArray(4 * widthPx * heightPx);
  const lightAt = (off: number, c: 0 | 1 | 2): number => {
    if (off < 0) return face[c];
    if (off < wallPx) return face[c] * wallShare;
    return ground[c] * (1 - depth * Math.max(0, 1 - (off - wallPx) / fadedPx));
  };
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      for (const c of [0, 1, 2] as const) {
        let sum = 0;
        for (let j = -5; j <= 5; j++)
          for (let k = -5; k <= 5; k++) sum += lightAt(y + 0.5 + (j + k) * 0.2 - edgeAt(x + 0.5), c) / 121;
        data[4 * (y * widthPx + x) + c] = encoded(sum) + random.normal();
      }
    }
  }
  return { widthPx, heightPx, data };
};

/** Laid along a line that lies off the true edge by 0.7 px, as a first look would. */
const edgeIn = (laid: Laid, seed: number) => {
  const image = photoOf(laid, seed);
  const seen = { wallPx: laid.wallPx, pxPerMm: 3 };
  const side = {
    from: { x: 10, y: edgeAt(10) + 0.7 },
    to: { x: 290, y: edgeAt(290) + 0.7 },
    outward: [-0.01 / Math.hypot(1, 0.01), 1 / Math.hypot(1, 0.01)],
  } as const;
  const light = lightAcross([lightness(image), warmth(image), greenness(image)], side, [-6, 10], 0.05, 12);
  const edge = light && faceEdgeIn(light.whole, seen);
  if (!light || !edge) throw new Error('The side was not seen.');
  return { edge, parts: edgesInParts(light.parts, light.whole, edge) };
};

const green: Light = [0.05, 0.2, 0.12];
const pale: Light = [0.6, 0.6, 0.55];
const wood: Light = [0.4, 0.22, 0.12];

describe('the end of a face beside its wall, its shadow and the ground', () => {
  const cases: readonly (readonly [string, Laid, number])[] = [
    [
      'a dark face on brighter wood, its shadow beside it',
      { face: green, ground: wood, wallPx: 0, wallShare: 1, shadow: [0.4, 2] },
      0.15,
    ],
    [
      'the same with a wall too narrow to be seen by itself',
      { face: green, ground: wood, wallPx: 0.8, wallShare: 0.6, shadow: [0.4, 2] },
      0.15,
    ],
    [
      'a pale face with its foot outside',
      { face: pale, ground: wood, wallPx: 2, wallShare: 0.6, shadow: [0.3, 1.5] },
      0.15,
    ],
    [
      'a pale face on wood without a shadow',
      { face: pale, ground: wood, wallPx: 0, wallShare: 1, shadow: [0, 1] },
      0.15,
    ],
  ];
  for (const [title, laid, within] of cases) {
    it(`is told for ${title}`, () => {
      const { edge, parts } = edgeIn(laid, 3);
      expect(Math.abs(edge.edgePx + 0.7)).toBeLessThan(within);
      expect(parts.every((part) => Math.abs(part + 0.7) < 3 * within)).toBe(true);
    });
  }

  it('is less certain where face and ground have one hue and a shadow may pass for the face', () => {
    const grey = (v: number): Light => [v, v, v];
    const shadow = [0.4, 2] as const;
    const alike = edgeIn({ face: grey(0.15), ground: grey(0.35), wallPx: 0, wallShare: 1, shadow }, 5).edge;
    const apart = edgeIn({ face: green, ground: wood, wallPx: 0, wallShare: 1, shadow }, 5).edge;
    expect(alike.uncertaintyPx).toBeGreaterThan(1.3 * apart.uncertaintyPx);
    expect(Math.abs(alike.edgePx + 0.7)).toBeLessThan(2 * alike.uncertaintyPx);
  });
});
