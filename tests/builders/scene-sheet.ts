import { checkRulers } from '../../src/domain/referenceSheet';
import { cellMm, markerBits, markerSideMm, sheetMarkers } from '../../src/domain/sheetMarkers';

/** Paper around the printed frame, mm. */
export const PAPER_MARGIN_MM = 13;

/** Share of a small square of side `blurMm` that lies between two places of one axis. */
const between = (v: number, from: number, to: number, blurMm: number): number =>
  Math.max(0, Math.min(v + blurMm / 2, to) - Math.max(v - blurMm / 2, from)) / blurMm;

/** Share of a small square about (x, y) that lies in a box. */
export const inBox = (
  x: number,
  y: number,
  box: { x: number; y: number; w: number; h: number },
  blurMm: number,
): number => between(x, box.x, box.x + box.w, blurMm) * between(y, box.y, box.y + box.h, blurMm);

/** How much of a small square of the printed sheet's frame is inked, 0 to 1; `printGainMm` is how far ink runs beyond every edge. */
export const inkAt = (x: number, y: number, blurMm: number, printGainMm: number): number => {
  let ink = 0;
  for (const mark of sheetMarkers) {
    const [u, v] = [x - mark.xMm, y - mark.yMm];
    if (u < -2 || v < -2 || u > markerSideMm + 2 || v > markerSideMm + 2) continue;
    const g = printGainMm;
    ink = inBox(u, v, { x: -g, y: -g, w: markerSideMm + 2 * g, h: markerSideMm + 2 * g }, blurMm);
    const bits = markerBits[mark.id] ?? 0;
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
