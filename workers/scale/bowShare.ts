import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import { usualCornerBow } from '../../src/domain/planeFitLens';

/** A place in a photo, px. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

/** A place at r from the middle is bowed by r·k·(r/f)²; the corners of a main camera's photo, of 26 mm in 35 mm equivalent, lie at r = 0.83 f. */
const cornerAt = Math.hypot(36, 24) / 2 / 26;
const usualBow = usualCornerBow / cornerAt ** 2;

/** Mean share by which bowing with k = 1 lengthens the distances between places, to first order. */
const stretchBetween = (places: readonly (readonly [number, number])[]): number => {
  const stretches = places.flatMap(([px, py], i) =>
    places.slice(0, i).flatMap(([qx, qy]) => {
      const [dx, dy] = [px - qx, py - qy];
      const squared = dx * dx + dy * dy;
      if (!(squared > 0)) return [];
      const [p, q] = [px * px + py * py, qx * qx + qy * qy];
      return [(dx * (p * px - q * qx) + dy * (p * py - q * qy)) / squared];
    }),
  );
  return stretches.reduce((sum, s) => sum + s / stretches.length, 0);
};

/**
 * Relative standard uncertainty that the lens's bowing gives a scale when it is taken from one thing and used at another place. Lengths change by k·(r/f)² across
 * the way to the photo's middle and by three times that along it, twice on average. Parallel lines and stitches about the swatch, which tell the tilt, are bowed too:
 * to second order about the place s that looks like a tilt by which lengths change by 3·s·(p − s) on the way to p. Lines all over the photo show none of that, so
 * the larger of both answers holds.
 * @param ends places between which the thing's known lengths run: both ends of a length, the corners of a card, four places round a coin; px of the photo that
 * `camera` describes.
 * @param wantedAt where the scale is wanted, the same px.
 */
export const bowShare = (camera: CameraFacts, ends: readonly Place[], wantedAt: Place): number => {
  const focal = priorFocalPx(camera).value;
  const fromMiddle = ({ x, y }: Place): readonly [number, number] => [
    (x - camera.widthPx / 2) / focal,
    (y - camera.heightPx / 2) / focal,
  ];
  const places = ends.map(fromMiddle);
  const [x, y] = fromMiddle(wantedAt);
  const own = stretchBetween(places) - 2 * (x * x + y * y);
  const asTilt = places.reduce((sum, [px, py]) => sum + (x * (px - x) + y * (py - y)) / places.length, 0);
  return usualBow * Math.max(Math.abs(own), Math.abs(own - 3 * asTilt));
};

/**
 * The same for the tilt that two edges show, square to the length between them, which the scale is carried along by: a lens that bows by k turns edges about the place c as
 * a tilt would by which lengths change by 2·k·c·(p − c) along the edges on the way to p.
 * @param ends where the two edges are seen.
 */
export const bowTiltShare = (
  camera: CameraFacts,
  [a, b]: readonly [Place, Place],
  wantedAt: Place,
): number => {
  const focal = priorFocalPx(camera).value;
  const apart = Math.hypot(b.x - a.x, b.y - a.y);
  const along = { x: -(b.y - a.y) / apart / focal, y: (b.x - a.x) / apart / focal };
  const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  const at = (x - camera.widthPx / 2) * along.x + (y - camera.heightPx / 2) * along.y;
  const way = (wantedAt.x - x) * along.x + (wantedAt.y - y) * along.y;
  return 2 * usualBow * Math.abs(at * way);
};
