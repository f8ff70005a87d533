import type { Homography } from './plane';
import { invertHomography } from './plane';
import { mapPoint, multiply3 } from './planeFitAlgebra';
import { type PlaneFit, propagated } from './planeFitCovariance';

/** A photo's size and, where its file says so, the focal length in 35 mm equivalent. */
export interface CameraFacts {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly focalLength35Mm: number | null;
}

/** A quantity with its standard uncertainty. */
export interface Estimate {
  readonly value: number;
  readonly standardUncertainty: number;
}

/** How the camera stood over the plane. */
export interface CameraPose {
  /** Angle between the camera's axis and the plane's normal. */
  readonly tiltRad: number;
  /** Height of the camera's centre over the plane, square to it, in the plane's unit of length. */
  readonly height: Estimate;
  readonly focalPx: Estimate;
}

/**
 * Main cameras of phones have about 23 to 28 mm in 35 mm equivalent (common practice); a photo that does not say it may come from a second camera or have been cropped,
 * both of which make it longer: taken as 27 ± 4 mm.
 */
const usualFocal35Mm = { value: 27, standardUncertainty: 4 };
/**
 * Beside a plane that shows its own perspective that guess must not outvote what is seen, and second lenses and cameras with exchangeable ones reach to 50 mm and beyond
 * (those of five photos of mats and knitting at hand that say so: 29, 29, 50, 50, 50): there it is taken as 30 ± 8 mm.
 */
const unseenFocal35Mm = { value: 30, standardUncertainty: 8 };
/** Equivalent focal lengths compare the diagonals of picture and film (CIPA DCG-001, from memory); the film's frame is 36 × 24 mm. */
const filmDiagonalMm = Math.hypot(36, 24);
/** Shapes of sensors: those of phones and compact cameras, out of which other shapes are cut, and those of cameras with exchangeable lenses (common practice). */
const phoneAspect = 4 / 3;
const filmAspect = 3 / 2;
const aspectSlack = 0.02;
/** EXIF states whole millimetres, and crops and rounding add to it (common practice). */
const statedFocalShare = 0.03;

/** The principal point lies this near to the middle of the photo, as a share of its long side (common practice; more where it was cropped). */
const principalPointShare = 0.006;

/** Diagonal of the whole sensor that a photo was taken with, in the photo's px. */
const sensorDiagonalPx = ({ widthPx, heightPx }: CameraFacts): number => {
  const long = Math.max(widthPx, heightPx);
  const short = Math.min(widthPx, heightPx);
  if (Math.abs(long / short - filmAspect) < aspectSlack) return Math.hypot(long, short);
  const wholeLong = Math.max(long, short * phoneAspect);
  return Math.hypot(wholeLong, wholeLong / phoneAspect);
};

/**
 * Focal length that is assumed before looking at the picture, px.
 * @param unsaid what is taken where the photo does not say it, mm in 35 mm equivalent.
 */
export const priorFocalPx = (camera: CameraFacts, unsaid: Estimate = usualFocal35Mm): Estimate => {
  const pxPerMm = sensorDiagonalPx(camera) / filmDiagonalMm;
  return camera.focalLength35Mm === null
    ? {
        value: unsaid.value * pxPerMm,
        standardUncertainty: unsaid.standardUncertainty * pxPerMm,
      }
    : {
        value: camera.focalLength35Mm * pxPerMm,
        standardUncertainty: Math.max(0.5, statedFocalShare * camera.focalLength35Mm) * pxPerMm,
      };
};

/** Plane → photo px about the photo's centre (the principal point is taken to lie there). */
const centredPlaneToPhoto = (photoToPlane: Homography, camera: CameraFacts): Homography =>
  multiply3([1, 0, -camera.widthPx / 2, 0, 1, -camera.heightPx / 2, 0, 0, 1], invertHomography(photoToPlane));

/**
 * The two conditions that a plane in equal units on both axes sets on s = 1/f²: its axes are square to each other and equally long.
 * Each reads a·s + b = 0; both are made independent of the matrix's scale. Source: Z. Zhang, "A flexible new technique for camera
 * calibration", IEEE PAMI 22 (2000) 1330–1334, equations (3) and (4), with square pixels and a known principal point.
 */
const focalConditions = (photoToPlane: Homography, camera: CameraFacts): [number, number][] => {
  const [a0, b0, , a1, b1, , a2, b2] = centredPlaneToPhoto(photoToPlane, camera);
  const size = a0 * a0 + a1 * a1 + b0 * b0 + b1 * b1;
  return [
    [(a0 * b0 + a1 * b1) / size, (a2 * b2) / size],
    [(a0 * a0 + a1 * a1 - b0 * b0 - b1 * b1) / size, (a2 * a2 - b2 * b2) / size],
  ];
};

/**
 * Focal length from the plane's own perspective, joined with the prior by least squares on s = 1/f². A plane seen squarely says nothing of it, and
 * then the prior stands.
 */
