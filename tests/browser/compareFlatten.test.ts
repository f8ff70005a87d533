import { describe, expect, it } from 'vitest';
import { mapped } from '../../src/domain/compareViewFlat';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { warpByMesh, warpByShader } from '../../src/features/compare/stage/warp';

const size = { width: 1200, height: 900 };
/** A photo tilted and turned; the sheet is drawn at one px a unit. */
const photoToSheet: Homography = [0.95, 0.12, -40, -0.1, 1.05, 60, 0.00012, 0.0002, 1];
const sheetToPhoto = invertHomography(photoToSheet);
const box = { x: 40, y: 90, width: 800, height: 600 };

/** White spots on black, whose middles are known. */
const spots = [
  [300, 250],
  [700, 240],
  [480, 420],
  [330, 610],
  [820, 620],
] as const;

const photo = (): HTMLCanvasElement => {
  const canvas = document.createElement('canvas');
  canvas.width = size.width;
  canvas.height = size.height;
  const context = canvas.getContext('2d')!;
  context.fillStyle = '#000000';
  context.fillRect(0, 0, size.width, size.height);
  context.fillStyle = '#ffffff';
  for (const [x, y] of spots) {
    context.beginPath();
    context.arc(x, y, 9, 0, 2 * Math.PI);
    context.fill();
  }
  return canvas;
};

/** Middle of the brightness around a place, px of the canvas. */
const middleNear = (canvas: HTMLCanvasElement, x: number, y: number): { x: number; y: number } => {
  const reach = 25;
  const [left, top] = [Math.round(x) - reach, Math.round(y) - reach];
  const { data } = canvas.getContext('2d')!.getImageData(left, top, 2 * reach, 2 * reach);
  let [sum, sx, sy] = [0, 0, 0];
  for (let j = 0; j < 2 * reach; j += 1) {
    for (let i = 0; i < 2 * reach; i += 1) {
      const light = data[(j * 2 * reach + i) * 4] ?? 0;
      sum += light;
      sx += light * (i + 0.5);
      sy += light * (j + 0.5);
    }
  }
  return { x: left + sx / sum, y: top + sy / sum };
};

const target = (): HTMLCanvasElement => {
  const canvas = document.createElement('canvas');
  canvas.width = box.width;
  canvas.height = box.height;
  return canvas;
};

describe('a photo laid flat', () => {
  for (const [way, warp] of [
    ['by the graphics processor', warpByShader],
    ['cell by cell', warpByMesh],
  ] as const) {
    it(`has every spot where the plane map puts it, to a third of a px, drawn ${way}`, () => {
      const canvas = target();
      expect(warp(photo(), size, sheetToPhoto, box, canvas)).toBe(true);
      for (const [x, y] of spots) {
        const wanted = mapped(photoToSheet, { x, y });
        const at = { x: wanted.x - box.x, y: wanted.y - box.y };
        const found = middleNear(canvas, at.x, at.y);
        expect(Math.hypot(found.x - at.x, found.y - at.y)).toBeLessThan(1 / 3);
      }
    });

    it(`leaves what the photo does not show see-through, drawn ${way}`, () => {
      const canvas = target();
      const away = { ...box, x: box.x - 2000 };
      expect(warp(photo(), size, sheetToPhoto, away, canvas)).toBe(true);
      expect(canvas.getContext('2d')!.getImageData(10, 10, 1, 1).data[3]).toBe(0);
    });
  }
});
