import type { CameraFacts } from '../../src/domain/camera';
import type { Homography } from '../../src/domain/plane';
import { localScale } from '../../src/domain/planeFitAlgebra';
import type { GreyImage } from '../image';
import { edgesInParts, type FaceEdge, faceEdgeIn } from './faceEdge';
import { at as of, type WallSeen } from './faceModel';
import type { Corner } from './quads';
import type { RectangleSize } from './rectangleFit';
import { lightAcross, type SideAt } from './sideLight';
import { type MeasuredSide, movedSide, robustLine } from './sides';
import { lineThrough, nearestOn } from './straightLine';
import { cameraFoot, wallShare } from './wall';

/** A side is looked at in so many parts; where fewer than half of them tell, it stays as it was. */
const parts = 24;
/** How far inside and outside of face and wall is looked, px, and for a shadow, mm. */
const besidePx = 4;
const shadowMm = 1.2;
/** Looked at along the line that was found first, and once more along the one that the face's edge makes. */
const rounds = 2;

/** Radius that the upper edge of a thing is rounded with, mm: stamped and milled edges (assumed). */
const roundedMm = 0.08;

/**
 * How far inside the edge of the face, where its planes would meet, a rounded edge ends that hides its wall, px: from aslant a circle in the corner of two planes
 * is seen to end before the corner would.
 */
const roundedOffPx = ({ wallPx, pxPerMm }: WallSeen, heightMm: number): number => {
  const slope = Math.max(0, -wallPx) / (heightMm * pxPerMm);
  return roundedMm * pxPerMm * (1 + slope - Math.hypot(1, slope));
};

/** The side along places on it, from and to beside its corners. */
const sideAlong = (places: readonly Corner[], from: Corner, to: Corner, inside: Corner): SideAt => {
  const line = lineThrough(places);
  const sign = line.nx * inside.x + line.ny * inside.y > line.d ? -1 : 1;
  return {
    from: nearestOn(line, from),
    to: nearestOn(line, to),
    outward: [sign * line.nx, sign * line.ny],
  };
};

/** One side with its places where the face ends, as far as that can be told. */
const faceSide = (
  images: readonly GreyImage[],
  side: MeasuredSide,
  start: SideAt,
  seen: WallSeen,
  leaveOut: number,
): MeasuredSide => {
  const wide = besidePx + Math.max(0, seen.wallPx);
  let along = start;
  let edge: FaceEdge | null = null;
  let told = side;
  for (let round = 0; round < rounds; round++) {
    const { from, to, outward } = along;
    const light = lightAcross(images, along, [-wide, wide + shadowMm * seen.pxPerMm], leaveOut, parts);
    edge = light && faceEdgeIn(light.whole, seen, edge);
    if (light === null || edge === null) return side;
    const offs = edgesInParts(light.parts, light.whole, edge);
    const ts = light.parts.map((part) => part.alongPx);
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const placeAt = (t: number, off: number): Corner => ({
      x: from.x + (t * (to.x - from.x)) / length + off * outward[0],
      y: from.y + (t * (to.y - from.y)) / length + off * outward[1],
    });
    const places = offs.flatMap((off, i) => (Number.isNaN(off) ? [] : [placeAt(ts[i] ?? 0, off)]));
    const line = robustLine(ts, offs);
    if (line === null || places.length < parts / 2) return side;
    const inside = placeAt(length / 2, -length / 2);
    const ends = [placeAt(0, line.a), placeAt(length, line.a + line.b * length)] as const;
    along = sideAlong(ends, ...ends, inside);
    const colours = { face: edge.shape.slice(of.face, of.ground), ground: edge.shape.slice(of.ground) };
    told = { ...side, places, openPx: edge.uncertaintyPx, colours };
  }
  return told;
};

/**
 * The sides of a thick thing where its face ends, the camera standing as a first fit says.
 * @param sides as their strongest edges show them, in the order of the corners.
 */
export const sidesOfFace = (
  images: readonly GreyImage[],
  sides: readonly MeasuredSide[],
  corners: readonly Corner[],
  size: RectangleSize,
  photoToPlane: Homography,
  camera: CameraFacts,
): MeasuredSide[] => {
  const foot = cameraFoot(photoToPlane, camera);
  // From each side outwards to the point under the camera.
  const outwardMm = [-foot.y, foot.x - size.longMm, foot.y - size.shortMm, -foot.x];
  const inside = {
    x: corners.reduce((sum, { x }) => sum + x, 0) / corners.length,
    y: corners.reduce((sum, { y }) => sum + y, 0) / corners.length,
  };
  return sides.map((side, n) => {
    const [a, b] = [corners[n], corners[(n + 1) % corners.length]];
    if (a === undefined || b === undefined) return side;
    const pxPerMm = 1 / localScale(photoToPlane, (a.x + b.x) / 2, (a.y + b.y) / 2);
    const wallPx = wallShare(size.heightMm, foot) * (outwardMm[n] ?? 0) * pxPerMm;
    // What stands almost upright is no thing that lies on the table.
    if (Math.abs(wallPx) > mostWallPx) return side;
    const at = sideAlong(side.places, a, b, inside);
    const seen = { wallPx, pxPerMm };
    return movedSide(
      faceSide(images, side, at, seen, size.leaveOut),
      at.outward,
      roundedOffPx(seen, size.heightMm),
    );
  });
};

/** Photos from above show no more of a thin thing's wall, px. */
const mostWallPx = 30;
