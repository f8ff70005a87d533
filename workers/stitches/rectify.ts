import type { GreyImage } from '../image';
import type { Basis } from './basis';
import { sample, type Vec } from './raster';

/** Size of one stitch cell in the straightened picture, px: enough for its shape, few enough to be quick. */
export const cellPx = { width: 16, height: 12 } as const;

/** An affine frame in which the local lattice is upright: steps of one cell are the basis vectors. */
export interface Frame {
  /** Place of the straightened picture's origin in the source picture. */
  readonly origin: Vec;
  readonly basis: Basis;
}

export interface Rectified {
  readonly image: GreyImage;
  readonly frame: Frame;
}

/** From the straightened picture to the source picture. */
export const toSource = (frame: Frame, u: number, v: number): Vec => {
  const s = u / cellPx.width;
  const t = v / cellPx.height;
  const { wale, course } = frame.basis;
  return {
    x: frame.origin.x + s * wale.x + t * course.x,
    y: frame.origin.y + s * wale.y + t * course.y,
  };
};

/** From the source picture to the straightened picture. */
export const fromSource = (frame: Frame, p: Vec): Vec => {
  const { wale, course } = frame.basis;
  const det = wale.x * course.y - wale.y * course.x;
  const dx = p.x - frame.origin.x;
  const dy = p.y - frame.origin.y;
  return {
    x: (cellPx.width * (dx * course.y - dy * course.x)) / det,
    y: (cellPx.height * (dy * wale.x - dx * wale.y)) / det,
  };
};

/** Largest side of a straightened picture, px: some 100 wales; a bigger fabric is read in its middle part. */
const largestSidePx = 1600;

/**
 * Straightens the part of a picture around `points` so that every stitch fills a cell of 16 × 12 px.
 * @param margin Cells to add on every side.
 */
export const rectify = (
  source: GreyImage,
  basis: Basis,
  points: readonly Vec[],
  margin: number,
): Rectified => {
  const free: Frame = { origin: { x: 0, y: 0 }, basis };
  const uv = points.map((p) => fromSource(free, p));
  const range = (values: number[], pad: number): [number, number] => {
    const low = Math.min(...values) - pad;
    const high = Math.max(...values) + pad;
    const middle = (low + high) / 2;
    const half = Math.min((high - low) / 2, largestSidePx / 2);
    return [middle - half, middle + half];
  };
  const [u0, u1] = range(
    uv.map((p) => p.x),
    margin * cellPx.width,
  );
  const [v0, v1] = range(
    uv.map((p) => p.y),
    margin * cellPx.height,
  );
  const frame: Frame = { origin: toSource(free, u0, v0), basis };
  const widthPx = Math.ceil(u1 - u0);
  const heightPx = Math.ceil(v1 - v0);
  const data = new Float32Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const p = toSource(frame, x + 0.5, y + 0.5);
      data[y * widthPx + x] = sample(source, p.x, p.y);
    }
  }
  return { image: { widthPx, heightPx, data }, frame };
};
