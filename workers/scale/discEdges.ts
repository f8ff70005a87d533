import type { RgbaImage } from '../image';
import { distancesTo, type StandingDisc } from './disc';

/** A step of colour met on the way out from a disc's middle. */
export interface RimEdge {
  readonly x: number;
  readonly y: number;
  /** How much red, green and blue change over two px on the way out, grey levels. */
  readonly change: Change;
  readonly strength: number;
}

/** A change of red, green and blue. */
export type Change = readonly [number, number, number];

export const sizeOf = ([r, g, b]: Change): number => Math.sqrt((r * r + g * g + b * b) / 3);

/** What is seen on one way out from a disc's middle. */
export interface RimRay {
  readonly dx: number;
  readonly dy: number;
  /** Red, green and blue in turn at every half px, from two of them before `fromPx` on to two beyond the last step; not a number outside the picture. */
  readonly colours: Float64Array;
  /** How much the colour changes at every half px from `fromPx` on. */
  readonly steps: Float64Array;
  /** The same for red, green and blue in turn. */
  readonly changes: Float64Array;
  readonly edges: readonly RimEdge[];
}

/** The colours on the ways out from a middle across a rim. */
export interface RimView {
  readonly x: number;
  readonly y: number;
  readonly fromPx: number;
  readonly rays: readonly RimRay[];
}

/** Directions that are looked in. */
export const rimRays = 144;
const perPx = 2;
/** Steps weaker than this are the sensor's noise. */
const leastStep = 2.5;

/** Red, green and blue at a place between pixel centres, bilinear; false outside the picture. */
export const colourAt = (image: RgbaImage, x: number, y: number, out: Float64Array): boolean => {
  const fx = x - 0.5;
  const fy = y - 0.5;
  const ix = Math.floor(fx);
  const iy = Math.floor(fy);
  if (ix < 0 || iy < 0 || ix >= image.widthPx - 1 || iy >= image.heightPx - 1) return false;
  const [ax, ay] = [fx - ix, fy - iy];
  const at = 4 * (iy * image.widthPx + ix);
  const below = at + 4 * image.widthPx;
  const { data } = image;
  for (let c = 0; c < 3; c++) {
    const top = (data[at + c] as number) * (1 - ax) + (data[at + 4 + c] as number) * ax;
    const bottom = (data[below + c] as number) * (1 - ax) + (data[below + 4 + c] as number) * ax;
    out[c] = (out[c] as number) + top * (1 - ay) + bottom * ay;
  }
  return true;
};

/** Looks from a middle along rays, between two distances in px. */
export const lookAtRim = (
  image: RgbaImage,
  { x, y }: { readonly x: number; readonly y: number },
  [fromPx, toPx]: readonly [number, number],
): RimView => {
  const count = Math.max(8, Math.ceil((toPx - fromPx) * perPx));
  const colour = new Float64Array(3);
  // Half of the way to the next ray on either side, so that every pixel has its say.
  const aside = Math.max(1, (Math.PI * fromPx) / rimRays / 2);
  const rays = Array.from({ length: rimRays }, (_, k): RimRay => {
    const angle = (2 * Math.PI * k) / rimRays;
    const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
    const colours = new Float64Array(3 * (count + 4));
    for (let i = -2; i < count + 2; i++) {
      const r = fromPx + i / perPx;
      colour.fill(0);
      let inside = true;
      for (let side = -1; side <= 1; side++)
        inside =
          colourAt(image, x + r * dx - side * aside * dy, y + r * dy + side * aside * dx, colour) && inside;
      for (let c = 0; c < 3; c++) colours[3 * (i + 2) + c] = inside ? (colour[c] as number) / 3 : Number.NaN;
    }
    return rayOf({ x, y, fromPx }, dx, dy, colours);
  });
  return { x, y, fromPx, rays };
};

type Middle = Pick<RimView, 'x' | 'y' | 'fromPx'>;

/** What the colours along a ray tell: how they change, and where most. */
const rayOf = ({ x, y, fromPx }: Middle, dx: number, dy: number, colours: Float64Array): RimRay => {
  const count = colours.length / 3 - 4;
  const steps = new Float64Array(count);
  const changes = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let c = 0; c < 3; c++) {
      const change = (colours[3 * (i + 4) + c] as number) - (colours[3 * i + c] as number);
      changes[3 * i + c] = Number.isNaN(change) ? 0 : change;
      sum += change * change;
    }
    steps[i] = Number.isNaN(sum) ? 0 : Math.sqrt(sum / 3);
  }
  const edges = peaksOf(steps).map(({ at, strength }): RimEdge => {
    const r = fromPx + at / perPx;
    return { x: x + r * dx, y: y + r * dy, strength, change: changeAt(changes, Math.round(at)) };
  });
  return { dx, dy, colours, steps, changes, edges };
};

/** Distance from a view's middle of the colours with this number on a ray, px. */
export const distanceOf = ({ fromPx }: Middle, place: number): number => fromPx + (place - 2) / perPx;

