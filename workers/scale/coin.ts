import { priorFocalPx } from '../../src/domain/camera';
import { photoPoint } from '../../src/domain/coordinates';
import { coinFaceHeight } from '../../src/domain/faceHeight';
import type { ScaleReference } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import { localScale, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import { coinByHue, toldByHue } from './coinHue';
import { coinAround, type FoundCoin, type RoughCircle } from './coinRim';
import { facePlane, rimPoint, type StandingDisc, uncertaintyOf } from './disc';
import { circleCentres } from './ellipses';
import type { ReferenceFinder, ScaleContext } from './kind';
import { radiusOf } from './rimFit';
import { wantedAt } from './wantedAt';

/** Mints hold diameters to a few hundredths of a mm (common practice); rims wear and coins vary: 0.05 mm on about 23 mm. */
const coinTolerance = 0.002;

/** Where the tilt is better known another of a coin's rings, all of one middle, may turn out to be its rim, ln of their scales. */
const ringsApart = 0.12;

/** ln of how many diameters one px is, where the scale is wanted. */
const scaleAtSwatch =
  (context: ScaleContext) =>
  (disc: StandingDisc): number => {
    const { x, y } = wantedAt(context);
    const { photoPxPerWorkPx } = context.work;
    return Math.log(localScale(facePlane(disc), x / photoPxPerWorkPx, y / photoPxPerWorkPx));
  };

/** Rims that are what they seem leave a misfit of about so much; a greater one makes everything less certain, and much more raises doubt. */
const usualMisfit = 12;
const doubtfulMisfit = 50;
/** What is left of the score where another ring may be the rim: too little to be taken without a question. */
const doubtScore = 0.35;

/** Misfits come from relief, shadow and wear rather than from chance: so much of it counts as one square of a standard uncertainty. */
const misfitScale = 6;
/** Rims are further off than their own fit says by about this factor (seen on drawn photos). */
const rimsWorse = 1.25;

/** The uncertainty when several ways of standing may be right: each counts by its odds. */
const joinedUncertainty = (context: ScaleContext, { best, others, strain }: FoundCoin): number => {
  const scaleOf = scaleAtSwatch(context);
  const here = scaleOf(best.fit.disc);
  let weights = 1;
  let squares = 0;
  for (const { fit, misfit } of others) {
    const odds = Math.exp(-(misfit - best.misfit) / (2 * misfitScale));
    weights += odds;
    squares += odds * (scaleOf(fit.disc) - here) ** 2;
  }
  // Where the outline wants the coin to stand otherwise than the table lies, a part of the wall was taken for the face or the other way round.
  const grown = Math.max(1, Math.sqrt(best.misfit / usualMisfit)) * Math.hypot(1, strain);
  return rimsWorse * grown * Math.hypot(uncertaintyOf(best.fit, scaleOf), Math.sqrt(squares / weights));
};

/** The plane of a coin in units of its diameter, photo px. */
const unitPlaneOf = (context: ScaleContext, coin: FoundCoin): PlaneMap => {
  const { disc } = coin.best.fit;
  const scale = context.work.photoPxPerWorkPx;
  const plane = facePlane(disc);
  const photoToPlane = normalised(multiply3(plane, [1 / scale, 0, 0, 0, 1 / scale, 0, 0, 0, 1]));
  const { normal, centre } = disc;
  const height = (normal[0] * centre[0] + normal[1] * centre[1] + normal[2] * centre[2]) / 2;
  const focal = priorFocalPx(disc.camera);
  return {
    photoToPlane,
    residualPx: coin.rmsPx * scale,
    relativeUncertainty: Math.hypot(coinTolerance, joinedUncertainty(context, coin)),
    tiltRad: Math.acos(Math.min(1, normal[2])),
    cameraHeightMm: {
      value: height,
      standardUncertainty: height * Math.hypot(focal.standardUncertainty / focal.value, 0.03),
    },
    referenceHeightMm: 0,
  };
};

/** The plane in mm, once the diameter is known. */
const scaledPlane = (unit: PlaneMap, diameterMm: number): PlaneMap => {
  const face = coinFaceHeight(diameterMm);
  const height = unit.cameraHeightMm;
  const scaled = height && {
    value: height.value * diameterMm,
    standardUncertainty: height.standardUncertainty * diameterMm,
  };
  return {
    ...unit,
    photoToPlane: normalised(multiply3([diameterMm, 0, 0, 0, diameterMm, 0, 0, 0, 1], unit.photoToPlane)),
    relativeUncertainty: Math.hypot(unit.relativeUncertainty, scaled ? face.uncertaintyMm / scaled.value : 0),
    cameraHeightMm: scaled,
    referenceHeightMm: face.heightMm,
  };
};

const roughTilt = ' Its outline shows the camera’s tilt only roughly, so the ± is wider.';

const referenceFrom = (context: ScaleContext, coin: FoundCoin, score: number): ScaleReference => {
  const scale = context.work.photoPxPerWorkPx;
  const unit = unitPlaneOf(context, coin);
  const point = (t: number) => {
    const p = rimPoint(coin.best.fit.disc, t);
    return photoPoint(p.x * scale, p.y * scale);
  };
  const diameterMm = context.hints.coinDiameterMm ?? null;
  return {
    kind: 'coin',
    score,
    outline: [Array.from({ length: 48 }, (_, k) => point((2 * Math.PI * k) / 48))],
    handles: [0, 1, 2, 3].map((k) => point((Math.PI * k) / 2)),
    pitchMm: null,
    question: diameterMm === null ? 'coinDiameter' : null,
    plane: diameterMm === null ? null : scaledPlane(unit, diameterMm),
    unitPlane: unit,
    sentence: `A round coin was found.${context.level().isFromFabric === true ? '' : roughTilt} Which coin is it?`,
  };
};

const circleOf = ({ best: { fit } }: FoundCoin): RoughCircle => ({
  x: fit.disc.pose[2],
  y: fit.disc.pose[3],
  radiusPx: radiusOf(fit.disc),
});

/** Whether a circle lies within a coin. */
const isWithin = (circle: RoughCircle, coin: FoundCoin): boolean => {
  const outer = circleOf(coin);
  return Math.hypot(circle.x - outer.x, circle.y - outer.y) + circle.radiusPx < 1.05 * outer.radiusPx;
};

/** Whether one coin is likelier than another: the one that fits better, but a coin rather than a ring inside it. */
const isLikelier = (one: FoundCoin, other: FoundCoin): boolean => {
  const inner = isWithin(circleOf(one), other) ? one : isWithin(circleOf(other), one) ? other : null;
  const bonus = inner === null || isSameSize(one, other) ? 0 : inner === other ? innerPenalty : -innerPenalty;
  return one.best.misfit - bonus < other.best.misfit;
};

/** A ring inside a coin fits better than its rim by no more than this; the edge of a coin's shadow fits worse. */
const innerPenalty = 12;

const isSameSize = (one: FoundCoin, other: FoundCoin): boolean =>
  Math.abs(circleOf(one).radiusPx / circleOf(other).radiusPx - 1) < 0.025;

/** So many round things are looked at; where a grid gives the scale a coin only checks it, and fewer will do. */
const mostCircles = { alone: 4, besideGrid: 2 };

/** A rim that is seen in fewer of the directions is none. */
const leastShare = 0.55;

const isSeen = (coin: FoundCoin | null): coin is FoundCoin => coin !== null && coin.share >= leastShare;

/** The likeliest coin among round things that were roughly found, by the rims that they show in lightness and hue. */
const likeliest = (context: ScaleContext, circles: readonly RoughCircle[]): FoundCoin | null => {
  let best: FoundCoin | null = null;
  for (const rough of circles) {
    // A ring inside a coin that is surely known tells nothing more.
    if (best !== null && best.best.misfit < usualMisfit && isWithin(rough, best)) continue;
    const coin = coinAround(context, rough);
    if (coin !== null && (best === null || isLikelier(coin, best))) best = coin;
  }
  return best && toldByHue(context, best);
};

/** The likeliest coin among round things that were roughly found; where none surely shows a rim in lightness, one whose hue ends all round. */
const coinAmong = (context: ScaleContext, circles: readonly RoughCircle[]): FoundCoin | null => {
  const likely = likeliest(context, circles);
  const coin = isSeen(likely) ? likely : null;
  const isSure = coin !== null && coin.best.misfit < doubtfulMisfit;
  // Where a grid gives the scale a coin only checks it: a second look is not worth the time.
  if (isSure || context.grid() !== null) return coin;
  const byHue = circles.map((rough) => coinByHue(context, rough)).filter(isSeen);
  return byHue.sort((a, b) => a.best.misfit - b.best.misfit)[0] ?? coin;
};

/** Where a coin is known to lie its rim is looked for from these sizes, as shares of the known one, until it is sure. */
const knownSizes = [1, 0.96, 1.04];

/** The coin at a place that is known well. */
const coinAt = (context: ScaleContext, known: RoughCircle): FoundCoin | null =>
  likeliest(
    context,
    knownSizes.map((share) => ({ ...known, radiusPx: share * known.radiusPx })),
  ) ?? coinByHue(context, known);

/** A coin that was found, as a reference. */
const coinReference = (context: ScaleContext, coin: FoundCoin): ScaleReference => {
  const score =
    0.8 *
    Math.min(1, coin.share / 0.85) *
    (coin.isDoubtful ? doubtScore : 1) *
    Math.exp(-0.5 * coin.rmsPx ** 2 - (coin.best.misfit / doubtfulMisfit) ** 2);
  return referenceFrom(context, coin, score);
};

/** Round things in the photo, work px. */
const roundThings = (context: ScaleContext): RoughCircle[] => {
  const { map, workPxPerPx } = context.edges();
  const long = Math.max(map.widthPx, map.heightPx);
  const count = context.grid() === null ? mostCircles.alone : mostCircles.besideGrid;
  return circleCentres(map, Math.round(0.02 * long), Math.round(0.13 * long), count).map((c) => ({
    x: c.x * workPxPerPx,
    y: c.y * workPxPerPx,
    radiusPx: c.radius * workPxPerPx,
  }));
};

const find = (context: ScaleContext): ScaleReference[] => {
  const coin = coinAmong(context, roundThings(context));
  return coin === null ? [] : [coinReference(context, coin)];
};

export const coinKind: ReferenceFinder = {
  kind: 'coin',
  sameWithin: ringsApart,
  find,
  correct: (context, { handles }) => {
    const scale = context.work.photoPxPerWorkPx;
    const n = handles.length;
    if (n < 3) throw new RangeError('Put at least three points on the rim of the coin.');
    const x = handles.reduce((s, p) => s + p.x, 0) / n / scale;
    const y = handles.reduce((s, p) => s + p.y, 0) / n / scale;
    const radiusPx = handles.reduce((s, p) => s + Math.hypot(p.x / scale - x, p.y / scale - y), 0) / n;
    const coin = coinAt(context, { x, y, radiusPx });
    if (coin === null)
      throw new RangeError('No round rim was found near these points; put them on the rim of the coin.');
    return referenceFrom(context, coin, Math.max(0.5, 0.8 * coin.share));
  },
};
