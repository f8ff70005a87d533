import type { GreyImage } from '../image';
import { doubled } from './doubled';
import type { EdgeSegments, LineSegments, ScaleContext } from './kind';
import type { FittedRuler } from './rulerTicks';

/** In pictures smaller than this, px, marks may stand two or three px apart: they are read in the picture twice as large. */
const smallPicturePx = 1100;

/** The picture that a ruler's marks are read in, and what was seen in it before; places in it are `factor` times those in work px. */
export interface RulerView {
  readonly image: GreyImage;
  readonly factor: number;
  readonly edges: () => EdgeSegments;
  readonly lines: () => LineSegments;
}

export const rulerView = (context: Pick<ScaleContext, 'lightness' | 'edges' | 'looseLines'>): RulerView => {
  const image = context.lightness();
  if (Math.max(image.widthPx, image.heightPx) >= smallPicturePx)
    return { image, factor: 1, edges: context.edges, lines: context.looseLines };
  const factor = 2;
  const larger = <T extends { readonly workPxPerPx: number }>(seen: T): T => ({
    ...seen,
    workPxPerPx: factor * seen.workPxPerPx,
  });
  return {
    image: doubled(image),
    factor,
    edges: () => larger(context.edges()),
    lines: () => larger(context.looseLines()),
  };
};

/** A ruler that was read in a view, in work px. */
export const inWorkPx = (ruler: FittedRuler, { factor }: RulerView): FittedRuler => {
  const [a, b, c, d, e, f, g, h, i] = ruler.toSteps;
  return {
    ...ruler,
    sightings: ruler.sightings.map((s) => ({ ...s, x: s.x / factor, y: s.y / factor })),
    toSteps: [a * factor, b * factor, c, d * factor, e * factor, f, g * factor, h * factor, i],
    reachPx: ruler.reachPx / factor,
    stepPx: ruler.stepPx / factor,
  };
};
