import { describe, expect, it } from 'vitest';
import type { GreyImage } from '../../workers/image';
import type { Corner } from '../../workers/scale/quads';
import { measureSide } from '../../workers/scale/sides';
import { seeded } from '../builders/random';

const [widthPx, heightPx] = [420, 80];
/** Where the thing ends: everything above is its face, everything below the ground. */
const sideAtPx = 40;

/** A face that is a little darker than a grainy ground, with a bright stripe printed across it that ends at its side; edges a px soft. */
const faceWithStripe = (seed: number): GreyImage => {
  const random = seeded(seed);
  const data = new Float32Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const face = x > 250 && x < 330 ? 190 : 90;
      const share = Math.max(0, Math.min(1, (y + 0.5 - sideAtPx) / 2 + 0.5));
      const weave = 3 * Math.sin(x * 1.3) * Math.sin(y * 1.7);
      data[y * widthPx + x] = face * (1 - share) + (100 + weave) * share + random.normal();
    }
  }
  return { widthPx, heightPx, data };
};

const distances = (places: readonly Corner[], within: readonly [number, number]): number[] =>
  places.filter(({ x }) => x > within[0] && x < within[1]).map(({ y }) => Math.abs(y - sideAtPx));

describe('the side of a thing that something is printed on', () => {
  it('is seen where the print ends at it and steps the other way, and is not led astray by it elsewhere', () => {
    for (const seed of [1, 2, 3]) {
      const side = measureSide(
        [faceWithStripe(seed)],
        { x: 10, y: 42 },
        { x: 410, y: 39 },
        { x: 210, y: 10 },
        {
          searchPx: 4,
          leaveOut: 0.05,
          footPx: 0,
        },
      );
      expect(side).not.toBeNull();
      if (side === null) continue;
      expect(side.step).toBeLessThan(0);
      const [plain, printed] = [distances(side.places, [30, 245]), distances(side.places, [255, 325])];
      // Every third px is looked at: nearly all places are seen, in both parts.
      expect(plain.length).toBeGreaterThan(60);
      expect(printed.length).toBeGreaterThan(18);
      for (const places of [plain, printed])
        expect(places.reduce((sum, off) => sum + off / places.length, 0)).toBeLessThan(0.5);
    }
  });
});
