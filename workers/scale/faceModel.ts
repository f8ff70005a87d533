import type { LightAcross, Shade } from './sideLight';

/**
 * What lies across the side of a thick face, as numbers that can be fitted, in the order of {@link at}: where the face ends, px outward; the softness of the photo (ln of px);
 * how bright the wall is beside the face; the shadow on the ground: its depth, how far it reaches from the foot and how softly it ends (ln), both in mm; by how much
 * softer the file keeps colour than lightness, px; the pixel values of face and ground.
 */
export type FaceShape = readonly number[];

/** Which number of a {@link FaceShape} is which; face and ground have red, green and blue each. */
export const at = {
  edge: 0,
  lnBlur: 1,
  wall: 2,
  depth: 3,
  reach: 4,
  lnSoft: 5,
  chroma: 6,
  face: 7,
  ground: 10,
} as const;

/** The thing as it stands: how far outward its foot shows, px (negative where the face hides it), and how long a mm is. */
export interface WallSeen {
  readonly wallPx: number;
  readonly pxPerMm: number;
}

/** Light 0 to 1 that a pixel value 0 to 255 stands for (IEC 61966-2-1, sRGB). */
const lightOf = (value: number): number => {
  const v = Math.max(0, value) / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
};

const valueSteps = 2048;
const values = Float64Array.from({ length: valueSteps + 2 }, (_, i) => {
  const v = i / valueSteps;
  return 255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
});

/** Pixel value that stands for a light 0 to 1, by a table and linear between. */
const pixelValue = (light: number): number => {
  const place = Math.max(0, Math.min(1, light)) * valueSteps;
  const i = Math.floor(place);
  const low = values[i] as number;
  return low + (place - i) * ((values[i + 1] as number) - low);
};

/** Share of a blurred step that is passed: the normal distribution by a logistic curve with a cubic term, within 0.0002 (S. R. Bowling and others, 2009, from memory). */
const passed = (x: number): number => 1 / (1 + Math.exp(-x * (1.5976 + 0.07056 * x * x)));

/** Steps that a profile is worked out in, px. */
const stepPx = 0.5;

/** Evenly spaced places across a side. */
export interface PlacesAcross {
  readonly from: number;
  readonly count: number;
}

/** Places that reach a little beyond those of a profile. */
export const placesFor = ({ offPx }: LightAcross): PlacesAcross => {
  const from = (offPx[0] ?? 0) - 2 * stepPx;
  const to = (offPx[offPx.length - 1] ?? 0) + 2 * stepPx;
  return { from, count: Math.ceil((to - from) / stepPx) + 1 };
};

const blurredBy = (line: Float64Array, sigmaPx: number): Float64Array => {
  const reach = Math.ceil((2.6 * sigmaPx) / stepPx);
  if (reach < 1) return line;
  const taps = Array.from({ length: 2 * reach + 1 }, (_, k) =>
    Math.exp(-0.5 * (((k - reach) * stepPx) / sigmaPx) ** 2),
  );
  const sum = taps.reduce((a, b) => a + b, 0);
  const last = line.length - 1;
  return line.map((_, i) => {
    let value = 0;
    for (let k = -reach; k <= reach; k++)
      value += (taps[k + reach] as number) * (line[Math.max(0, Math.min(last, i + k))] as number);
    return value / sum;
  });
};

/** Shares of the light of face and of ground that arrive at a distance outward. */
const sharesAt = (
  shape: FaceShape,
  { wallPx, pxPerMm }: WallSeen,
): ((off: number) => readonly [number, number]) => {
  const of = (k: number): number => shape[k] ?? 0;
  const blur = Math.exp(of(at.lnBlur));
  const soft = Math.hypot(Math.exp(of(at.lnSoft)) * pxPerMm, blur);
  const outline = of(at.edge) + Math.max(0, wallPx);
  const shadowEnd = of(at.edge) + wallPx + of(at.reach) * pxPerMm;
  return (off) => {
    const outside = passed((off - outline) / blur);
    const inside = wallPx > 0 ? 1 - passed((off - of(at.edge)) / blur) : 1 - outside;
    const shade = of(at.depth) * (1 - passed((off - shadowEnd) / soft));
    return [inside + of(at.wall) * (1 - outside - inside), outside * (1 - shade)];
  };
};

/** Lightness, warmth and greenness along evenly spaced places: light blurred by the lens, then turned to pixel values, then colour blurred by the file. */
export const shadesOf = (
  shape: FaceShape,
  seen: WallSeen,
  { from, count }: PlacesAcross,
): readonly Float64Array[] => {
  const shares = sharesAt(shape, seen);
  const [face, ground] = [at.face, at.ground].map((k) => shape.slice(k, k + 3).map(lightOf));
  const [light, warm, green] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
  for (let i = 0; i < count; i++) {
    const [f, g] = shares(from + i * stepPx);
    const mixed = (c: number): number => pixelValue(f * (face?.[c] ?? 0) + g * (ground?.[c] ?? 0));
    const [red, middle, blue] = [mixed(0), mixed(1), mixed(2)];
    light[i] = 0.299 * red + 0.587 * middle + 0.114 * blue;
    warm[i] = 128 + 0.5 * (red - blue);
    green[i] = 128 + 0.5 * middle - 0.25 * (red + blue);
  }
  const chroma = Math.max(0, shape[at.chroma] ?? 0);
  return [light, blurredBy(warm, chroma), blurredBy(green, chroma)];
};

/** Lines along evenly spaced places, read at a profile's own places (Catmull and Rom's cubic between them), one line after the other. */
export const readAt = (
  lines: readonly Float64Array[],
  { from, count }: PlacesAcross,
  { offPx }: LightAcross,
): number[] => {
  const out: number[] = [];
  for (const line of lines) {
    for (const off of offPx) {
      const t = (off - from) / stepPx;
      const i = Math.max(1, Math.min(count - 3, Math.floor(t)));
      const u = t - i;
      const [a, b] = [line[i - 1] as number, line[i] as number];
      const [c, d] = [line[i + 1] as number, line[i + 2] as number];
      out.push(b + 0.5 * u * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a))));
    }
  }
  return out;
};

/** Red, green and blue of the mean of some shades, 0 to 255: the weights of lightness, warmth and greenness solved for them. */
export const colourOf = (shades: readonly Shade[]): number[] => {
  const mean = (c: 0 | 1 | 2): number => shades.reduce((s, v) => s + v[c], 0) / Math.max(1, shades.length);
  const [redOverBlue, greenOver] = [2 * (mean(1) - 128), 2 * (mean(2) - 128)];
  const blue = mean(0) - (0.299 + 0.587 / 2) * redOverBlue - 0.587 * greenOver;
  return [blue + redOverBlue, blue + greenOver + redOverBlue / 2, blue];
};
