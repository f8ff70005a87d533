import { type AxesSeen, axesOf, type CameraFacts, priorFocalPx } from '../../src/domain/camera';
import type { Homography } from '../../src/domain/plane';

/**
 * Main cameras of phones reach down to about four fifths of the usual focal length, longer lenses and crops up to about twice of it (common practice); none is told
 * by a file without EXIF. The steps are as fine as a tilted card's ratio asks for: a fifth of the focal length changes it by 2 %.
 */
const otherShares = [0.8, 0.9, 1.12, 1.25, 1.5, 1.8];
/** A shape further off than this, ln of the ratio or cosine, is another one under every focal length. */
const beyondFocal = 0.2;

/** How a flat thing's two axes are seen, and how far that is from the shape it should have. */
export interface ShapeSeen extends AxesSeen {
  /** ln of the seen ratio of long to short axis over the wanted one. */
  readonly ratioOff: number;
}

/**
 * The shape of a rectangle in perspective under that usual focal length which suits it best; a thing seen squarely looks the same under all of them.
 * @param planeToPhoto from the rectangle's two axes, in equal units, to px.
 * @param aspect long over short side that it should have; the long side may be either axis.
 */
export const shapeSeen = (planeToPhoto: Homography, camera: CameraFacts, aspect: number): ShapeSeen => {
  const prior = priorFocalPx(camera).value;
  const seenWith = (share: number): ShapeSeen => {
    const axes = axesOf(planeToPhoto, camera, share * prior);
    return { ...axes, ratioOff: Math.abs(Math.log(axes.ratio)) - Math.log(aspect) };
  };
  const cost = (s: ShapeSeen): number => s.ratioOff ** 2 + s.cosine ** 2;
  let best = seenWith(1);
  if (camera.focalLength35Mm !== null || cost(best) > beyondFocal ** 2) return best;
  for (const share of otherShares) {
    const seen = seenWith(share);
    if (cost(seen) < cost(best)) best = seen;
  }
  return best;
};
