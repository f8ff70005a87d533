import type { CameraFacts } from '../../src/domain/camera';
import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { invertHomography } from '../../src/domain/plane';
import { inFullPhoto } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { rectanglePictures, restOfPhoto, roughOutlines } from './outlineSearch';
import { planeMapFrom } from './planeMap';
import { type Corner, oriented } from './quads';
import { type FittedRectangle, fitRectangle } from './rectangle';
import type { RectangleSize } from './rectangleFit';
import { shapeSeen } from './rectangleShape';
import { sameThing } from './sameThing';
import { sidesAlike } from './sideColours';
import { noiseTimes, roughness } from './texture';
import { wantedAt } from './wantedAt';
import { workCamera } from './workCamera';

/**
 * Identification card of size ID-1: 85.60 × 53.98 mm, corners rounded with 3.18 mm, 0.76 mm thick (ISO/IEC 7810). The rounded
 * corners and a little more are left out of every side.
 */
export const cardSize: RectangleSize = { longMm: 85.6, shortMm: 53.98, leaveOut: 0.08, heightMm: 0.76 };

/** The standard lets an unused card be 85.47 to 85.72 mm by 53.92 to 54.03 mm (from memory): ± 0.15 % as a rectangular limit. */
const cardTolerance = 0.0015 / Math.sqrt(3);
/** How far the seen aspect may be from the card's, ln: focal length and tilt are not known yet. */
const aspectSlack = 0.06;

const sentence = 'A card of identification size (85.60 × 53.98 mm) was found; check that its outline fits.';

/** Standard uncertainty of a side's place for a bevelled edge and its shadow, mm. */
const edgeMm = 0.05;

/**
 * How far the four sides, each taken as it was seen, are from the shape of the standard: its ratio (ln) and right angles (cosine). The fit shares it out among the sides,
 * though one of them may have been taken for a shadow's edge or a streak of the ground: a length is off by half of it (assumed).
 */
const shapeOff = (context: ScaleContext, card: FittedRectangle): number => {
  const seen = shapeSeen(invertHomography(card.free.photoToPlane), workCamera(context), 1);
  return Math.hypot(seen.ratioOff, seen.cosine);
};

const referenceFrom = (context: ScaleContext, card: FittedRectangle, score: number): ScaleReference => {
  const scale = context.work.photoPxPerWorkPx;
  const fit = inFullPhoto(card.fit, scale);
  const corners = card.corners.map((c) => photoPoint(c.x * scale, c.y * scale));
  // Rival edges of a side are the ends of a rectangular distribution (JCGM 100:2008, 4.3.7).
  const tolerance = Math.hypot(
    cardTolerance,
    (Math.SQRT2 * edgeMm) / cardSize.shortMm,
    card.doubt / Math.sqrt(3),
    card.leftover,
    shapeOff(context, card) / 2,
  );
  return {
    kind: 'card',
    score,
    outline: [corners],
    handles: corners,
    pitchMm: null,
    question: null,
    plane: planeMapFrom(fit, context.photo, tolerance, cardSize.heightMm, wantedAt(context)),
    unitPlane: null,
    sentence,
  };
};

/** Places on the sides of a card lie this near to a rectangle, px; those on a pocket or a fringe do not. */
const straightPx = 0.8;
/** What is less sure than this is no card: those drawn reach 0.58 at least, a swatch in the shape of a card 0.46. */
const leastSure = 0.55;
/** An outline surer than this ends the search. */
const sureEnough = 0.8;

/**
 * Sides whose colours are less alike than this are doubtful, and the more so by each step of this size: cards drawn reach 0.5 and more, one with a glare on its face
 * 0.24 to 0.36, lines of several things seldom 0.3.
 */
const alikeSides = { least: 0.3, step: 0.15 };

/** How far the colours beside the sides speak for one thing on one ground. */
const oneThing = (card: FittedRectangle): number => {
  const alike = sidesAlike(card.sides);
  return alike === null ? 1 : Math.exp(-0.5 * (Math.max(0, alikeSides.least - alike) / alikeSides.step) ** 2);
};

/** What a principal point off the photo's middle (a crop) makes of a tilted card's ratio, ln, and right angles, cosine, beside the noise of its sides (seen on turned and cropped photos). */
const shapeSlack = { ratio: 0.025, cosine: 0.03 };

