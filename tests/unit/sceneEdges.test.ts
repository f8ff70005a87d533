import { describe, expect, it } from 'vitest';
import { cameraOf } from '../builders/scene-camera';
import { evenScene } from '../builders/scene-plain';
import { flatThingOf } from '../builders/scene-reference';
import { paintTable } from '../builders/scene-table';

const black = [0, 0, 0] as const;
const camera = cameraOf({ ...evenScene.camera, tiltRad: 0, distanceMm: 120, targetMm: [0, 0] });
const { widthPx, heightPx, focalPx, distanceMm } = camera.spec;

/** Width of a bright thing on black along one row of the drawn light: what the row adds up to, in units of its middle. */
const drawnWidthPx = (picture: Float32Array, row: number): number => {
  const at = (x: number): number => picture[3 * (row * widthPx + x)] as number;
  const middle = (at(widthPx / 2 - 1) + at(widthPx / 2)) / 2;
  return Array.from({ length: widthPx }, (_, x) => at(x) / middle).reduce((sum, v) => sum + v, 0);
};

describe('a drawn sheet of paper', () => {
  it('is as wide in the photo as its truth says, to a twentieth of a pixel', () => {
    const sheet = flatThingOf({
      kind: 'paper',
      centreMm: [0, 0],
      rotationRad: 0,
      widthMm: 60,
      lengthMm: 60,
      colour: [0.8, 0.8, 0.8],
    });
    const ground = { kind: 'wood', base: black, grain: black, rotationRad: 0 } as const;
    const widths = [-30, 0, 45].map((turn) => {
      const turned = sheet && { ...sheet, centreMm: [turn / 97, 0] as const, paint: evenly };
      return drawnWidthPx(paintTable(camera, ground, turned, evenScene.light), heightPx / 2);
    });
    const mean = widths.reduce((sum, w) => sum + w / widths.length, 0);
    // Seen from straight above, its face lies 0.1 mm nearer than the table.
    expect(Math.abs(mean - (60 * focalPx) / (distanceMm - 0.1))).toBeLessThan(0.05);
  });
});

const evenly = (_x: number, _y: number, _spotMm: number, out: Float32Array): void => {
  out.fill(0.8);
};
