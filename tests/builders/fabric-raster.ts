import type { YarnChain } from './fabric-loops';
import type { Camera } from './scene-camera';

/** Where the fabric lies on the table. */
export interface Placement {
  readonly centreMm: readonly [number, number];
  readonly rotationRad: number;
  /** Height of the fabric's middle plane above the table, mm. */
  readonly heightMm: number;
}

/** All straight pieces of yarn, seen by the camera; one entry a piece. */
export interface YarnPieces {
  readonly count: number;
  /** Ends in photo px. */
  readonly ax: Float32Array;
  readonly ay: Float32Array;
  readonly bx: Float32Array;
  readonly by: Float32Array;
  /** Depth of the ends and radius, mm. */
  readonly depthA: Float32Array;
  readonly depthB: Float32Array;
  readonly radiusMm: Float32Array;
  /** Yarn length at the ends, mm. */
  readonly alongA: Float32Array;
  readonly alongB: Float32Array;
  /** In camera axes (right, down, forward): unit vector across the piece in the picture, and the one towards the camera. */
  readonly across: Float32Array;
  readonly towards: Float32Array;
  readonly course: Int16Array;
}

/** Carries fabric mm to table mm. */
export const placeOnTable = (placement: Placement, x: number, y: number): [number, number] => {
  const c = Math.cos(placement.rotationRad);
  const s = Math.sin(placement.rotationRad);
  return [placement.centreMm[0] + c * x - s * y, placement.centreMm[1] + s * x + c * y];
};

/** Cuts the yarn into straight pieces as the camera sees them. */
export const yarnPieces = (
  chains: readonly YarnChain[],
  camera: Camera,
  placement: Placement,
): YarnPieces => {
  const count = chains.reduce((sum, chain) => sum + Math.max(0, chain.x.length - 1), 0);
  const floats = (n = count) => new Float32Array(n);
  const pieces = {
    count,
    ax: floats(),
    ay: floats(),
    bx: floats(),
    by: floats(),
    depthA: floats(),
    depthB: floats(),
    radiusMm: floats(),
    alongA: floats(),
    alongB: floats(),
    across: floats(3 * count),
    towards: floats(3 * count),
    course: new Int16Array(count),
  };
  const { position: o, right, down } = camera;
  let k = 0;
  for (const chain of chains) {
    let last: [number, number, number, number, number] | null = null;
    for (let i = 0; i < chain.x.length; i++) {
      const [wx, wy] = placeOnTable(placement, chain.x[i] as number, chain.y[i] as number);
      const wz = placement.heightMm + (chain.z[i] as number);
      const [px, py, depth] = camera.project(wx, wy, wz);
      const cxm = (wx - o[0]) * right[0] + (wy - o[1]) * right[1] + (wz - o[2]) * right[2];
      const cym = (wx - o[0]) * down[0] + (wy - o[1]) * down[1] + (wz - o[2]) * down[2];
      if (last !== null) {
        const [lx, ly, lastDepth, lcx, lcy] = last;
        pieces.ax[k] = lx;
        pieces.ay[k] = ly;
        pieces.bx[k] = px;
        pieces.by[k] = py;
        pieces.depthA[k] = lastDepth;
        pieces.depthB[k] = depth;
        pieces.radiusMm[k] = ((chain.radius[i] as number) + (chain.radius[i - 1] as number)) / 2;
        pieces.alongA[k] = chain.along[i - 1] as number;
        pieces.alongB[k] = chain.along[i] as number;
        pieces.course[k] = chain.course;
        frame(pieces, k, cxm - lcx, cym - lcy, depth - lastDepth);
        k++;
      }
      last = [px, py, depth, cxm, cym];
    }
  }
  return pieces;
};

const frame = (
  pieces: { across: Float32Array; towards: Float32Array },
  k: number,
  tx: number,
  ty: number,
  tz: number,
): void => {
  const flat = Math.hypot(tx, ty) || 1e-9;
  const length = Math.hypot(flat, tz) || 1e-9;
  const sx = -ty / flat;
  const sy = tx / flat;
  // Of the directions square to the piece and to `across`, the one that faces the camera (negative depth).
  const slope = tz / length;
  pieces.across[3 * k] = sx;
  pieces.across[3 * k + 1] = sy;
  pieces.towards[3 * k] = (tx / flat) * slope;
  pieces.towards[3 * k + 1] = (ty / flat) * slope;
  pieces.towards[3 * k + 2] = -flat / length;
};

/** A rectangle of whole photo pixels. */
export interface PixelBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** What is seen at every sample of a finer raster over `box`: which piece, where on it, how deep. */
export interface YarnRaster {
  readonly box: PixelBox;
  /** Samples along one side of a photo pixel. */
  readonly fineness: number;
  readonly width: number;
  readonly height: number;
  /** Index of the piece, −1 where there is no yarn. */
  readonly piece: Int32Array;
  /** Offset across the piece, −127 … 127 for one radius each way. */
  readonly offset: Int8Array;
  /** Share along the piece, 0 … 255. */
  readonly share: Uint8Array;
  readonly depth: Float32Array;
}

