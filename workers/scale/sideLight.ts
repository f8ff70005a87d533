import type { GreyImage } from '../image';
import type { Corner } from './quads';

/** Lightness, warmth and greenness of a place. */
export type Shade = readonly [number, number, number];

/** Mean shades across a part of a side, from inside to outside. */
export interface LightAcross {
  /** Where the middle of the part lies along the side, px from its first end. */
  readonly alongPx: number;
  /** Distances outward of the side's line, px, rising. */
  readonly offPx: readonly number[];
  /** What is seen there. */
  readonly shades: readonly Shade[];
  /** How many pixels each is the mean of. */
  readonly pixels: readonly number[];
}

/** A straight side: from one end to the other, with the unit vector that points out of the thing. */
export interface SideAt {
  readonly from: Corner;
  readonly to: Corner;
  readonly outward: readonly [number, number];
}

/** Distances outward are told apart by this much, px. */
const binPx = 0.5;

/** Sums of what lies at each distance outward, in each part of a side. */
class Gathered {
  /** Pixels, distances and three shades of each distance in each part. */
  private readonly sums: Float64Array;

  constructor(
    parts: number,
    private readonly bins: number,
  ) {
    this.sums = new Float64Array(5 * parts * bins);
  }

  add(part: number, bin: number, values: readonly [number, number, number, number, number]): void {
    const at = 5 * (part * this.bins + bin);
    for (let k = 0; k < 5; k++) this.sums[at + k] = (this.sums[at + k] as number) + (values[k] as number);
  }

  /** Several neighbouring parts as one. */
  means(first: number, last: number, alongPx: number): LightAcross {
    const offPx: number[] = [];
    const shades: Shade[] = [];
    const pixels: number[] = [];
    for (let bin = 0; bin < this.bins; bin++) {
      const sum = (k: number): number => {
        let total = 0;
        for (let part = first; part <= last; part++)
          total += this.sums[5 * (part * this.bins + bin) + k] as number;
        return total;
      };
      const n = sum(0);
      if (n === 0) continue;
      offPx.push(sum(1) / n);
      shades.push([sum(2) / n, sum(3) / n, sum(4) / n]);
      pixels.push(n);
    }
    return { alongPx, offPx, shades, pixels };
  }
}

/** What lies across a side: all along it, and in parts. */
export interface SideLight {
  readonly whole: LightAcross;
  readonly parts: readonly LightAcross[];
}

/** Calls for every pixel with its middle within a band about a side's line, row by row or column by column. */
const eachBeside = (
  { from, to }: SideAt,
  halfPx: number,
  { widthPx, heightPx }: GreyImage,
  call: (x: number, y: number) => void,
): void => {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const isFlat = Math.abs(dx) > Math.abs(dy);
  const [u0, v0, u1, slope] = isFlat ? [from.x, from.y, to.x, dy / dx] : [from.y, from.x, to.y, dx / dy];
  const [mostU, mostV] = isFlat ? [widthPx - 1, heightPx - 1] : [heightPx - 1, widthPx - 1];
  const reach = halfPx * Math.hypot(1, slope) + 1;
  for (
    let u = Math.max(0, Math.floor(Math.min(u0, u1) - halfPx));
    u <= Math.min(mostU, Math.ceil(Math.max(u0, u1) + halfPx));
    u++
  ) {
    const middle = v0 + (u + 0.5 - u0) * slope;
    for (
      let v = Math.max(0, Math.floor(middle - reach));
      v <= Math.min(mostV, Math.ceil(middle + reach));
      v++
    ) {
      if (isFlat) call(u, v);
      else call(v, u);
    }
  }
};

/**
 * Gathers every pixel beside a side by its distance from it, in parts along it; no pixel is blended with its neighbours.
 * @param pictures lightness, warmth and greenness of one photo.
 * @param reachPx how far inside (negative) and outside it is looked.
 * @param leaveOut share of the side left out at both ends.
 */
export const lightAcross = (
  [lightness, warmth, greenness]: readonly GreyImage[],
  side: SideAt,
  [inner, outer]: readonly [number, number],
  leaveOut: number,
  partCount: number,
): SideLight | null => {
  if (!lightness || !warmth || !greenness) return null;
  const { from, to, outward } = side;
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [dx, dy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const [start, end] = [leaveOut * length, (1 - leaveOut) * length];
  const bins = Math.ceil((outer - inner) / binPx);
  const gathered = new Gathered(partCount, bins);
  eachBeside(side, Math.max(Math.abs(inner), Math.abs(outer)), lightness, (px, py) => {
    const [x, y] = [px + 0.5 - from.x, py + 0.5 - from.y];
    const along = x * dx + y * dy;
    const off = x * outward[0] + y * outward[1];
    const bin = Math.floor((off - inner) / binPx);
    if (along < start || along >= end || bin < 0 || bin >= bins) return;
    const part = Math.min(partCount - 1, Math.floor((partCount * (along - start)) / (end - start)));
    const i = py * lightness.widthPx + px;
    gathered.add(part, bin, [1, off, lightness.data[i] ?? 0, warmth.data[i] ?? 0, greenness.data[i] ?? 0]);
  });
  const middleOf = (part: number): number => start + ((part + 0.5) / partCount) * (end - start);
  return {
    whole: gathered.means(0, partCount - 1, (start + end) / 2),
    parts: Array.from({ length: partCount }, (_, k) => gathered.means(k, k, middleOf(k))),
  };
};
