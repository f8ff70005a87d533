import type { GreyImage } from '../image';

/** The least (sign 1) or greatest (sign −1) of the 3 × 3 pixels about every pixel; beyond the border there is nothing. */
const extremeOf3 = ({ widthPx: w, heightPx: h, data }: GreyImage, sign: 1 | -1): GreyImage => {
  const pick = sign === 1 ? Math.min : Math.max;
  const across = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    for (let x = 0; x < w; x++) {
      const own = data[row + x] as number;
      const before = x > 0 ? (data[row + x - 1] as number) : own;
      const after = x < w - 1 ? (data[row + x + 1] as number) : own;
      across[row + x] = pick(own, before, after);
    }
  }
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    const above = y > 0 ? row - w : row;
    const below = y < h - 1 ? row + w : row;
    for (let x = 0; x < w; x++) {
      out[row + x] = pick(
        across[row + x] as number,
        across[above + x] as number,
        across[below + x] as number,
      );
    }
  }
  return { widthPx: w, heightPx: h, data: out };
};

/**
 * The picture without light and dark lines up to two px wide (opening, then closing, with a square of 3 px): a printed line that meets an outline no
 * longer cuts it into pieces. Edges stay where they are. Source: J. Serra, Image Analysis and Mathematical Morphology, 1982, chapter II.
 */
export const withoutThinLines = (image: GreyImage): GreyImage =>
  extremeOf3(extremeOf3(extremeOf3(extremeOf3(image, 1), -1), -1), 1);
