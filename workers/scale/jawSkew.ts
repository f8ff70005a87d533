import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import type { Corner } from './quads';

/** The straight edge of a jaw as it is seen. */
export interface JawLine {
  readonly middle: Corner;
  /** Unit vector along the edge. */
  readonly along: Corner;
}

/** Distance between two nearly parallel edges, px, square to their common direction. */
export const gapPx = (a: JawLine, b: JawLine): number => {
  // Either edge is followed as seen from the other, so they run in opposite directions.
  const x = a.along.x - b.along.x;
  const y = a.along.y - b.along.y;
  const size = Math.hypot(x, y);
  return Math.abs((b.middle.x - a.middle.x) * -y + (b.middle.y - a.middle.y) * x) / size;
};

/** Jaws are parallel; laid back onto the table as it is thought to lie, two edges of one caliper are out of it by no more than this. */
export const mostSkewRad = 0.04;

/**
 * How much two edges are out of parallel on the table, rad, and by how much of it the table's own level may be to blame (three standard uncertainties): one
 * radian of tilt turns the edges against each other by as much as the opening is wide beside its distance.
 */
export const skewOf = (
  a: JawLine,
  b: JawLine,
  level: CameraLevel,
  camera: CameraFacts,
): { rad: number; slack: number } => {
  const focal = priorFocalPx(camera).value;
  const onTable = (x: number, y: number): readonly number[] => {
    const [rx, ry] = [(x - camera.widthPx / 2) / focal, (y - camera.heightPx / 2) / focal];
    const reach = 1 / (level.slopeX * rx + level.slopeY * ry + 1);
    return [reach * rx, reach * ry, reach];
  };
  const [p, q] = [a, b].map(({ middle, along }) => {
    const here = onTable(middle.x, middle.y);
    const there = onTable(middle.x + along.x, middle.y + along.y);
    const way = there.map((v, k) => v - (here[k] ?? 0));
    return way.map((v) => v / Math.hypot(...way));
  }) as [number[], number[]];
  const [x, y, z] = [0, 1, 2].map((k) => {
    const [i, j] = [(k + 1) % 3, (k + 2) % 3];
    return (p[i] ?? 0) * (q[j] ?? 0) - (p[j] ?? 0) * (q[i] ?? 0);
  }) as [number, number, number];
  return {
    rad: Math.asin(Math.min(1, Math.hypot(x, y, z))),
    slack: (3 * level.uncertainty * gapPx(a, b)) / focal,
  };
};

/** The edges of one caliper are seen to be parallel on the table to about so much, the level apart, rad. */
const parallelRad = 0.006;

/** How well two edges go together as those of one caliper, 0 to 1, the table lying as it is thought to. */
export const togetherAs =
  (level: CameraLevel, camera: CameraFacts) =>
  (a: JawLine, b: JawLine): number => {
    const { rad, slack } = skewOf(a, b, level, camera);
    return Math.exp(-0.5 * (rad / Math.hypot(parallelRad, slack / 3)) ** 2);
  };
