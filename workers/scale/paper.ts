import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { type PaperName, type PaperSize, paperSize, paperSizes } from '../../src/domain/paper';
import { invertHomography } from '../../src/domain/plane';
import { inFullPhoto, inOtherPlane } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { rectanglePictures, restOfPhoto, roughOutlines } from './outlineSearch';
import { planeMapFrom } from './planeMap';
import { type Corner, oriented } from './quads';
import { type FittedRectangle, fitRectangle } from './rectangle';
import type { RectangleSize } from './rectangleFit';
import { shapeSeen } from './rectangleShape';
import { sameThing } from './sameThing';
import { wantedAt } from './wantedAt';
import { workCamera } from './workCamera';

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

/** A sheet surer than this ends the search. */
const sureEnough = 0.7;

interface FoundSheet {
  readonly sheet: FittedRectangle;
  readonly sure: number;
  readonly aspect: number;
  readonly words: string;
}

const fitted = (
  context: ScaleContext,
  rough: readonly Corner[],
  aspect: number,
  words: string,
  searchPx: number,
): FoundSheet | null => {
  const camera = workCamera(context);
  const sheet = fitRectangle(
    rectanglePictures(context),
    rough,
    unitSize(aspect),
    camera,
    searchPx,
    restOfPhoto(context),
  );
  if (sheet === null) return null;
  const { ratioOff, cosine } = shapeSeen(invertHomography(sheet.free.photoToPlane), camera, 1);
  const seen = sheet.sides.reduce((p, s) => p * Math.min(1, s.seenShare / 0.7), 1);
  const shape = Math.exp(-0.5 * (ratioOff / 0.025) ** 2 - 0.5 * (cosine / 0.03) ** 2);
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
  const off = found.sheet.leftover;
  const unitPlane = planeMapFrom(fit, context.photo, Math.hypot(usual, off), 0, wantedAt(context));
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
            Math.hypot(toleranceOf(size), off),
            0,
            wantedAt(context),
          ),
    unitPlane,
    sentence: `${found.words} was found. Which size is it?`,
  };
};

/** The shapes to look for: that of the size that the user said, or both. */
const shapesOf = (name: PaperName | null): typeof shapes => {
  if (name === null) return shapes;
  const { longMm, shortMm } = paperSize(name);
  return shapes.filter((s) => Math.abs(s.aspect / (longMm / shortMm) - 1) < 0.02);
};

const find = (context: ScaleContext): ScaleReference[] => {
  let best: FoundSheet | null = null;
  for (const { aspect, words } of shapesOf(context.hints.paperSize ?? null)) {
    // A sheet is large: what outlines it shows in the coarse picture.
    const wish = { aspect, aspectSlack: 0.045, leastSupport: 0.55 };
    for (const { corners, searchPx } of roughOutlines(context, wish, 0.15, 1, [context.coarseOutlines])) {
      const found = fitted(context, corners, aspect, words, searchPx);
      if (found === null) continue;
      if (best === null || found.sure > best.sure) best = found;
      if (found.sure > sureEnough) break;
    }
  }
  return best === null || best.sure < 0.25 ? [] : [referenceFrom(context, best)];
};

const noSheet = 'These four points are not the corners of a sheet; put them on its corners.';

export const paperKind: ReferenceFinder = {
  kind: 'paper',
  sameWithin: sameThing,
  find,
  correct: (context, correction) => {
    const scale = context.work.photoPxPerWorkPx;
    const [a, b, c, d] = correction.handles.map((p): Corner => ({ x: p.x / scale, y: p.y / scale }));
    if (!a || !b || !c || !d) throw new RangeError('A sheet of paper needs its four corners.');
    const name = correction.paperSize ?? null;
    const tries = shapesOf(name).flatMap(({ aspect, words }) => {
      const rough = oriented([a, b, c, d], { aspect, aspectSlack: 0.25 }, workCamera(context));
      const found = rough === null ? null : fitted(context, rough.corners, aspect, words, 14);
      return found === null ? [] : [found];
    });
    const [best] = tries.sort((x, y) => y.sure - x.sure);
    if (best === undefined) throw new RangeError(noSheet);
    return referenceFrom(context, { ...best, sure: Math.max(0.5, best.sure) });
  },
};
