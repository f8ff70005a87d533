import type { Polarity, RidgeMap } from './ridges';

/** Half the side of the square that is looked at about a crest, as a share of the picture's diagonal. */
const reachShare = 0.03;
/**
 * A line on open ground has at most so many times its own strength about it: its own run through the square is once, a line that crosses it twice, and there
 * may be a numeral or the edge of a swatch. Knitting has five times and more (seen on drawn photos of mats).
 */
const mostCompany = 3;

type Ridges = Readonly<Record<Polarity, RidgeMap>>;

/** Strength of all crests in every rectangle from the picture's first corner: one row and one column more than the picture has. */
const summed = ({ light, dark }: Ridges): Float64Array => {
  const { widthPx: w, heightPx: h } = light;
  const sums = new Float64Array((w + 1) * (h + 1));
  for (let y = 0; y < h; y++) {
    let row = 0;
    for (let x = 0; x < w; x++) {
      const i = y * w + x;
      row += (light.strength[i] as number) + (dark.strength[i] as number);
      sums[(y + 1) * (w + 1) + x + 1] = (sums[y * (w + 1) + x + 1] as number) + row;
    }
  }
  return sums;
};

/**
 * The crests that stand by themselves on open ground, as the lines of a mat do beside the swatch. Where the swatch lies along the mat, its furrows run on from the
 * mat's lines and outnumber them; what lies in the midst of others as strong as itself is therefore left out.
 */
export const onOpenGround = (ridges: Ridges): Ridges => {
  const { widthPx: w, heightPx: h } = ridges.light;
  const sums = summed(ridges);
  const reach = Math.round(reachShare * Math.hypot(w, h));
  const at = (x: number, y: number): number => sums[y * (w + 1) + x] as number;
  const keep = (map: RidgeMap): RidgeMap => {
    const strength = map.strength.slice();
    for (let y = 0; y < h; y++) {
      const top = Math.max(0, y - reach);
      const bottom = Math.min(h, y + reach + 1);
      for (let x = 0; x < w; x++) {
        const own = strength[y * w + x] as number;
        if (own === 0) continue;
        const left = Math.max(0, x - reach);
        const right = Math.min(w, x + reach + 1);
        const about = at(right, bottom) - at(left, bottom) - at(right, top) + at(left, top);
        // At the picture's edge the square is cut off: what is there stands for the whole of it.
        const wholeShare = (2 * reach + 1) / ((right - left) * (bottom - top));
        if (about * wholeShare > mostCompany * own) strength[y * w + x] = 0;
      }
    }
    return { ...map, strength };
  };
  return { light: keep(ridges.light), dark: keep(ridges.dark) };
};
