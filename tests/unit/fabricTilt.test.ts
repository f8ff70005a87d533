import { describe, expect, it } from 'vitest';
import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { photoPoint } from '../../src/domain/coordinates';
import { levelOfFabric } from '../../src/domain/fabricTilt';
import type { StitchGrid } from '../../src/domain/grid';
import { latticeOf } from '../builders/fabric-lattice';
import { placeOnTable } from '../builders/fabric-raster';
import { seeded } from '../builders/random';
import { cameraOf } from '../builders/scene-camera';
import { randomSpec, SCENE_KINDS } from '../builders/scene-random';

const facts: CameraFacts = { widthPx: 1600, heightPx: 1200, focalLength35Mm: null };

type Place = (wale: number, course: number) => { readonly x: number; readonly y: number };

const gridOf = (wales: number, courses: number, place: Place): StitchGrid => {
  const at = (w: number, c: number) => {
    const { x, y } = place(w, c);
    return photoPoint(x, y);
  };
  const count = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
  return {
    wales: count(wales).map((w) => ({
      id: `w${w}`,
      kind: 'stitch',
      origin: 'detected',
      points: count(courses).map((c) => at(w, c)),
    })),
    courses: count(courses).map((c) => ({
      id: `c${c}`,
      kind: 'stitch',
      origin: 'detected',
      points: count(wales).map((w) => at(w, c)),
    })),
  };
};

/**
 * A camera of 26 mm (35 mm equivalent) 300 mm over a point of a plane whose normal is (slopeX, slopeY, 1) in its axes right, down, forward. The horizon of such a
 * plane is K⁻ᵀ times its normal (R. Hartley & A. Zisserman, Multiple View Geometry, 2nd ed. 2004, result 8.16), so with the usual focal length in place of the true
 * one its slopes grow in the ratio of the two.
 */
const focalPx = (26 / 36) * 1600;
const seen = { distanceMm: 300, slopeX: 0.15, slopeY: -0.08 };
const expected = (slope: number): number => (slope * priorFocalPx(facts).value) / focalPx;

/** Table mm → photo px: two axes in the plane, square to each other and to its normal. */
const photographed = (xMm: number, yMm: number): { x: number; y: number } => {
  const { slopeX: a, slopeY: b, distanceMm } = seen;
  const across = [1, 0, -a].map((v) => v / Math.hypot(1, a));
  const along = [-a * b, 1 + a * a, -b].map((v) => v / Math.hypot(a * b, 1 + a * a, b));
  const [x, y, z] = [0, 1, 2].map(
    (k) => (k === 2 ? distanceMm : 0) + xMm * (across[k] as number) + yMm * (along[k] as number),
  ) as [number, number, number];
  return { x: 800 + (focalPx * x) / z, y: 600 + (focalPx * y) / z };
};

const offBy = (level: CameraLevel | null): number =>
  level === null
    ? Number.POSITIVE_INFINITY
    : Math.hypot(level.slopeX - expected(seen.slopeX), level.slopeY - expected(seen.slopeY));

/** A piece of 30 columns and 40 rows, 90 × 84 mm, 20 mm off the middle of the photo. */
const evenPlace = (w: number, c: number): [number, number] => [3 * (w - 14.5) + 20, 2.1 * (c - 19.5) - 5];

