import { choleskyFactor, choleskySolve } from '../../src/domain/planeFitAlgebra';
import type { StandingDisc } from './disc';
import { distanceOf, type RimRay, type RimView, rimDistances } from './discEdges';
import { type Hue, spreadOf } from './hueSpread';
import type { TakenEdge } from './rimFit';

/** Where the thing's own hue and the ground's are looked at, as shares of its outline. */
const own = { from: 0.6, to: 0.9 };
const ground = { from: 1.12, to: 1.35 };
/** Fewer places than this tell nothing of a hue. */
const fewest = 50;

/** Grey levels that lightness is raised by before hue is divided by it: in the dark a hue is noise. */
const darkest = 8;
/** What noise and compression leave in a hue that is a share of lightness. */
const noise = 0.01;

/** Places are averaged over so many rays on either side; lightness is blurred along a ray by as much, px, as a file with half the hue's fineness blurs hue. */
const raysBeside = 2;
const fileBlurPx = 1.2;
/**
 * Files mix grey levels where they blur hue, a lens mixes light, which goes with the power 2.2 of grey levels (IEC 61966-2-1): a usual lens adds a fifth to the square of the
 * blur, so that both sides of a step count by this power of their grey levels.
 */
const mixingPower = 1.25;

/** Blur of a step of hue, px. */
const stepBlurPx = 1.6;
/** A step is looked for within so many px of where it should be, in what is seen so far to either side. */
const nearPx = 3;
const windowPx = 6;
const finePx = 0.25;
/** Lightness next to the step, px from it: of the thing, and of the ground, where shadow may lie. */
const inside = { from: -5, to: -1 };
const outside = { from: 1.5, to: 5 };

/** Hue and lightness at every half px of a ray. */
interface HueRay {
  readonly light: Float64Array;
  readonly blue: Float64Array;
  readonly red: Float64Array;
}

const bareRay = ({ colours }: RimRay): HueRay => {
  const count = colours.length / 3;
  const out = {
    light: new Float64Array(count),
    blue: new Float64Array(count),
    red: new Float64Array(count),
  };
  for (let i = 0; i < count; i++) {
    const [r, g, b] = [colours[3 * i] as number, colours[3 * i + 1] as number, colours[3 * i + 2] as number];
    // Weights of ITU-R BT.601 as JPEG files use them (ITU-T T.871).
    const light = 0.299 * r + 0.587 * g + 0.114 * b;
    out.light[i] = light;
    out.blue[i] = b - light;
    out.red[i] = r - light;
  }
  return out;
};

const meanOf = (arrays: readonly Float64Array[]): Float64Array => {
  const out = new Float64Array(arrays[0]?.length ?? 0);
  for (const values of arrays)
    for (let i = 0; i < out.length; i++) out[i] = (out[i] as number) + (values[i] as number) / arrays.length;
  return out;
};

const fileKernel = ((): Float64Array => {
  const reach = Math.ceil(4 * fileBlurPx);
  const bare = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - reach) / 2 / fileBlurPx) ** 2),
  );
  const sum = bare.reduce((a, b) => a + b, 0);
  return bare.map((v) => v / sum);
})();

const asFileBlursHue = (values: Float64Array): Float64Array => {
  const reach = (fileKernel.length - 1) / 2;
  return values.map((_, i) => {
    let sum = 0;
    for (let k = -reach; k <= reach; k++) {
      const at = Math.max(0, Math.min(values.length - 1, i + k));
      sum += (fileKernel[k + reach] as number) * (values[at] as number);
    }
    return sum;
  });
};

const hueRays = ({ rays }: RimView): HueRay[] => {
  const bare = rays.map(bareRay);
  return bare.map((_, k) => {
    const beside: HueRay[] = [];
    for (let side = -raysBeside; side <= raysBeside; side++) {
      const ray = bare[(k + side + bare.length) % bare.length];
      if (ray) beside.push(ray);
    }
    return {
      light: asFileBlursHue(meanOf(beside.map(({ light }) => light))),
      blue: meanOf(beside.map(({ blue }) => blue)),
      red: meanOf(beside.map(({ red }) => red)),
    };
  });
};

/** Shade changes lightness and this colour difference alike: their share stays. */
const hueAt = ({ light, blue, red }: HueRay, i: number): Hue => {
  const whole = (light[i] as number) + darkest;
  return [(blue[i] as number) / whole, (red[i] as number) / whole];
};

/** How much of the thing's hue a place has rather than the ground's: 1 on the thing, 0 on the ground. */
interface Contrast {
  readonly shareOf: (hue: Hue) => number;
  /** How far apart both are in units of their own spread. */
  readonly apart: number;
}

