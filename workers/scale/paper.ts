import { axesSeenWith, priorFocalPx } from '../../src/domain/camera';
import { looseLevel } from '../../src/domain/cameraLevel';
import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { type PaperSize, paperSize, paperSizes } from '../../src/domain/paper';
import { inFullPhoto, inOtherPlane } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { planeMapFrom } from './planeMap';
import { type Corner, findQuads, oriented, quadWorth } from './quads';
import { type FittedRectangle, fitRectangle, type RectangleSize } from './rectangle';

/** Sheets of the A series share one shape; so the size is asked for and only the shape is told apart. */
const shapes: readonly { readonly aspect: number; readonly words: string }[] = [
  { aspect: 297 / 210, words: 'A sheet of the A series' },
  { aspect: 279.4 / 215.9, words: 'A sheet of Letter shape' },
];

const unitSize = (aspect: number): RectangleSize => ({
  longMm: 1,
  shortMm: 1 / aspect,
  leaveOut: 0.05,
  heightMm: 0,
});

/** The trimming limits as rectangular distributions (JCGM 100:2008, 4.3.7). */
const toleranceOf = (size: PaperSize): number =>
  Math.max(size.longLimitMm / size.longMm, size.shortLimitMm / size.shortMm) / Math.sqrt(3);

interface FoundSheet {
  readonly sheet: FittedRectangle;
  readonly sure: number;
  readonly aspect: number;
  readonly words: string;
}

const cameraOf = (context: ScaleContext) => ({
  widthPx: context.work.image.widthPx,
  heightPx: context.work.image.heightPx,
  focalLength35Mm: context.photo.focalLength35Mm,
});

const fitted = (
  context: ScaleContext,
  rough: readonly Corner[],
  aspect: number,
  words: string,
  searchPx: number,
): FoundSheet | null => {
  const camera = cameraOf(context);
  const sheet = fitRectangle(
    [context.lightness(), context.warmth()],
    rough,
    unitSize(aspect),
    camera,
    searchPx,
    looseLevel(context.level()),
  );
  if (sheet === null) return null;
  const { ratio, cosine } = axesSeenWith(sheet.free.photoToPlane, camera, priorFocalPx(camera).value);
  const seen = sheet.sides.reduce((p, s) => p * Math.min(1, s.seenShare / 0.7), 1);
  const shape = Math.exp(-0.5 * (Math.log(ratio) / 0.025) ** 2 - 0.5 * (cosine / 0.03) ** 2);
  return {
    sheet,
    aspect,
    words,
    sure: 0.85 * seen * shape * Math.exp(-0.5 * (sheet.fit.residualPx / 2) ** 2),
  };
};

const referenceFrom = (context: ScaleContext, found: FoundSheet): ScaleReference => {
  const scale = context.work.photoPxPerWorkPx;
  const corners = found.sheet.corners.map((c) => photoPoint(c.x * scale, c.y * scale));
  const fit = inFullPhoto(found.sheet.fit, scale);
  const name = context.hints.paperSize ?? null;
  const size = name === null ? null : paperSize(name);
  const usual = Math.max(...paperSizes.map(toleranceOf));
  const unitPlane = planeMapFrom(fit, context.photo, usual, 0);
  return {
    kind: 'paper',
    score: found.sure,
    outline: [corners],
    handles: corners,
    pitchMm: null,
    question: size === null ? 'paperSize' : null,
    plane:
      size === null
        ? null
        : planeMapFrom(
            inOtherPlane(fit, [size.longMm, 0, 0, 0, size.shortMm * found.aspect, 0, 0, 0, 1]),
            context.photo,
            toleranceOf(size),
            0,
          ),
    unitPlane,
    sentence: `${found.words} was found. Which size is it?`,
  };
};

const find = (context: ScaleContext): ScaleReference[] => {
  const { map, segments, workPxPerPx } = context.edges();
  const camera = {
    widthPx: map.widthPx,
    heightPx: map.heightPx,
    focalLength35Mm: context.photo.focalLength35Mm,
  };
  let best: FoundSheet | null = null;
  for (const { aspect, words } of shapes) {
    const [quad] = findQuads(map, segments, { aspect, aspectSlack: 0.045, leastSupport: 0.55 }, camera);
    if (quad === undefined || quadWorth(quad) < 0.15) continue;
    const rough = quad.corners.map((c) => ({ x: c.x * workPxPerPx, y: c.y * workPxPerPx }));
    const found = fitted(context, rough, aspect, words, 5);
    if (found !== null && (best === null || found.sure > best.sure)) best = found;
  }
  return best === null || best.sure < 0.25 ? [] : [referenceFrom(context, best)];
};

const noSheet = 'These four points are not the corners of a sheet; put them on its corners.';

export const paperKind: ReferenceFinder = {
  kind: 'paper',
  find,
  correct: (context, correction) => {
    const scale = context.work.photoPxPerWorkPx;
    const [a, b, c, d] = correction.handles.map((p): Corner => ({ x: p.x / scale, y: p.y / scale }));
    if (!a || !b || !c || !d) throw new RangeError('A sheet of paper needs its four corners.');
    const name = correction.paperSize ?? null;
    const wanted =
      name === null
        ? shapes
        : shapes.filter(
            (s) => Math.abs(s.aspect / (paperSize(name).longMm / paperSize(name).shortMm) - 1) < 0.02,
          );
    const tries = wanted.flatMap(({ aspect, words }) => {
      const rough = oriented([a, b, c, d], { aspect, aspectSlack: 0.25 }, cameraOf(context));
      const found = rough === null ? null : fitted(context, rough.corners, aspect, words, 14);
      return found === null ? [] : [found];
    });
    const [best] = tries.sort((x, y) => y.sure - x.sure);
    if (best === undefined) throw new RangeError(noSheet);
    return referenceFrom(context, { ...best, sure: Math.max(0.5, best.sure) });
  },
};
