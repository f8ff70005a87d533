import { levelBeside } from '../../src/domain/cameraLevel';
import type { GreyImage } from '../image';
import type { FoundOutlines, ScaleContext } from './kind';
import { type Corner, type Quad, type QuadWish, quadsAmong, quadWorth } from './quads';
import type { RestOfPhoto } from './rectangle';

/** A rectangle's outline as it was first seen, work px, and how far its sides may lie off it. */
export interface RoughOutline {
  readonly corners: readonly Corner[];
  readonly searchPx: number;
}

/** Corners nearer than this, px of the picture they were found in, make the same outline. */
const sameWithinPx = 4;

const isSame = (a: Quad, b: Quad): boolean =>
  a.corners.every((p) => b.corners.some((q) => Math.hypot(p.x - q.x, p.y - q.y) < sameWithinPx));

const distinct = (quads: readonly Quad[], most: number): Quad[] => {
  const kept: Quad[] = [];
  for (const quad of quads) {
    if (kept.length === most) break;
    if (!kept.some((other) => isSame(quad, other))) kept.push(quad);
  }
  return kept;
};

/**
 * Outlines of the wanted shape, the likeliest first: those that show in the coarse picture, where threads, grain and printed lines are gone, and then those
 * that only the fine one shows. The fine picture is looked at only if the caller asks on.
 * @param leastWorth of an outline, see {@link quadWorth}.
 * @param most outlines of either picture, since each takes time to fit.
 */
export function* roughOutlines(
  context: ScaleContext,
  wish: QuadWish,
  leastWorth: number,
  most: number,
  pictures: readonly (() => FoundOutlines)[] = [context.coarseOutlines, context.outlines],
): Generator<RoughOutline> {
  for (const found of pictures) {
    const { widthPx, heightPx, workPxPerPx, outlines } = found();
    const camera = { widthPx, heightPx, focalLength35Mm: context.photo.focalLength35Mm };
    const quads = quadsAmong(outlines, wish, camera).filter((q) => quadWorth(q) > leastWorth);
    for (const { corners } of distinct(quads, most)) {
      yield {
        corners: corners.map((c) => ({ x: c.x * workPxPerPx, y: c.y * workPxPerPx })),
        searchPx: Math.max(3.5, 0.9 * workPxPerPx),
      };
    }
  }
}

/** What the rest of the photo tells of the camera. */
export const restOfPhoto = (context: ScaleContext): RestOfPhoto => ({
  level: levelBeside(context.level()),
  lens: context.grid()?.fit.lens ?? null,
});

/** The pictures that a rectangle's sides are measured in; lightness first, which a JPEG keeps sharpest. */
export const rectanglePictures = (context: ScaleContext): readonly GreyImage[] => [
  context.lightness(),
  context.warmth(),
  context.greenness(),
];