describe('the tilt of the table from the evenness of the stitches', () => {
  it('is that of the plane when the fabric is even', () => {
    const level = levelOfFabric(
      gridOf(30, 40, (w, c) => photographed(...evenPlace(w, c))),
      facts,
    );
    expect(offBy(level)).toBeLessThan(0.0005);
    expect(level?.isFromFabric).toBe(true);
  });

  it('is not mistaken for a fabric that runs askew, leans and bows', () => {
    const bent = gridOf(30, 40, (w, c) => {
      const [x, y] = evenPlace(w, c);
      const across = (w - 14.5) / 15;
      // Rows bow along the columns, wherever these lean to.
      const down = y + 0.05 * x + 2.5 * across * across;
      return photographed(x + 0.06 * down, down);
    });
    expect(offBy(levelOfFabric(bent, facts))).toBeLessThan(0.003);
  });

  it('is the same whichever way rows and columns are numbered', () => {
    const forwards = levelOfFabric(
      gridOf(30, 40, (w, c) => photographed(...evenPlace(w, c))),
      facts,
    );
    const turned = levelOfFabric(
      gridOf(40, 30, (w, c) => photographed(...evenPlace(29 - c, w))),
      facts,
    );
    expect(turned?.slopeX).toBeCloseTo(forwards?.slopeX ?? 0, 4);
    expect(turned?.slopeY).toBeCloseTo(forwards?.slopeY ?? 0, 4);
  });

  it('grows uncertain where the fabric is stretched unevenly', () => {
    const random = seeded(7);
    const phases = [random.next(), random.next(), random.next()].map((v) => 2 * Math.PI * v);
    const [p = 0, q = 0, r = 0] = phases;
    const stretched = gridOf(30, 40, (w, c) => {
      const [x, y] = evenPlace(w, c);
      return photographed(
        x + 1.2 * Math.sin(y / 14 + p) + 0.8 * Math.sin(x / 11 + q),
        y + 1.2 * Math.sin(x / 13 + r),
      );
    });
    const even = levelOfFabric(
      gridOf(30, 40, (w, c) => photographed(...evenPlace(w, c))),
      facts,
    );
    const level = levelOfFabric(stretched, facts);
    expect(level?.uncertainty).toBeGreaterThan(2 * (even?.uncertainty ?? 1));
    expect(offBy(level)).toBeLessThan(2.5 * (level?.uncertainty ?? 0));
  });

  it('is less certain where one end of the piece is drawn in, which looks much like a tilt', () => {
    // Narrower by a twentieth at one end than at the other, with rows that grow by two per cent on the way.
    const drawnIn = gridOf(30, 40, (w, c) => {
      const [x, y] = evenPlace(w, c);
      const down = (c - 19.5) / 39;
      return photographed((x - 20) * (1 - 0.05 * down) + 20, y * (1 + 0.01 * down));
    });
    const level = levelOfFabric(drawnIn, facts);
    expect(offBy(level)).toBeLessThan(2.5 * (level?.uncertainty ?? 0));
  });

  it('is left open with fewer than eight columns or rows', () => {
    expect(
      levelOfFabric(
        gridOf(7, 40, (w, c) => photographed(...evenPlace(w, c))),
        facts,
      ),
    ).toBeNull();
    expect(
      levelOfFabric(
        gridOf(30, 7, (w, c) => photographed(...evenPlace(w, c))),
        facts,
      ),
    ).toBeNull();
  });

  it('lies within its uncertainty on fabrics that are drawn out of shape at random', () => {
    const shares = Array.from({ length: 39 }, (_, i) => {
      const { spec } = randomSpec(7_700_000 + i, SCENE_KINDS[i % SCENE_KINDS.length], 1600);
      const lattice = latticeOf(spec.fabric);
      const camera = cameraOf(spec.camera);
      const columns = lattice.columns.filter((c) => c.kind !== 'gap' && !lattice.rolled(c.centreMm));
      const random = seeded(i);
      const noisePx = (0.03 * spec.fabric.walePitchMm * spec.camera.focalPx) / spec.camera.distanceMm;
      const grid = gridOf(columns.length, lattice.courseYMm.length, (w, c) => {
        const { x, y, z } = lattice.place(columns[w]?.centreMm ?? 0, lattice.courseYMm[c] ?? 0);
        const placement = {
          centreMm: spec.fabricCentreMm,
          rotationRad: spec.fabricRotationRad,
          heightMm: 0,
        };
        const [px, py] = camera.project(...placeOnTable(placement, x, y), 1.5 + z);
        return { x: px + noisePx * random.normal(), y: py + noisePx * random.normal() };
      });
      const { widthPx, heightPx, focalPx: trueFocalPx } = spec.camera;
      const own: CameraFacts = { widthPx, heightPx, focalLength35Mm: null };
      const level = levelOfFabric(grid, own);
      // The table's normal points at the camera: its components along the camera's axes are the slopes.
      const [nx, ny, nz] = [camera.right[2], camera.down[2], camera.forward[2]];
      const ratio = priorFocalPx(own).value / trueFocalPx;
      if (level === null) return null;
      return {
        inUncertainties:
          Math.max(Math.abs(level.slopeX - (ratio * nx) / nz), Math.abs(level.slopeY - (ratio * ny) / nz)) /
          level.uncertainty,
        uncertainty: level.uncertainty,
      };
    }).filter((v) => v !== null);
    expect(shares.length).toBeGreaterThan(36);
    const inside = shares.filter(({ inUncertainties }) => inUncertainties < 2).length;
    // The larger of two independent deviations lies within two standard uncertainties in 91 of 100.
    expect(inside / shares.length).toBeGreaterThan(0.87);
    const uncertainties = shares.map(({ uncertainty }) => uncertainty).sort((a, b) => a - b);
    expect(uncertainties[uncertainties.length >> 1]).toBeLessThan(0.012);
  });
});
