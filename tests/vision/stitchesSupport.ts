import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import type { RgbaImage } from '../../workers/image';

type Point = readonly [number, number];

/** What is known of a fixture: rendered stitch by stitch, so its lines are exact; px of the shrunken photo. */
export interface FixtureTruth {
  readonly kind: string;
  readonly face: 'knit' | 'purl';
  readonly needlePitchPx: number;
  readonly coursePitchPx: number;
  readonly walesInSwatch: number;
  readonly coursesInSwatch: number;
  readonly gaps: number;
  readonly wales: readonly (readonly Point[])[];
  readonly courses: readonly (readonly Point[])[];
}

const folder = join(import.meta.dirname, 'fixtures', 'stitches');

export const fixtureTruth = (name: string): FixtureTruth =>
  JSON.parse(readFileSync(join(folder, `${name}.json`), 'utf8')) as FixtureTruth;

/** Decodes a fixture photo, optionally changed on the way. */
export const fixturePhoto = async (
  name: string,
  change: (photo: Sharp) => Sharp = (photo) => photo,
): Promise<RgbaImage> => {
  const { data, info } = await change(sharp(join(folder, `${name}.jpg`)).rotate())
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { widthPx: info.width, heightPx: info.height, data: new Uint8ClampedArray(data) };
};

/** Distance of a point from a polyline. */
export const distanceToLine = (p: { x: number; y: number }, line: readonly Point[]): number =>
  Math.min(
    ...line.slice(1).map(([bx, by], i) => {
      const [ax, ay] = line[i]!;
      const length2 = (bx - ax) ** 2 + (by - ay) ** 2;
      const t = Math.max(0, Math.min(1, ((p.x - ax) * (bx - ax) + (p.y - ay) * (by - ay)) / length2));
      return Math.hypot(p.x - ax - t * (bx - ax), p.y - ay - t * (by - ay));
    }),
  );

/** A picture of stacked V's drawn in code: `wale` and `course` steps in px, any angle; everything about it is known. */
export const drawnKnit = (
  widthPx: number,
  heightPx: number,
  wale: { x: number; y: number },
  course: { x: number; y: number },
  tone: (stitch: number, row: number) => number = () => 1,
): RgbaImage => {
  const data = new Uint8ClampedArray(widthPx * heightPx * 4).fill(255);
  const det = wale.x * course.y - wale.y * course.x;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const s = ((x + 0.5) * course.y - (y + 0.5) * course.x) / det;
      const across = s - Math.floor(s) - 0.5;
      const t = ((y + 0.5) * wale.x - (x + 0.5) * wale.y) / det + 1.2 * Math.abs(across);
      const along = t - Math.floor(t) - 0.5;
      const bulge =
        Math.cos(Math.PI * along) ** 2 * Math.min(1, 6 * Math.abs(across), 6 * (0.5 - Math.abs(across)));
      const value = 40 + 170 * bulge * tone(Math.floor(s), Math.floor(t));
      data.fill(value, (y * widthPx + x) * 4, (y * widthPx + x) * 4 + 3);
    }
  }
  return { widthPx, heightPx, data };
};
