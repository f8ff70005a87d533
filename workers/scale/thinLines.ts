import type { GreyImage } from '../image';

/** The least (or else the greatest) of the 3 × 3 pixels about every pixel; beyond the border there is nothing. */
const extremeOf3 = ({ widthPx: w, heightPx: h, data }: GreyImage, least: boolean): GreyImage => {
  const across = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    let before = data[row] as number;
    let own = before;
    for (let x = 0; x < w; x++) {
      const after = x < w - 1 ? (data[row + x + 1] as number) : own;
      let extreme = before;
      if (own < extreme === least) extreme = own;
      if (after < extreme === least) extreme = after;
      across[row + x] = extreme;
      before = own;
      own = after;
    }
  }
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const row = y * w;
    const above = y > 0 ? row - w : row;
    const below = y < h - 1 ? row + w : row;
    for (let x = 0; x < w; x++) {
      let extreme = across[row + x] as number;
      if ((across[above + x] as number) < extreme === least) extreme = across[above + x] as number;
      if ((across[below + x] as number) < extreme === least) extreme = across[below + x] as number;
      out[row + x] = extreme;
    }
  }
  return { widthPx: w, heightPx: h, data: out };
};

/**
 * The picture without light and dark lines up to two px wide (opening, then closing, with a square of 3 px): a printed line that meets an outline no
 * longer cuts it into pieces. Edges stay where they are. Source: J. Serra, Image Analysis and Mathematical Morphology, 1982, chapter II.
 */
export const withoutThinLines = (image: GreyImage): GreyImage =>
  extremeOf3(extremeOf3(extremeOf3(extremeOf3(image, true), false), false), true);
