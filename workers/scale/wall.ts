import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import { type Homography, invertHomography } from '../../src/domain/plane';

/** Where a camera stands over a plane: the plane's point under it and its height, in the plane's units. */
export interface CameraFoot {
  readonly x: number;
  readonly y: number;
  readonly height: number;
}

/** Centre of a camera of the usual focal length over a plane, from H ~ K [r1 r2 t] (Zhang 2000, section 3.1). */
export const cameraFoot = (photoToPlane: Homography, camera: CameraFacts): CameraFoot => {
  const focal = priorFocalPx(camera).value;
  const m = invertHomography(photoToPlane);
  const column = (k: number): [number, number, number] => {
    const [x, y, z] = [m[k] ?? 0, m[3 + k] ?? 0, m[6 + k] ?? 0];
    return [(x - (camera.widthPx / 2) * z) / focal, (y - (camera.heightPx / 2) * z) / focal, z];
  };
  const [a, b, t] = [column(0), column(1), column(2)];
  const squared = Math.hypot(...a) * Math.hypot(...b);
  const dot = (p: readonly number[], q: readonly number[]): number =>
    p.reduce((sum, v, i) => sum + v * (q[i] ?? 0), 0);
  const [x, y] = [-dot(a, t) / squared, -dot(b, t) / squared];
  const away = dot(t, t) / squared - x * x - y * y;
  return { x, y, height: Math.sqrt(Math.max(0, away)) };
};

/**
 * By how much the foot of a wall shows outside the face's edge, as a share of the distance to the camera's foot square to the edge: a point that lies deeper
 * than the plane is seen nearer to the camera's foot.
 */
export const wallShare = (thickness: number, { height }: CameraFoot): number =>
  thickness / (height + thickness);
