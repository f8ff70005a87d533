import { choleskyFactor, choleskySolve } from '../../src/domain/planeFitAlgebra';
import type { StandingDisc } from './disc';
import { distanceOf, type RimView, rimDistances, seenAs } from './discEdges';
import { type Hue, spreadOf } from './hueSpread';

/** Relief, borders and shadow change how light a thing is and its hue in proportion: by about so much, beside what is seen of that. */
const shading = 0.2;
/** What the sensor's noise and the file's compression leave in a hue, grey levels. */
const noise = 2;

/** Where the thing's own hue and the ground's are looked at, as shares of its outline. */
const own = { from: 0.6, to: 0.9 };
const ground = { from: 1.12, to: 1.35 };
/** Fewer places than this tell nothing of a hue. */
const fewest = 50;

/** Grey levels between ground and thing in the picture that tells them apart. */
const stepLevels = 60;

/** Blue and red less the lightness, with the weights of ITU-R BT.601 as JPEG files use them (ITU-T T.871). */
const hueOf = (colours: Float64Array, at: number): Hue => {
  const [r = 0, g = 0, b = 0] = colours.subarray(at, at + 3);
  const light = 0.299 * r + 0.587 * g + 0.114 * b;
  return [b - light, r - light];
};

/** What is seen of the thing within a disc's outline and of the ground round it. */
const partsBeside = (
  view: RimView,
  disc: StandingDisc,
): { readonly thing: readonly Hue[]; readonly beside: readonly Hue[] } => {
  const thing: Hue[] = [];
  const beside: Hue[] = [];
  const distances = rimDistances(view, disc);
  view.rays.forEach(({ colours }, k) => {
    const { outline = 0 } = distances[k] ?? {};
    for (let at = 0; at + 2 < colours.length; at += 3) {
      if (Number.isNaN(colours[at])) continue;
      const share = distanceOf(view, at / 3) / outline;
      if (share > own.from && share < own.to) thing.push(hueOf(colours, at));
      else if (share > ground.from && share < ground.to) beside.push(hueOf(colours, at));
    }
  });
  return { thing, beside };
};

/** A rim seen by hue alone, and how far apart the hues of thing and ground are in units of their own spread. */
export interface HueView {
  readonly view: RimView;
  readonly apart: number;
}

/**
 * What is seen round a disc, each place by how much of the thing's hue it has rather than the ground's (Fisher's linear discriminant, 1936). A coin's border and
 * relief, its wall and its shadow differ in lightness, their hue changes only where the coin ends. Null where too little is seen.
 */
export const hueView = (view: RimView, disc: StandingDisc): HueView | null => {
  const { thing, beside } = partsBeside(view, disc);
  if (Math.min(thing.length, beside.length) < fewest) return null;
  const { mean: a, covariance: va } = spreadOf(thing);
  const { mean: b, covariance: vb } = spreadOf(beside);
  const shade = (i: 0 | 1, j: 0 | 1): number => shading * shading * (a[i] * a[j] + b[i] * b[j]);
  const [xx, xy, yy] = [
    (va[0] + vb[0] + shade(0, 0)) / 2 + noise * noise,
    (va[1] + vb[1] + shade(0, 1)) / 2,
    (va[2] + vb[2] + shade(1, 1)) / 2 + noise * noise,
  ];
  const step = [a[0] - b[0], a[1] - b[1]] as const;
  const factor = choleskyFactor([xx, xy, xy, yy], 2);
  if (factor === null) return null;
  const [p = 0, q = 0] = choleskySolve(factor, 2, [...step]);
  const between = p * step[0] + q * step[1];
  if (!(between > 0)) return null;
  const scale = stepLevels / between;
  return {
    apart: Math.sqrt(between),
    view: seenAs(view, (colours, at) => {
      const [x, y] = hueOf(colours, at);
      return scale * (p * (x - b[0]) + q * (y - b[1]));
    }),
  };
};