/** The photo pixels that the fabric can touch, with a margin. */
export const boxOf = (pieces: YarnPieces, camera: Camera, marginPx: number): PixelBox => {
  let left = Infinity;
  let right = -Infinity;
  let top = Infinity;
  let bottom = -Infinity;
  for (let k = 0; k < pieces.count; k++) {
    const x = pieces.ax[k] as number;
    const y = pieces.ay[k] as number;
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < top) top = y;
    if (y > bottom) bottom = y;
  }
  const l = Math.max(0, Math.floor(left - marginPx));
  const t = Math.max(0, Math.floor(top - marginPx));
  const r = Math.min(camera.spec.widthPx, Math.ceil(right + marginPx));
  const b = Math.min(camera.spec.heightPx, Math.ceil(bottom + marginPx));
  return { left: l, top: t, width: Math.max(1, r - l), height: Math.max(1, b - t) };
};

/** Draws all pieces as round tubes into a depth buffer: hidden yarn is hidden. */
export const rasterYarn = (
  pieces: YarnPieces,
  camera: Camera,
  box: PixelBox,
  fineness: number,
): YarnRaster => {
  const width = box.width * fineness;
  const height = box.height * fineness;
  const raster: YarnRaster = {
    box,
    fineness,
    width,
    height,
    piece: new Int32Array(width * height).fill(-1),
    offset: new Int8Array(width * height),
    share: new Uint8Array(width * height),
    depth: new Float32Array(width * height).fill(Infinity),
  };
  for (let k = 0; k < pieces.count; k++) drawPiece(pieces, k, camera.spec.focalPx * fineness, raster);
  return raster;
};

const drawPiece = (pieces: YarnPieces, k: number, focal: number, raster: YarnRaster): void => {
  const { box, fineness, width, height, piece, offset, share, depth } = raster;
  // Sample centres sit at whole numbers + 0.5, so half a sample is taken off here once.
  const ax = ((pieces.ax[k] as number) - box.left) * fineness - 0.5;
  const ay = ((pieces.ay[k] as number) - box.top) * fineness - 0.5;
  const dx = ((pieces.bx[k] as number) - box.left) * fineness - 0.5 - ax;
  const dy = ((pieces.by[k] as number) - box.top) * fineness - 0.5 - ay;
  const length = Math.hypot(dx, dy);
  if (length < 1e-6) return;
  const depthA = pieces.depthA[k] as number;
  const slope = (pieces.depthB[k] as number) - depthA;
  const radiusMm = pieces.radiusMm[k] as number;
  const radius = (focal * radiusMm) / depthA;
  const nx = -dy / length;
  const ny = dx / length;
  // Bends would leave wedges open between the pieces: each reaches a little past its ends.
  const reach = Math.min(0.5, (0.3 * radius) / length);
  const low = -reach;
  const high = 1 + reach;
  const gx = dx / (length * length);
  const gy = dy / (length * length);
  const yFrom = Math.max(0, Math.ceil(Math.min(ay, ay + dy) - radius));
  const yTo = Math.min(height - 1, Math.floor(Math.max(ay, ay + dy) + radius));
  for (let y = yFrom; y <= yTo; y++) {
    const oy = y - ay;
    let from = -Infinity;
    let to = Infinity;
    if (Math.abs(nx) > 1e-9) {
      const p = (-radius - oy * ny) / nx;
      const q = (radius - oy * ny) / nx;
      from = Math.min(p, q);
      to = Math.max(p, q);
    } else if (Math.abs(oy * ny) >= radius) continue;
    if (Math.abs(gx) > 1e-12) {
      const p = (low - oy * gy) / gx;
      const q = (high - oy * gy) / gx;
      from = Math.max(from, Math.min(p, q));
      to = Math.min(to, Math.max(p, q));
    } else {
      const t = oy * gy;
      if (t < low || t > high) continue;
    }
    const xFrom = Math.max(0, Math.ceil(ax + from));
    const xTo = Math.min(width - 1, Math.floor(ax + to));
    for (let x = xFrom; x <= xTo; x++) {
      const ox = x - ax;
      const u = (ox * nx + oy * ny) / radius;
      const t = ox * gx + oy * gy;
      const d = depthA + slope * t - radiusMm * Math.sqrt(Math.max(0, 1 - u * u));
      const at = y * width + x;
      if (d < (depth[at] as number)) {
        depth[at] = d;
        piece[at] = k;
        offset[at] = u * 127;
        share[at] = t < 0 ? 0 : t > 1 ? 255 : t * 255;
      }
    }
  }
};
