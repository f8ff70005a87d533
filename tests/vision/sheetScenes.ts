import { checkRulers, sheetFrame } from '../../src/domain/referenceSheet';
import { cellMm, markerBits, markerSideMm, sheetMarkers } from '../../src/domain/sheetMarkers';
import type { Colour, Paint } from './scaleScenes';

/** Share of a small square of side `blurMm` that lies between two places of one axis. */
const between = (v: number, from: number, to: number, blurMm: number): number =>
  Math.max(0, Math.min(v + blurMm / 2, to) - Math.max(v - blurMm / 2, from)) / blurMm;

const inBox = (
  x: number,
  y: number,
  box: { x: number; y: number; w: number; h: number },
  blurMm: number,
): number => between(x, box.x, box.x + box.w, blurMm) * between(y, box.y, box.y + box.h, blurMm);

const inkAt = (x: number, y: number, blurMm: number, printGainMm: number): number => {
  let ink = 0;
  for (const mark of sheetMarkers) {
    const [u, v] = [x - mark.xMm, y - mark.yMm];
    if (u < -2 || v < -2 || u > markerSideMm + 2 || v > markerSideMm + 2) continue;
    const g = printGainMm;
    ink = inBox(u, v, { x: -g, y: -g, w: markerSideMm + 2 * g, h: markerSideMm + 2 * g }, blurMm);
    const bits = markerBits[mark.id]!;
    for (let k = 0; k < 16; k++) {
      if (((bits >> (15 - k)) & 1) === 0) continue;
      const cell = { x: cellMm * (1 + (k % 4)), y: cellMm * (1 + (k >> 2)), w: cellMm, h: cellMm };
      ink -= inBox(u, v, cell, blurMm);
    }
  }
  for (const { from, to } of Object.values(checkRulers)) {
    const w = Math.max(0.2, to.xMm - from.xMm);
    const h = Math.max(0.2, to.yMm - from.yMm);
    ink += inBox(x, y, { x: from.xMm - 0.1, y: from.yMm - 0.1, w, h }, blurMm);
  }
  return Math.max(0, Math.min(1, ink));
};

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
      { x: -13, y: -13, w: sheetFrame.widthMm + 26, h: sheetFrame.heightMm + 26 },
      blurMm,
    );
    if (page <= 0) return table(x, y, blurMm);
    const ink = inkAt(u, v, blurMm, printGainMm);
    const ground = table(x, y, blurMm);
    const mixed = (i: 0 | 1 | 2): number => ground[i] * (1 - page) + page * (paper[i] * (1 - ink) + 28 * ink);
    return [mixed(0), mixed(1), mixed(2)];
  };
