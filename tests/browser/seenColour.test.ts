import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { colourInWindow } from '../../src/features/notebook/yarn/seenColour';

/** Yarn in stripes of two colours on a white table, as the browser itself writes it. */
const stripedPhoto = async (): Promise<ArrayBuffer> => {
  const canvas = new OffscreenCanvas(800, 600);
  const context = canvas.getContext('2d')!;
  context.fillStyle = 'white';
  context.fillRect(0, 0, 800, 600);
  for (let y = 100; y < 500; y += 10) {
    context.fillStyle = y % 20 === 0 ? '#006400' : '#228b22';
    context.fillRect(200, y, 400, 10);
  }
  return (await canvas.convertToBlob({ type: 'image/png' })).arrayBuffer();
};

const windowOf = (...corners: [number, number][]) => ({ corners: corners.map(([x, y]) => photoPoint(x, y)) });

describe('the colour of a yarn in a photo', () => {
  it('is the mean over the counted window alone: the white table beside it does not count', async () => {
    const bytes = await stripedPhoto();
    const seen = await colourInWindow(
      { bytes, mime: 'image/png' },
      windowOf([220, 120], [580, 120], [580, 480], [220, 480]),
    );
    expect(seen?.word).toBe('green');
    // Half #006400 and half #228b22 (CSS Color 4), mixed as light: (0.0080, 0.1896, 0.0080) codes as about (24, 121, 24).
    const parts = [1, 3, 5].map((at) => Number.parseInt(seen?.hex.slice(at, at + 2) ?? '', 16));
    for (const [i, expected] of [24, 121, 24].entries())
      expect(Math.abs(parts[i]! - expected)).toBeLessThanOrEqual(4);
  });

  it('is nothing for a window without area, and for a file that is no picture', async () => {
    const photo = { bytes: await stripedPhoto(), mime: 'image/png' };
    expect(await colourInWindow(photo, windowOf([10, 10], [10, 10], [10, 10]))).toBeNull();
    const rubbish = { bytes: new ArrayBuffer(9), mime: 'image/png' };
    expect(await colourInWindow(rubbish, windowOf([0, 0], [5, 0], [5, 5]))).toBeNull();
  });
});