/** Fisher's linear discriminant (1936) between the hues of thing and ground. */
const contrastOf = (thing: readonly Hue[], beside: readonly Hue[]): Contrast | null => {
  if (Math.min(thing.length, beside.length) < fewest) return null;
  const [a, b] = [spreadOf(thing), spreadOf(beside)];
  const [xx, xy, yy] = [0, 1, 2].map((i) => ((a.covariance[i] ?? 0) + (b.covariance[i] ?? 0)) / 2) as [
    number,
    number,
    number,
  ];
  const factor = choleskyFactor([xx + noise * noise, xy, xy, yy + noise * noise], 2);
  if (factor === null) return null;
  const step = [a.mean[0] - b.mean[0], a.mean[1] - b.mean[1]];
  const [p = 0, q = 0] = choleskySolve(factor, 2, step);
  const between = p * (step[0] ?? 0) + q * (step[1] ?? 0);
  if (!(between > 0)) return null;
  return {
    apart: Math.sqrt(between),
    shareOf: ([x, y]) => Math.max(-0.3, Math.min(1.3, (p * (x - b.mean[0]) + q * (y - b.mean[1])) / between)),
  };
};

/** Places of a ray about where the step should be: how far outside it, px, and which. */
interface Near {
  readonly off: number;
  readonly at: number;
}

const placesNear = (view: RimView, ray: HueRay, outline: number): Near[] =>
  Array.from(ray.light, (_, at) => ({ off: distanceOf(view, at) - outline, at })).filter(
    ({ off }) => Math.abs(off) <= windowPx,
  );

const lightBetween = (
  ray: HueRay,
  near: readonly Near[],
  { from, to }: { readonly from: number; readonly to: number },
): number => {
  const met = near.filter(({ off }) => off >= from && off <= to);
  return met.reduce((sum, { at }) => sum + (ray.light[at] as number) / met.length, 0);
};

/** About the normal distribution's, by the logistic curve (at most 0.01 off). */
const stepped = (x: number): number => 1 / (1 + Math.exp(-1.702 * x));

/** What is left when a step from a height inside to one outside, both near 1 and 0, lies at a place. */
const leftBy = (
  shares: readonly { readonly off: number; readonly share: number }[],
  place: number,
): number => {
  const hold = 0.5;
  let [aa, ab, bb, ay, by, yy] = [hold, 0, hold, hold, 0, hold];
  for (const { off, share } of shares) {
    const b = stepped((off - place) / stepBlurPx);
    const a = 1 - b;
    aa += a * a;
    ab += a * b;
    bb += b * b;
    ay += a * share;
    by += b * share;
    yy += share * share;
  }
  const determinant = aa * bb - ab * ab;
  return yy - (bb * ay * ay - 2 * ab * ay * by + aa * by * by) / determinant;
};

/** How far outside the place where it should be the hue's step lies, px; null where it is not seen. */
const stepOff = (shares: readonly { readonly off: number; readonly share: number }[]): number | null => {
  const count = Math.round((2 * nearPx) / finePx) + 1;
  const left = Array.from({ length: count }, (_, i) => leftBy(shares, i * finePx - nearPx));
  let best = 0;
  for (let i = 1; i < count; i++) if ((left[i] as number) < (left[best] as number)) best = i;
  if (best === 0 || best === count - 1) return null;
  const [a, b, c] = [left[best - 1] as number, left[best] as number, left[best + 1] as number];
  return (best + (a - c) / (2 * (a - 2 * b + c))) * finePx - nearPx;
};

/** Where hue ends round a disc. */
export interface HueRim {
  readonly edges: readonly TakenEdge[];
  /** How far apart the hues of thing and ground are in units of their own spread. */
  readonly apart: number;
}

/**
 * The outline of a disc by hue alone, direction by direction. A coin's border and relief, its wall and its shadow differ in lightness and leave hue in proportion to it.
 * At the step itself both sides mix by their light: a lighter thing's hue reaches further out, which is taken back by how light both sides are seen to be next to it.
 * Null where too little is seen.
 */
export const hueRimRound = (view: RimView, disc: StandingDisc): HueRim | null => {
  const rays = hueRays(view);
  const outlines = rimDistances(view, disc).map(({ outline }) => outline);
  const thing: Hue[] = [];
  const beside: Hue[] = [];
  rays.forEach((ray, k) => {
    ray.light.forEach((light, at) => {
      if (Number.isNaN(light)) return;
      const share = distanceOf(view, at) / (outlines[k] as number);
      if (share > own.from && share < own.to) thing.push(hueAt(ray, at));
      else if (share > ground.from && share < ground.to) beside.push(hueAt(ray, at));
    });
  });
  const contrast = contrastOf(thing, beside);
  if (contrast === null) return null;
  const edges = rays.flatMap((ray, k): TakenEdge[] => {
    const { dx, dy } = view.rays[k] as RimRay;
    const outline = outlines[k] as number;
    const near = placesNear(view, ray, outline);
    const [within = 0, beyond = 0] = [inside, outside].map(
      (range) => lightBetween(ray, near, range) ** mixingPower,
    );
    const shares = near.map(({ off, at }) => {
      const bare = contrast.shareOf(hueAt(ray, at));
      return { off, share: (bare * beyond) / (bare * beyond + (1 - bare) * within) };
    });
    if (shares.some(({ share }) => Number.isNaN(share))) return [];
    const off = stepOff(shares);
    if (off === null) return [];
    return [{ x: view.x + (outline + off) * dx, y: view.y + (outline + off) * dy, part: 'outline' }];
  });
  return { edges, apart: contrast.apart };
};
