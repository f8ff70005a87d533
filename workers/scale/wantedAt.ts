import type { ScaleContext } from './kind';

/** Where a scale is wanted, photo px: in the middle of the swatch, or of the photo while no swatch is known. */
export const wantedAt = ({
  swatchAt,
  photo,
}: Pick<ScaleContext, 'swatchAt' | 'photo'>): { readonly x: number; readonly y: number } =>
  swatchAt ?? { x: photo.widthPx / 2, y: photo.heightPx / 2 };