/** How surely the fitted outline is a card: all sides seen, straight, of one thing, and in the ratio of the standard. */
const sureness = (context: ScaleContext, card: FittedRectangle): number => {
  const { ratioOff, cosine } = shapeSeen(invertHomography(card.free.photoToPlane), workCamera(context), 1);
  const seen = card.sides.reduce((p, s) => p * Math.min(1, s.seenShare / 0.75), 1);
  const shape = Math.exp(-0.5 * (ratioOff / shapeSlack.ratio) ** 2 - 0.5 * (cosine / shapeSlack.cosine) ** 2);
  const straight = Math.exp(-0.5 * (card.fit.residualPx / straightPx) ** 2);
  return 0.95 * seen * shape * straight * oneThing(card);
};

/** A face rougher than this is doubtful, and the more so by each step of this size: cards drawn stay below 0.009, path-traced ones below 0.0145 and 0.019 in noise, swatches of a card's shape begin at 0.011 and mostly lie beyond 0.03. */
const plainFace = { rough: 0.014, step: 0.01 };

/** How far a face speaks for a card that nobody has told of: what is rough all over is knitted or woven. */
const plainness = (context: ScaleContext, card: FittedRectangle): number => {
  const rough = roughness(context.lightness(), invertHomography(card.fit.photoToPlane), cardSize);
  const [a, b] = card.corners;
  const longPx = a === undefined || b === undefined ? 0 : Math.hypot(b.x - a.x, b.y - a.y);
  const plain = plainFace.rough * noiseTimes(longPx / cardSize.longMm);
  return Math.exp(-0.5 * (Math.max(0, rough - plain) / plainFace.step) ** 2);
};

/** A card that fills more of the photo than this leaves no room for a swatch beside it: seams of planks or the photo's own frame were taken for its sides. */
const mostOfPhoto = 0.5;

/** Share of the photo within four corners (Gauss's area formula). */
const shareOfPhoto = (corners: readonly Corner[], { widthPx, heightPx }: CameraFacts): number => {
  const twice = corners.reduce((sum, a, i) => {
    const b = corners[(i + 1) % corners.length] ?? a;
    return sum + a.x * b.y - b.x * a.y;
  }, 0);
  return Math.abs(twice) / 2 / (widthPx * heightPx);
};

const find = (context: ScaleContext): ScaleReference[] => {
  const wish = { aspect: cardSize.longMm / cardSize.shortMm, aspectSlack, leastSupport: 0.5 };
  let best: { card: FittedRectangle; sure: number } | null = null;
  for (const { corners, searchPx } of roughOutlines(context, wish, 0.1, 3)) {
    const card = fitRectangle(
      rectanglePictures(context),
      corners,
      cardSize,
      workCamera(context),
      searchPx,
      restOfPhoto(context),
    );
    if (card === null || shareOfPhoto(card.corners, workCamera(context)) > mostOfPhoto) continue;
    const sure =
      sureness(context, card) * (context.hints.reference === 'auto' ? plainness(context, card) : 1);
    if (best === null || sure > best.sure) best = { card, sure };
    if (best.sure > sureEnough) break;
  }
  return best === null || best.sure < leastSure ? [] : [referenceFrom(context, best.card, best.sure)];
};

const noCard =
  'These four points are not the corners of a card; put them where its straight edges would meet.';

export const cardKind: ReferenceFinder = {
  kind: 'card',
  sameWithin: sameThing,
  showsTilt: true,
  find,
  correct: (context, correction) => {
    const scale = context.work.photoPxPerWorkPx;
    const camera = workCamera(context);
    const [a, b, c, d] = correction.handles.map((p): Corner => ({ x: p.x / scale, y: p.y / scale }));
    if (!a || !b || !c || !d) throw new RangeError('A card needs its four corners.');
    const rough = oriented(
      [a, b, c, d],
      { aspect: cardSize.longMm / cardSize.shortMm, aspectSlack: 0.3 },
      camera,
    );
    if (rough === null) throw new RangeError(noCard);
    const card = fitRectangle(
      rectanglePictures(context),
      rough.corners,
      cardSize,
      camera,
      12,
      restOfPhoto(context),
    );
    if (card === null) throw new RangeError(noCard);
    return referenceFrom(context, card, Math.max(0.5, sureness(context, card)));
  },
};