export const focalFromPlane = (
  fit: Pick<PlaneFit, 'photoToPlane' | 'covariance'>,
  camera: CameraFacts,
): Estimate => {
  const prior = priorFocalPx(camera, unseenFocal35Mm);
  const s0 = 1 / prior.value ** 2;
  let information = 1 / ((2 * s0 * prior.standardUncertainty) / prior.value) ** 2;
  let weighted = information * s0;
  focalConditions(fit.photoToPlane, camera).forEach(([a, b], k) => {
    const condition = (h: Homography, facts: CameraFacts): number => {
      const [p, q] = focalConditions(h, facts)[k] ?? [0, 0];
      return p * s0 + q;
    };
    const here = condition(fit.photoToPlane, camera);
    const offCentre = principalPointShare * Math.max(camera.widthPx, camera.heightPx);
    const noise = Math.hypot(
      propagated(fit, (h) => condition(h, camera)),
      condition(fit.photoToPlane, { ...camera, widthPx: camera.widthPx + 2 * offCentre }) - here,
      condition(fit.photoToPlane, { ...camera, heightPx: camera.heightPx + 2 * offCentre }) - here,
    );
    // The condition b·f² + a = 0 is linear in 1/s only; in s it is a·s + b, with the noise found at s0.
    if (!(noise > 0) || a === 0) return;
    const floor = 1e-4 * s0;
    const weight = (a * a) / (noise * noise + floor * floor);
    information += weight;
    weighted += weight * (-b / a);
  });
  const s = Math.max(weighted / information, 0.15 * s0);
  const value = 1 / Math.sqrt(s);
  return { value, standardUncertainty: value / (2 * s) / Math.sqrt(information) };
};

const poseWithFocal = (
  photoToPlane: Homography,
  camera: CameraFacts,
  focalPx: number,
): { tiltRad: number; height: number } => {
  const [a0, b0, c0, a1, b1, c1, a2, b2, c2] = centredPlaneToPhoto(photoToPlane, camera);
  const a = [a0 / focalPx, a1 / focalPx, a2];
  const b = [b0 / focalPx, b1 / focalPx, b2];
  const c = [c0 / focalPx, c1 / focalPx, c2];
  const [ax = 0, ay = 0, az = 0] = a;
  const [bx = 0, by = 0, bz = 0] = b;
  const [cx = 0, cy = 0, cz = 0] = c;
  const normal = [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx];
  const [nx = 0, ny = 0, nz = 0] = normal;
  const n = Math.hypot(nx, ny, nz);
  const scale = Math.sqrt(Math.hypot(ax, ay, az) * Math.hypot(bx, by, bz));
  return {
    tiltRad: Math.acos(Math.min(1, Math.abs(nz) / n)),
    height: Math.abs(nx * cx + ny * cy + nz * cz) / (n * scale),
  };
};

/**
 * Height and tilt of the camera over a fitted plane, from the decomposition H ~ K [r1 r2 t] (Zhang 2000, section 3.1).
 * The height comes out in the plane's unit of length.
 */
export const cameraPose = (
  fit: Pick<PlaneFit, 'photoToPlane' | 'covariance'>,
  camera: CameraFacts,
): CameraPose => {
  const focalPx = focalFromPlane(fit, camera);
  const pose = poseWithFocal(fit.photoToPlane, camera, focalPx.value);
  const step = 1.01;
  const moved = poseWithFocal(fit.photoToPlane, camera, focalPx.value * step);
  const perShare = (moved.height - pose.height) / (step - 1);
  const fromFocal = (perShare * focalPx.standardUncertainty) / focalPx.value;
  const fromFit = propagated(fit, (h) => poseWithFocal(h, camera, focalPx.value).height);
  return {
    tiltRad: pose.tiltRad,
    height: { value: pose.height, standardUncertainty: Math.hypot(fromFocal, fromFit) },
    focalPx,
  };
};

/** Ratio of the lengths of the plane's two axes and cosine of their angle, as a camera with this focal length sees them. */
export const axesSeenWith = (photoToPlane: Homography, camera: CameraFacts, focalPx: number): AxesSeen =>
  axesOf(invertHomography(photoToPlane), camera, focalPx);

/** {@link axesSeenWith} for a map that goes from the plane to the photo. */
export const axesOf = (planeToPhoto: Homography, camera: CameraFacts, focalPx: number): AxesSeen => {
  const [p0, q0, , p1, q1, , a2, b2] = planeToPhoto;
  const a0 = (p0 - (camera.widthPx / 2) * a2) / focalPx;
  const b0 = (q0 - (camera.widthPx / 2) * b2) / focalPx;
  const a1 = (p1 - (camera.heightPx / 2) * a2) / focalPx;
  const b1 = (q1 - (camera.heightPx / 2) * b2) / focalPx;
  const a = Math.hypot(a0, a1, a2);
  const b = Math.hypot(b0, b1, b2);
  return { ratio: a / b, cosine: (a0 * b0 + a1 * b1 + a2 * b2) / (a * b) };
};

/** How long the first axis is beside the second, and the cosine of the angle between them. */
export interface AxesSeen {
  readonly ratio: number;
  readonly cosine: number;
}

/** Relative standard uncertainty of a length on the plane at a photo point, from the fit alone. */
export const relativeScaleUncertainty = (
  fit: Pick<PlaneFit, 'photoToPlane' | 'covariance'>,
  x: number,
  y: number,
): number => {
  const along = (h: Homography, dx: number, dy: number): number => {
    const [u0, v0] = mapPoint(h, x - dx, y - dy);
    const [u1, v1] = mapPoint(h, x + dx, y + dy);
    return Math.log(Math.hypot(u1 - u0, v1 - v0));
  };
  return Math.max(
    propagated(fit, (h) => along(h, 1, 0)),
    propagated(fit, (h) => along(h, 0, 1)),
  );
};
