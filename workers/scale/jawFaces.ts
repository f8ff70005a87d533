import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { SeenJaw } from './jawEdges';
import { type FaceByWall, facesByWall, type JawFace, wallStepPx } from './jawWall';

/** The edges of two jaws' faces, and how far apart they may be beside what the fit of a line to them says. */
export interface JawFaces {
  /** Px across from either tap. */
  readonly at: readonly [number, number];
  /** Standard uncertainty of the distance between them, px. */
  readonly gapPx: number;
}

/** Openings are about this wide, mm, where the reading is not typed yet (assumed; only the wall's width hangs on it). */
const usualOpeningMm = 38;
/** Where the wall may show wider than this, px, so much of it is looked at. */
const widestWallPx = 18;
/** Standard uncertainties to either side that thickness and level are tried to, and how finely. */
const reach = 2.5;
const triedSteps = 15;

/** How wide the wall of a jaw shows per mm of its thickness, px, as the camera is thought to stand, and by how much that changes with where it stands. */
interface WallSight {
  readonly pxPerMm: number;
  readonly perLevelPxPerMm: number;
}

/**
 * What lies under a place sinks towards the nadir, the vanishing point of upright lines: by h·n/(z + h·n) of the way there for a depth h below a place at the
 * distance z along the camera's axis, n being the cosine of the tilt (pinhole camera).
 */
const wallSights = (
  [a, b]: readonly [SeenJaw, SeenJaw],
  openingMm: number,
  level: CameraLevel,
  camera: CameraFacts,
): [WallSight, WallSight] => {
  const focal = priorFocalPx(camera).value;
  const cosine = 1 / Math.hypot(level.slopeX, level.slopeY, 1);
  const nadir = {
    x: camera.widthPx / 2 + focal * level.slopeX,
    y: camera.heightPx / 2 + focal * level.slopeY,
  };
  const placed = [a, b].map(({ view, edge }) => {
    const x = view.tap.x + edge.at * view.across.x;
    const y = view.tap.y + edge.at * view.across.y;
    const ray = [(x - camera.widthPx / 2) / focal, (y - camera.heightPx / 2) / focal, 1] as const;
    // Distance along the axis to the plane at height one above which the camera stands.
    return { x, y, ray, depth: 1 / (level.slopeX * ray[0] + level.slopeY * ray[1] + 1) };
  });
  const [p, q] = placed;
  const apart =
    p && q ? Math.hypot(...[0, 1, 2].map((k) => p.depth * (p.ray[k] ?? 0) - q.depth * (q.ray[k] ?? 0))) : 1;
  const sight = ({ view }: SeenJaw, k: number): WallSight => {
    const place = placed[k] ?? { x: 0, y: 0, depth: 1 };
    const share = (cosine * apart) / (place.depth * openingMm);
    const away = (nadir.x - place.x) * view.across.x + (nadir.y - place.y) * view.across.y;
    return { pxPerMm: share * away, perLevelPxPerMm: share * focal };
  };
  return [sight(a, 0), sight(b, 1)];
};

/** The face's edge for a width of the wall, between those that were tried. */
const faceAt = (faces: FaceByWall, wallPx: number): JawFace => {
  const i = Math.min(faces.length - 1, Math.max(0, wallPx / wallStepPx));
  const low = Math.min(Math.floor(i), faces.length - 2);
  const [p, q] = [faces[low], faces[low + 1]];
  if (p === undefined || q === undefined) return faces[0] as JawFace;
  const share = i - low;
  const mix = (a: number, b: number): number => a + share * (b - a);
  return { at: mix(p.at, q.at), variance: mix(p.variance, q.variance), cost: mix(p.cost, q.cost) };
};

/**
 * Where the edges of the faces lie, all widths of the wall being weighed that thickness and level allow: both walls are of one height, and where the camera
 * sees more of the one it sees less of the other.
 * @param openingMm null where it is not typed yet.
 */
export const jawFaces = (
  jaws: readonly [SeenJaw, SeenJaw],
  openingMm: number | null,
  level: CameraLevel,
  camera: CameraFacts,
): JawFaces => {
  const thick = usualFaceHeight('caliper') ?? { heightMm: 2, uncertaintyMm: 1 };
  const sights = wallSights(jaws, openingMm ?? usualOpeningMm, level, camera);
  const widest = (k: 0 | 1): number => {
    const { pxPerMm, perLevelPxPerMm } = sights[k];
    const most =
      (thick.heightMm + reach * thick.uncertaintyMm) *
      Math.max(0, pxPerMm + reach * level.uncertainty * perLevelPxPerMm);
    return Math.min(widestWallPx, Math.max(2 * wallStepPx, most));
  };
  const faces = [0, 1].map((k) => {
    const { view, edge } = jaws[k as 0 | 1];
    return facesByWall(view, edge.at, widest(k as 0 | 1));
  }) as [FaceByWall, FaceByWall];
  const ways: { at: [number, number]; variance: number; cost: number }[] = [];
  for (let i = 0; i < triedSteps; i++) {
    const t = reach * ((2 * i) / (triedSteps - 1) - 1);
    const thickMm = Math.max(0.5, thick.heightMm + t * thick.uncertaintyMm);
    for (let j = 0; j < triedSteps; j++) {
      const u = reach * ((2 * j) / (triedSteps - 1) - 1);
      // One jaw faces the other, so what the camera moves towards the one it moves away from the other.
      const wall = ([1, -1] as const).map((sign, k) => {
        const { pxPerMm, perLevelPxPerMm } = sights[k as 0 | 1];
        return thickMm * (pxPerMm + sign * u * level.uncertainty * perLevelPxPerMm);
      });
      const a = faceAt(faces[0], wall[0] ?? 0);
      const b = faceAt(faces[1], wall[1] ?? 0);
      ways.push({
        at: [a.at, b.at],
        variance: a.variance + b.variance,
        cost: a.cost + b.cost + 0.5 * (t * t + u * u),
      });
    }
  }
  const least = Math.min(...ways.map(({ cost }) => cost));
  const weights = ways.map(({ cost }) => Math.exp(least - cost));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = (value: (way: (typeof ways)[number]) => number): number =>
    ways.reduce((sum, way, i) => sum + ((weights[i] ?? 0) / total) * value(way), 0);
  const at = [mean((way) => way.at[0]), mean((way) => way.at[1])] as const;
  const between = mean((way) => (way.at[0] + way.at[1] - at[0] - at[1]) ** 2);
  return { at, gapPx: Math.sqrt(between + mean((way) => way.variance)) };
};
