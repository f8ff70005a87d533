/**
 * Bowing of straight lines by the lens: a photo point at distance r from the centre belongs at r (1 + bow (r / radius)²).
 * One radial coefficient is what phone lenses need after their own correction (D. C. Brown, "Close-range camera calibration", 1971,
 * first radial term).
 */
export interface LensBow {
  readonly centreX: number;
  readonly centreY: number;
  readonly radiusPx: number;
  readonly bow: number;
}

/** What is left of a phone's lens bowing after its own correction, at the corners of a photo (standard uncertainty; common practice, measured as ISO 17850 says). */
export const usualCornerBow = 0.01;

/** Where a photo point would lie had the lens not bowed it. */
export const straightened = (lens: LensBow, x: number, y: number): [number, number] => {
  const dx = x - lens.centreX;
  const dy = y - lens.centreY;
  const k = 1 + (lens.bow * (dx * dx + dy * dy)) / lens.radiusPx ** 2;
  return [lens.centreX + dx * k, lens.centreY + dy * k];
};

/** The inverse of {@link straightened}, by fixed-point steps (the bowing is a percent at most). */
export const bowed = (lens: LensBow, x: number, y: number): [number, number] => {
  if (lens.bow === 0) return [x, y];
  const tx = x - lens.centreX;
  const ty = y - lens.centreY;
  let dx = tx;
  let dy = ty;
  for (let i = 0; i < 4; i++) {
    const k = 1 + (lens.bow * (dx * dx + dy * dy)) / lens.radiusPx ** 2;
    dx = tx / k;
    dy = ty / k;
  }
  return [lens.centreX + dx, lens.centreY + dy];
};

/** No bowing, about the middle of a photo. */
export const straightLens = (widthPx: number, heightPx: number): LensBow => ({
  centreX: widthPx / 2,
  centreY: heightPx / 2,
  radiusPx: Math.hypot(widthPx, heightPx) / 2,
  bow: 0,
});
