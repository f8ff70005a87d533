import { describe, expect, it } from 'vitest';
import {
  gridOnSheet,
  layFlat,
  mapped,
  type PhotoToFlatten,
  SHEET_PER_MM,
  sheetOf,
  windowOnSheet,
} from '../../src/domain/compareViewFlat';
import { photoPoint } from '../../src/domain/coordinates';
import { cornerCentre } from '../../src/domain/countWindow';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { multiply3 } from '../../src/domain/planeFitAlgebra';
import { flatMeasurement, PX_PER_MM } from '../builders/flatMeasurement';

const { stitches } = flatMeasurement();
const upright: PhotoToFlatten = {
  grid: stitches.grid!,
  window: stitches.window!,
  region: stitches.region,
  plane: { photoToPlane: [1 / PX_PER_MM, 0, 0, 0, 1 / PX_PER_MM, 0, 0, 0, 1] },
  widthPx: 2000,
  heightPx: 1600,
};

/** The same swatch as another camera sees it: `toOther` takes the photo's px to the other photo's. */
const seenThrough = (toOther: Homography, mirrored = false): PhotoToFlatten => {
  const move = (p: { x: number; y: number }) => mapped(toOther, p);
  const line = <T extends { points: readonly { x: number; y: number }[] }>(l: T) => ({
    ...l,
    points: l.points.map(move),
  });
  const back = multiply3(upright.plane.photoToPlane, invertHomography(toOther));
  const flip: Homography = [1, 0, 0, 0, -1, 0, 0, 0, 1];
  return {
    ...upright,
    grid: { wales: upright.grid.wales.map(line), courses: upright.grid.courses.map(line) },
    window: { corners: upright.window.corners.map(move) },
    region: upright.region.map(move),
    plane: { photoToPlane: mirrored ? multiply3(flip, back) : back },
  };
};

const turned = (degrees: number): Homography => {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return [0.8 * c, -0.8 * s, 900, 0.8 * s, 0.8 * c, 150, 0, 0, 1];
};
const tilted: Homography = [0.9, 0.05, 60, -0.04, 0.95, 80, 0.00008, 0.00005, 1];

const sheetFor = (...photos: PhotoToFlatten[]) => {
  const maps = photos.map((photo) => layFlat(photo)!);
  return sheetOf(
    maps,
    maps.map(() => 1),
  );
};

describe('laying photos flat', () => {
  it('lays the same swatch the same way, however it was photographed', () => {
    const photos = [upright, seenThrough(turned(30)), seenThrough(tilted), seenThrough(turned(-170), true)];
    const sheet = sheetFor(...photos);
    const [first, ...others] = photos.map((photo, i) => gridOnSheet(photo.grid, sheet.pictures[i]!));
    for (const other of others) {
      for (const [w, c] of [
        [0, 0],
        [29, 0],
        [15, 20],
        [0, 39],
      ] as const) {
        const a = first!.wales[w]!.points[c]!;
        const b = other.wales[w]!.points[c]!;
        expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(0.6);
      }
    }
  });

  it('stands columns upright, rows to the right, at ten units a millimetre', () => {
    const photo = seenThrough(turned(140), true);
    const sheet = sheetFor(photo);
    const grid = gridOnSheet(photo.grid, sheet.pictures[0]!);
    const wale = grid.wales[10]!.points;
    expect(wale.at(-1)!.x).toBeCloseTo(wale[0]!.x, 6);
    expect(wale.at(-1)!.y).toBeGreaterThan(wale[0]!.y);
    expect(grid.courses[3]!.points.at(-1)!.x).toBeGreaterThan(grid.courses[3]!.points[0]!.x);
    expect(grid.wales[18]!.points[0]!.x - wale[0]!.x).toBeCloseTo(25.4 * SHEET_PER_MM, 6);
  });

  it('puts the middles of the counted windows on each other', () => {
    const photos = [upright, seenThrough(turned(12))];
    const sheet = sheetFor(...photos);
    photos.forEach((photo, i) => {
      const centre = cornerCentre(photo.window.corners);
      const at = mapped(sheet.pictures[i]!.photoToSheet, photoPoint(centre.x, centre.y));
      expect(at.x).toBeCloseTo(sheet.middle.x, 6);
      expect(at.y).toBeCloseTo(sheet.middle.y, 6);
      expect(windowOnSheet(photo.window, sheet.pictures[i]!).corners).toHaveLength(4);
    });
  });

  it('draws a face that looks enlarged smaller by just that', () => {
    const map = layFlat(upright)!;
    const sheet = sheetOf([map, map], [1, 1.02]);
    const width = (i: number): number => {
      const grid = gridOnSheet(upright.grid, sheet.pictures[i]!);
      return grid.wales[20]!.points[0]!.x - grid.wales[0]!.points[0]!.x;
    };
    expect(width(0) / width(1)).toBeCloseTo(1.02, 10);
  });

  it('takes a point to the sheet and back', () => {
    const sheet = sheetFor(seenThrough(tilted));
    const { photoToSheet, sheetToPhoto } = sheet.pictures[0]!;
    const there = mapped(sheetToPhoto, mapped(photoToSheet, photoPoint(700, 500)));
    expect(there.x).toBeCloseTo(700, 6);
    expect(there.y).toBeCloseTo(500, 6);
  });

  it('refuses a window without columns', () => {
    expect(layFlat({ ...upright, grid: { wales: [], courses: upright.grid.courses } })).toBeNull();
  });
});
