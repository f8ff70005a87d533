import type { GreyImage } from '../image';
import { sampleAt } from './pictures';

/** A row of marks in the picture: where it begins and which way it runs, on which side the marks lie, and 1 for light ones, −1 for dark ones. */
export interface MarkRow {
  readonly image: GreyImage;
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  readonly side: number;
  readonly sign: number;
  /** Distance of neighbouring marks as far as it is known, px. */
  readonly spacingPx: number | null;
  /** So far to either side along a mark brightness is put together, px, and by so much marks lean, px along the row for each px into it. */
  readonly reachPx: number;
  readonly lean: number;
  /** Whether single places on marks drown in grain or blur, so that only all of them together tell. */
  readonly isFaint: boolean;
}

/** Half a mark's width, px, where marks stand far enough apart: nearer ones are set off from the middle between them. */
const halfMarkPx = 2.5;
export const halfMarkOf = (spacingPx: number | null): number =>
  spacingPx === null ? halfMarkPx : Math.max(1, Math.min(halfMarkPx, spacingPx / 2));

/** Brightness at a place along the row, `off` px into the marks, the mean of so many rows; 0 outside the picture. */
export const brightnessAt = (f: MarkRow, t: number, off: number): number => {
  let sum = 0;
  for (let k = -f.reachPx; k <= f.reachPx; k++) {
    const o = (off + k) * f.side;
    const u = t + k * f.lean;
    sum += sampleAt(f.image, f.x + u * f.dx - o * f.dy, f.y + u * f.dy + o * f.dx);
  }
  return Number.isNaN(sum) ? 0 : sum / (2 * f.reachPx + 1);
};

/** How much darker (or lighter) than its surroundings the picture is along the ruler, `off` px into the marks. */
export const profileAt = (f: MarkRow, from: number, to: number, off: number, step: number): number[] => {
  const raw: number[] = [];
  for (let t = from; t <= to; t += step) {
    raw.push(f.sign * brightnessAt(f, t, off));
  }
  // Second difference over about a mark's width: flat ground and slow shading vanish.
  const r = Math.max(1, Math.round(halfMarkOf(f.spacingPx) / step));
  return raw.map((v, i) => v - ((raw[i - r] ?? v) + (raw[i + r] ?? v)) / 2);
};
