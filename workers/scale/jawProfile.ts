import type { RgbaImage } from '../image';
import { colourAt } from './discEdges';
import type { Corner } from './quads';

/** Colours across the edge of a jaw, in strips side by side along it. */
export interface JawView {
  readonly tap: Corner;
  /** Unit vectors along the edge and across it, towards the other jaw. */
  readonly along: Corner;
  readonly across: Corner;
  /** Where the strips' middles lie along the edge, px from the tap. */
  readonly stripsAt: readonly number[];
  /** Red, green and blue in turn at every half px across, from `fromPx` on, for every strip. */
  readonly strips: readonly Float64Array[];
  readonly fromPx: number;
  readonly samples: number;
}

/** An edge that runs along all strips. */
export interface JawEdge {
  /** Px across from the tap. */
  readonly at: number;
  /** How much the colour changes over two px, grey levels. */
  readonly strength: number;
  /** How much the colours differ on its two sides, a little way off: a line has edges that are stronger than that, a jaw has not. */
  readonly lasting: number;
}

export const perPx = 2;
const stripPx = 8;
const rowsPerStrip = 4;

/** Looks at the picture across an edge that runs `turn` rad from square to the line between the taps; null where that reaches beyond the picture. */
export const lookAcross = (
  image: RgbaImage,
  tap: Corner,
  other: Corner,
  turn: number,
  halfPx: number,
  [fromPx, toPx]: readonly [number, number],
): JawView | null => {
  const apart = Math.hypot(other.x - tap.x, other.y - tap.y);
  const [tx, ty] = [(other.x - tap.x) / apart, (other.y - tap.y) / apart];
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const across = { x: c * tx - s * ty, y: s * tx + c * ty };
  const along = { x: -across.y, y: across.x };
  const samples = Math.ceil((toPx - fromPx) * perPx) + 1;
  const count = Math.max(4, Math.round((2 * halfPx) / stripPx));
  const colour = new Float64Array(3);
  const stripsAt: number[] = [];
  const strips: Float64Array[] = [];
  for (let k = 0; k < count; k++) {
    const middle = -halfPx + ((k + 0.5) / count) * 2 * halfPx;
    const strip = new Float64Array(3 * samples);
    for (let i = 0; i < samples; i++) {
      const off = fromPx + i / perPx;
      colour.fill(0);
      for (let row = 0; row < rowsPerStrip; row++) {
        const t = middle + (((row + 0.5) / rowsPerStrip - 0.5) * 2 * halfPx) / count;
        const x = tap.x + t * along.x + off * across.x;
        const y = tap.y + t * along.y + off * across.y;
        if (!colourAt(image, x, y, colour)) return null;
      }
      for (let channel = 0; channel < 3; channel++)
        strip[3 * i + channel] = (colour[channel] as number) / rowsPerStrip;
    }
    stripsAt.push(middle);
    strips.push(strip);
  }
  return { tap, along, across, stripsAt, strips, fromPx, samples };
};

/** The mean of all strips. */
export const meanStrip = ({ strips, samples }: JawView): Float64Array => {
  const mean = new Float64Array(3 * samples);
  for (const strip of strips)
    for (let i = 0; i < mean.length; i++)
      mean[i] = (mean[i] as number) + (strip[i] as number) / strips.length;
  return mean;
};

/** Change of colour over two px about a sample. */
export const changeAt = (strip: Float64Array, i: number): [number, number, number] => {
  const [before, after] = [3 * (i - perPx), 3 * (i + perPx)];
  const of = (c: number): number => (strip[after + c] ?? Number.NaN) - (strip[before + c] ?? Number.NaN);
  return [of(0), of(1), of(2)];
};

const sizeOf = ([r, g, b]: readonly [number, number, number]): number =>
  Math.sqrt((r * r + g * g + b * b) / 3);

/** Changes weaker than this are grain and noise. */
const leastChange = 4;
/** An edge is seen in a strip where the colour changes there by at least this share of what it changes in the mean. */
const stripShare = 0.4;
/** An edge of a jaw is seen in so large a share of the strips. */
export const leastSeen = 0.75;

/** The colours on an edge's two sides are compared so far off it, px. */
const aside = { from: 3, to: 8 };

export const meanColour = (strip: Float64Array, from: number, to: number): [number, number, number] => {
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = from; i < to; i++) for (const c of [0, 1, 2] as const) sum[c] += strip[3 * i + c] as number;
  const n = Math.max(1, to - from);
  return [sum[0] / n, sum[1] / n, sum[2] / n];
};

const lastingStep = (mean: Float64Array, samples: number, i: number): number => {
  const before = meanColour(mean, Math.max(0, i - aside.to * perPx), Math.max(1, i - aside.from * perPx));
  const after = meanColour(
    mean,
    Math.min(samples - 1, i + aside.from * perPx),
    Math.min(samples, i + aside.to * perPx),
  );
  return sizeOf([after[0] - before[0], after[1] - before[1], after[2] - before[2]]);
};

/** Edges that go along all strips, from the far side of the jaw towards the other one. */
export const edgesAcross = (view: JawView): JawEdge[] => {
  const mean = meanStrip(view);
  const sizes = Array.from({ length: view.samples }, (_, i) => sizeOf(changeAt(mean, i)) || 0);
  const out: JawEdge[] = [];
  for (let i = perPx + 1; i + perPx + 1 < view.samples; i++) {
    const [a, b, c] = [sizes[i - 1] as number, sizes[i] as number, sizes[i + 1] as number];
    if (b < leastChange || b <= a || b < c) continue;
    const change = changeAt(mean, i);
    const seen = view.strips.filter((strip) => {
      let most = 0;
      for (let j = i - 2; j <= i + 2; j++) {
        const own = changeAt(strip, j);
        most = Math.max(most, (own[0] * change[0] + own[1] * change[1] + own[2] * change[2]) / (3 * b));
      }
      return most > stripShare * b;
    });
    if (seen.length < leastSeen * view.strips.length) continue;
    out.push({
      at: view.fromPx + (i + (a - c) / (2 * (a - 2 * b + c))) / perPx,
      strength: b,
      lasting: lastingStep(mean, view.samples, i),
    });
  }
  return out;
};
