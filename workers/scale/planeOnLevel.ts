import { type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import type { Homography, PlaneMap } from '../../src/domain/plane';
import { localScale, mapPoint, normalised } from '../../src/domain/planeFitAlgebra';

interface At {
  readonly x: number;
  readonly y: number;
}

/** Photo px → the plane whose normal is (slopeX, slopeY, 1) in the camera's axes, in units of its distance along the axis; and the camera's height over it. */
const planeSeen = (
  slopeX: number,
  slopeY: number,
  focalPx: number,
  { widthPx, heightPx }: CameraFacts,
): { readonly photoToPlane: Homography; readonly height: number } => {
  const size = Math.hypot(slopeX, slopeY, 1);
  const across = [1, 0, -slopeX].map((v) => v / Math.hypot(1, slopeX));
  const [ax = 1, , az = 0] = across;
  // The third axis square to the normal and to the first.
  const along = [slopeY * az, ax - slopeX * az, -slopeY * ax].map((v) => v / size);
  const inPx = ([a = 0, b = 0, c = 0]: readonly number[]): number[] => [
    a / focalPx,
    b / focalPx,
    c - (a * widthPx) / (2 * focalPx) - (b * heightPx) / (2 * focalPx),
  ];
  return {
    photoToPlane: normalised([...inPx(across), ...inPx(along), ...inPx([slopeX, slopeY, 1])]),
    height: 1 / size,
  };
};

/**
 * The plane of one known length between two points on a table of known level, photo px → that length, and how certain the scale is where it is wanted. Level,
 * focal length and the places of both points each add to the ± (JCGM 100:2008, 5.1.2); a level is seen with the assumed focal length, so both go together.
 * @param tapShare relative standard uncertainty of the distance between the points in the photo.
 */
export const planeOnLevel = (
  [a, b]: readonly [At, At],
  level: CameraLevel,
  camera: CameraFacts,
  wantedAt: At,
  tapShare: number,
): PlaneMap => {
  const focal = priorFocalPx(camera);
  const planeFor = (slopeX: number, slopeY: number, share: number) => {
    const { photoToPlane, height } = planeSeen(slopeX * share, slopeY * share, focal.value * share, camera);
    const [ax, ay] = mapPoint(photoToPlane, a.x, a.y);
    const [bx, by] = mapPoint(photoToPlane, b.x, b.y);
    const length = Math.hypot(bx - ax, by - ay);
    const [p, q, r, s, t, u, ...last] = photoToPlane;
    const scaled = [...[p, q, r, s, t, u].map((v) => v / length), ...last] as unknown as Homography;
    return { photoToPlane: scaled, height: height / length };
  };
  const { slopeX, slopeY, uncertainty } = level;
  const here = planeFor(slopeX, slopeY, 1);
  const focalShare = focal.standardUncertainty / focal.value;
  const scaleAt = (h: Homography): number => Math.log(localScale(h, wantedAt.x, wantedAt.y));
  const moved = [
    planeFor(slopeX + uncertainty, slopeY, 1),
    planeFor(slopeX, slopeY + uncertainty, 1),
    planeFor(slopeX, slopeY, 1 + focalShare),
  ];
  const relativeUncertainty = Math.hypot(
    tapShare,
    ...moved.map(({ photoToPlane }) => scaleAt(photoToPlane) - scaleAt(here.photoToPlane)),
  );
  return {
    photoToPlane: here.photoToPlane,
    residualPx: 0,
    relativeUncertainty,
    tiltRad: Math.atan(Math.hypot(slopeX, slopeY)),
    cameraHeightMm: {
      value: here.height,
      standardUncertainty: here.height * Math.hypot(focalShare, relativeUncertainty, 0.02),
    },
    referenceHeightMm: 0,
  };
};
