import { describe, expect, it } from 'vitest';
import { coinFaceHeight, usualFaceHeight } from '../../src/domain/faceHeight';

describe('the height of a coin’s face', () => {
  it('comes near to the thickness that the mint publishes for a coin of that size', () => {
    // United States Mint, Coin Specifications: quarter 24.26 mm × 1.75 mm, cent 19.05 mm × 1.52 mm; Council Regulation (EC) 975/98: 1 euro 23.25 mm × 2.33 mm.
    for (const [diameterMm, thicknessMm] of [
      [24.26, 1.75],
      [19.05, 1.52],
      [23.25, 2.33],
    ] as const) {
      const { heightMm, uncertaintyMm } = coinFaceHeight(diameterMm);
      expect(Math.abs(heightMm - thicknessMm)).toBeLessThan(0.2);
      expect(Math.abs(heightMm - thicknessMm)).toBeLessThan(1.5 * uncertaintyMm);
    }
  });

  it('is the usual one for a size that no listed coin has', () => {
    expect(coinFaceHeight(24.1)).toEqual(usualFaceHeight('coin'));
  });
});