/** Mean of each place and its neighbours on both sides, as many as there are. */
const smoothed = (values: Float64Array, reach: number): Float64Array =>
  values.map((_, i) => {
    let [sum, met] = [0, 0];
    for (let j = Math.max(0, i - reach); j <= Math.min(values.length - 1, i + reach); j++) {
      sum += values[j] as number;
      met++;
    }
    return sum / met;
  });

/** Noise is smoothed over so much of the way out along each ray, at least and at most so many px, twice in sequence (about a bell’s shape), and over the rays beside it. */
const smooth = { share: 0.02, leastPx: 1.5, mostPx: 4 };
const raysBeside = 1;

/** A view in another light: every colour replaced by one grey level that is made of it, smoothed. */
export const seenAs = (view: RimView, greyOf: (colours: Float64Array, at: number) => number): RimView => {
  const middle = view.fromPx + (view.rays[0]?.steps.length ?? 0) / (2 * perPx);
  const reach = Math.round(perPx * Math.max(smooth.leastPx, Math.min(smooth.mostPx, smooth.share * middle)));
  const greys = view.rays.map(({ colours }) => {
    const bare = Float64Array.from({ length: colours.length / 3 }, (_, i) => greyOf(colours, 3 * i));
    return smoothed(smoothed(bare, reach), reach);
  });
  return {
    ...view,
    rays: view.rays.map(({ dx, dy, colours }, k) => {
      const joined = new Float64Array(colours.length);
      for (let side = -raysBeside; side <= raysBeside; side++) {
        const beside = greys[(k + side + greys.length) % greys.length];
        beside?.forEach((grey, i) => {
          for (let c = 0; c < 3; c++)
            joined[3 * i + c] = (joined[3 * i + c] as number) + grey / (2 * raysBeside + 1);
        });
      }
      return rayOf(view, dx, dy, joined);
    }),
  };
};

const changeAt = (changes: Float64Array, i: number): Change => [
  changes[3 * i] ?? 0,
  changes[3 * i + 1] ?? 0,
  changes[3 * i + 2] ?? 0,
];

/** Places of greatest change with a parabola's precision. */
const peaksOf = (step: Float64Array): { at: number; strength: number }[] => {
  const out: { at: number; strength: number }[] = [];
  for (let i = 1; i + 1 < step.length; i++) {
    const [a, b, c] = [step[i - 1] as number, step[i] as number, step[i + 1] as number];
    if (b < leastStep || b <= a || b < c) continue;
    out.push({ at: i + (a - c) / (2 * (a - 2 * b + c)), strength: b });
  }
  return out;
};

/** A shadow's edge goes round one side only; a rim is seen in more than two thirds of the directions. */
const ringQuantile = 0.3;

const strongestNear = ({ steps }: RimRay, at: number): number => {
  const i = Math.round(at);
  let best = 0;
  for (let j = Math.max(0, i - 2); j <= Math.min(steps.length - 1, i + 2); j++)
    best = Math.max(best, steps[j] as number);
  return best;
};

/** Distances from the view's middle to the face's rim and to the outline on each ray, px. */
export const rimDistances = (
  view: RimView,
  disc: StandingDisc,
): readonly { readonly face: number; readonly outline: number }[] => {
  const start = disc.focalPx / Math.exp(disc.pose[4]);
  return view.rays.map(({ dx, dy }) => {
    let [face, outline] = [start, start];
    for (let i = 0; i < 4; i++) {
      face -= distancesTo(disc, view.x + face * dx, view.y + face * dy).face;
      outline -= distancesTo(disc, view.x + outline * dx, view.y + outline * dy).outline;
    }
    return { face, outline };
  });
};

/** How much the colour changes in all but the flattest third of the directions at a disc's rim, grown by a factor: at the face's rim or the outline. */
export const ringStrength = (
  view: RimView,
  distances: ReturnType<typeof rimDistances>,
  factor: number,
): number => {
  const strengths = view.rays.map((ray, k) => {
    const { face = 0, outline = 0 } = distances[k] ?? {};
    return Math.max(
      strongestNear(ray, (factor * face - view.fromPx) * perPx),
      strongestNear(ray, (factor * outline - view.fromPx) * perPx),
    );
  });
  strengths.sort((a, b) => a - b);
  return strengths[Math.floor(ringQuantile * strengths.length)] ?? 0;
};

/** Where the wall shows by more than this, px, the rim is two edges. */
const plainRimPx = 1.5;

/**
 * How the colour changes at a disc's rim, grown by a factor, in the mean of all directions that show no wall: the grain of the ground and the relief of a face
 * cancel out, the step from the thing's own colour to the ground's does not.
 */
export const meanChange = (
  view: RimView,
  distances: ReturnType<typeof rimDistances>,
  factor: number,
): Change => {
  let [r, g, b, count] = [0, 0, 0, 0];
  view.rays.forEach(({ changes }, k) => {
    const { face = 0, outline = 0 } = distances[k] ?? {};
    if (outline - face > plainRimPx) return;
    const i = Math.round((factor * face - view.fromPx) * perPx);
    if (i < 0 || 3 * i >= changes.length) return;
    const change = changeAt(changes, i);
    r += change[0];
    g += change[1];
    b += change[2];
    count++;
  });
  return count === 0 ? [0, 0, 0] : [r / count, g / count, b / count];
};
