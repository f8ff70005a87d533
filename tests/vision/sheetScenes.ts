import { sheetFrame } from '../../src/domain/referenceSheet';
import { inBox, inkAt, PAPER_MARGIN_MM } from '../builders/scene-sheet';
import type { Colour, Paint } from './scaleScenes';

/**
 * The printed sheet lying with its middle at the table's origin, as a printer of the given scale printed it, its paper 13 mm larger all round.
 * `printGainMm` is how far ink runs beyond every edge.
 */
export const printedSheet =
  (
    table: Paint,
    options: {
      readonly print?: { readonly across: number; readonly along: number };
      readonly printGainMm?: number;
      readonly paper?: Colour;
    } = {},
  ): Paint =>
  (x, y, blurMm) => {
    const { print = { across: 1, along: 1 }, printGainMm = 0.04, paper = [232, 231, 226] } = options;
    const u = x / print.across + sheetFrame.widthMm / 2;
    const v = y / print.along + sheetFrame.heightMm / 2;
    const page = inBox(
      u,
      v,
      {
        x: -PAPER_MARGIN_MM,
        y: -PAPER_MARGIN_MM,
        w: sheetFrame.widthMm + 2 * PAPER_MARGIN_MM,
        h: sheetFrame.heightMm + 2 * PAPER_MARGIN_MM,
      },
      blurMm,
    );
    if (page <= 0) return table(x, y, blurMm);
    const ink = inkAt(u, v, blurMm, printGainMm);
    const ground = table(x, y, blurMm);
    const mixed = (i: 0 | 1 | 2): number => ground[i] * (1 - page) + page * (paper[i] * (1 - ink) + 28 * ink);
    return [mixed(0), mixed(1), mixed(2)];
  };
