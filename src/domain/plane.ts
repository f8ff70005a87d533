import { type PhotoPoint, type PlanePoint, photoPoint, planePoint } from './coordinates';

/** A 3×3 homography, row-major. */
export type Homography = readonly [number, number, number, number, number, number, number, number, number];

/** The flat surface that holds reference and swatch: how photo pixels become millimetres, and how well. */
export interface PlaneMap {
  /** Photo px → mm on the plane of the reference, row-major, last entry 1 where possible. */
  readonly photoToPlane: Homography;
  /** Root mean square distance, in photo px, between the reference's points and where the map puts them. */
  readonly residualPx: number;
  /** Relative standard uncertainty of lengths on the plane near the swatch (fit and reference tolerance together). */
  readonly relativeUncertainty: number;
  /** Angle between the camera's axis and the plane's normal, radians; null when the reference says nothing of it. */
  readonly tiltRad: number | null;
  /**
   * Height of the camera's centre above the plane, measured square to it, mm, with its standard uncertainty; null if unknown.
   * A face that lies `h` above the plane is seen enlarged by height / (height − h) everywhere.
   */
  readonly cameraHeightMm: { readonly value: number; readonly standardUncertainty: number } | null;
  /** Height of the reference's own face above the table, mm (0 for a printed mat, 0.76 for an ID-1 card). */
  readonly referenceHeightMm: number;
}

const apply = (h: Homography, x: number, y: number): { x: number; y: number } => {
  const w = h[6] * x + h[7] * y + h[8];
  return { x: (h[0] * x + h[1] * y + h[2]) / w, y: (h[3] * x + h[4] * y + h[5]) / w };
};

/** Where a photo point lies on the plane, in millimetres. */
export const toPlane = (map: Pick<PlaneMap, 'photoToPlane'>, point: PhotoPoint): PlanePoint => {
  const p = apply(map.photoToPlane, point.x, point.y);
  return planePoint(p.x, p.y);
};

/** Where a point of the plane (mm) appears in the photo, in px. */
export const toPhoto = (map: Pick<PlaneMap, 'photoToPlane'>, point: PlanePoint): PhotoPoint => {
  const p = apply(invertHomography(map.photoToPlane), point.x, point.y);
  return photoPoint(p.x, p.y);
};

/**
 * The inverse of a homography (adjugate over determinant).
 * @throws RangeError when the matrix has no inverse.
 */
export const invertHomography = (h: Homography): Homography => {
  const [a, b, c, d, e, f, g, i, j] = h;
  const A = e * j - f * i;
  const B = c * i - b * j;
  const C = b * f - c * e;
  const determinant = a * A + d * B + g * C;
  if (!Number.isFinite(determinant) || determinant === 0) {
    throw new RangeError('This plane map cannot be inverted.');
  }
  const m = [
    A,
    B,
    C,
    f * g - d * j,
    a * j - c * g,
    c * d - a * f,
    d * i - e * g,
    b * g - a * i,
    a * e - b * d,
  ].map((v) => v / determinant);
  const scale = m[8] === undefined || Math.abs(m[8]) < 1e-12 ? 1 : m[8];
  return m.map((v) => v / scale) as unknown as Homography;
};
