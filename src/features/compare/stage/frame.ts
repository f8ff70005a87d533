import { SHEET_PER_MM } from '../../../domain/compareViewFlat';
import { type PhotoPoint, photoPoint } from '../../../domain/coordinates';
import type { LengthUnit } from './Ruler';

/** Side of the frame, mm: what a hand count is made over. */
export const frameMm: Readonly<Record<LengthUnit, number>> = { in: 25.4, cm: 25 };

/** The frame's name, for its label. */
export const frameName: Readonly<Record<LengthUnit, string>> = { in: '1 inch', cm: '25 mm' };

/** Top-left corner and side of the frame around its middle, in units of the sheet. */
export const frameBox = (
  middle: PhotoPoint,
  unit: LengthUnit,
): { readonly corner: PhotoPoint; readonly side: number } => {
  const side = frameMm[unit] * SHEET_PER_MM;
  return { corner: photoPoint(middle.x - side / 2, middle.y - side / 2), side };
};

/** Whether a press is on the frame's line, within `reach` units of the sheet. */
export const onFrame = (middle: PhotoPoint, unit: LengthUnit, at: PhotoPoint, reach: number): boolean => {
  const half = (frameMm[unit] * SHEET_PER_MM) / 2;
  const away = Math.max(Math.abs(at.x - middle.x), Math.abs(at.y - middle.y));
  return Math.abs(away - half) <= reach * 0.8;
};
