import { priorFocalPx } from '../../src/domain/camera';
import { circlePlaneFacing, type Ellipse, ellipsePoint, planesOfCircle } from '../../src/domain/cameraCircle';
import { type CameraLevel, heldByHand, slopesOf } from '../../src/domain/cameraLevel';
import { photoPoint } from '../../src/domain/coordinates';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { PhotoFacts, ScaleReference } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import { localScale, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import { circleCentres, fitEllipse, outermostRing, rimPlaces } from './ellipses';
import type { ReferenceFinder, ScaleContext } from './kind';

/** Mints hold diameters to a few hundredths of a mm (common practice); rims wear and coins vary: 0.05 mm on about 23 mm. */
const coinTolerance = 0.002;
/** A rim is placed to about so many px, and to this share of its radius (bevel, milling, shadow). */
const rimPx = 0.3;
const rimShare = 0.006;

interface FoundCoin {
  readonly ellipse: Ellipse;
  readonly share: number;
  readonly rmsPx: number;
}

/** The border's own ring lies about 3.5 % inside the rim: the rim is looked for nearer than that. */
const besideRim = 0.022;

const grown = (e: Ellipse, factor: number): Ellipse => ({
  ...e,
  major: e.major * factor,
  minor: e.minor * factor,
});

const refined = (context: ScaleContext, rough: Ellipse, searchPx: number): FoundCoin | null => {
  let ellipse = rough;
  let result: FoundCoin | null = null;
  for (const round of [0, 1, 2, 3]) {
    if (round === 1 || round === 2) ellipse = grown(ellipse, outermostRing(context.lightness(), ellipse));
    const search = round === 0 ? searchPx : Math.max(1.5, besideRim * ellipse.major);
    const places = rimPlaces(context.lightness(), ellipse, search);
    const fit = fitEllipse(places, 1);
    if (fit === null || fit.ellipse.minor < 0.7 * fit.ellipse.major) return null;
    ellipse = fit.ellipse;
    result = { ellipse, share: fit.kept / 240, rmsPx: fit.rmsPx };
  }
  return result;
};

/** A way in which the coin's plane may stand to the camera. */
interface Stand {
  readonly slopes: readonly [number, number];
  readonly uncertainty: number;
  /** How ill ellipse and level go together, in squared standard deviations. */
  readonly misfit: number;
}

/** An ellipse's axis ratio is the cosine of the tilt; near zero tilt it says little: δθ = δr / sin θ, and at most √(2 δr). */
const tiltUncertainty = (ellipse: Ellipse, tiltRad: number): number => {
  const ofRatio = Math.hypot(rimPx / ellipse.major, rimShare);
  return Math.min(Math.sqrt(2 * ofRatio), ofRatio / Math.max(1e-6, Math.sin(tiltRad)));
};

/**
 * The two ways of standing that an ellipse leaves open (the coin leaning towards or away from the camera looks the same), each joined with what the
 * rest of the photo tells of the table's level; the likelier one first.
 */
const standsOf = (ellipse: Ellipse, photo: PhotoFacts, level: CameraLevel): Stand[] => {
  const focal = priorFocalPx(photo).value;
  const away = Math.hypot(ellipse.x - photo.widthPx / 2, ellipse.y - photo.heightPx / 2) / focal;
  return planesOfCircle(ellipse, photo, focal)
    .map(({ photoToPlane, tiltRad }): Stand => {
      const [x, y] = slopesOf(photoToPlane, photo, focal);
      const own = tiltUncertainty(ellipse, Math.max(0.02, Math.abs(tiltRad - away)));
      const [p, q] = [1 / own ** 2, 1 / level.uncertainty ** 2];
      const apart = Math.hypot(x - level.slopeX, y - level.slopeY);
      return {
        slopes: [(p * x + q * level.slopeX) / (p + q), (p * y + q * level.slopeY) / (p + q)],
        uncertainty: 1 / Math.sqrt(p + q),
        misfit: apart ** 2 / (own ** 2 + level.uncertainty ** 2),
      };
    })
    .sort((a, b) => a.misfit - b.misfit);
};

/** How uncertain the slopes are when both ways of standing may be right: the other one counts by its odds. */
const joinedUncertainty = ([likelier, other]: readonly Stand[]): number => {
  if (likelier === undefined) return heldByHand.uncertainty;
  if (other === undefined) return likelier.uncertainty;
  const odds = Math.exp(-0.5 * (other.misfit - likelier.misfit));
  const apart = Math.hypot(other.slopes[0] - likelier.slopes[0], other.slopes[1] - likelier.slopes[1]);
  return Math.hypot(likelier.uncertainty, apart * Math.sqrt(odds / (1 + odds)));
};

/** The plane of a coin in units of its diameter, photo px. */
const unitPlaneOf = (context: ScaleContext, coin: FoundCoin): PlaneMap | null => {
  const { photo } = context;
  const scale = context.work.photoPxPerWorkPx;
  const e = coin.ellipse;
  const ellipse = {
    x: e.x * scale,
    y: e.y * scale,
    major: e.major * scale,
    minor: e.minor * scale,
    angle: e.angle,
  };
  const focal = priorFocalPx(photo);
  const stands = standsOf(ellipse, photo, context.level());
  const [stand] = stands;
  if (stand === undefined) return null;
  const size = Math.hypot(...stand.slopes, 1);
  const normal = [stand.slopes[0] / size, stand.slopes[1] / size, 1 / size] as const;
  const plane = circlePlaneFacing(ellipse, normal, photo, focal.value);
  // The circle has radius 1; lengths are counted in diameters.
  const photoToPlane = normalised(multiply3([0.5, 0, 0, 0, 0.5, 0, 0, 0, 1], plane.photoToPlane));
  const away = Math.hypot(ellipse.x - photo.widthPx / 2, ellipse.y - photo.heightPx / 2);
  const height =
    focal.value * localScale(photoToPlane, photo.widthPx / 2, photo.heightPx / 2) * Math.cos(plane.tiltRad);
  return {
    photoToPlane,
    residualPx: coin.rmsPx * scale,
    relativeUncertainty: Math.hypot(
      coinTolerance,
      Math.hypot(rimPx / e.major, rimShare),
      (away / focal.value) * joinedUncertainty(stands),
    ),
    tiltRad: plane.tiltRad,
    cameraHeightMm: {
      value: height,
      standardUncertainty: height * Math.hypot(focal.standardUncertainty / focal.value, 0.03),
    },
    referenceHeightMm: 0,
  };
};

/** The plane in mm, once the diameter is known. */
const scaledPlane = (unit: PlaneMap, diameterMm: number): PlaneMap => {
  const face = usualFaceHeight('coin') ?? { heightMm: 0, uncertaintyMm: 0 };
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

const referenceFrom = (context: ScaleContext, coin: FoundCoin, score: number): ScaleReference[] => {
  const scale = context.work.photoPxPerWorkPx;
  const unit = unitPlaneOf(context, coin);
  if (unit === null) return [];
  const point = (t: number) => {
    const p = ellipsePoint(coin.ellipse, t);
    return photoPoint(p.x * scale, p.y * scale);
  };
  const diameterMm = context.hints.coinDiameterMm ?? null;
  return [
    {
      kind: 'coin',
      score,
      outline: [Array.from({ length: 48 }, (_, k) => point((2 * Math.PI * k) / 48))],
      handles: [0, 1, 2, 3].map((k) => point((Math.PI * k) / 2)),
      pitchMm: null,
      question: diameterMm === null ? 'coinDiameter' : null,
      plane: diameterMm === null ? null : scaledPlane(unit, diameterMm),
      unitPlane: unit,
      sentence:
        'A round coin was found. Its outline shows the camera’s tilt only roughly, so the ± is wider. Which coin is it?',
    },
  ];
};

const find = (context: ScaleContext): ScaleReference[] => {
  const { map, workPxPerPx } = context.edges();
  const long = Math.max(map.widthPx, map.heightPx);
  let best: FoundCoin | null = null;
  for (const c of circleCentres(map, Math.round(0.02 * long), Math.round(0.13 * long), 4)) {
    const radius = c.radius * workPxPerPx;
    const rough = { x: c.x * workPxPerPx, y: c.y * workPxPerPx, major: radius, minor: radius, angle: 0 };
    const coin = refined(context, rough, Math.max(8, 0.14 * radius));
    if (coin !== null && (best === null || coin.share > best.share)) best = coin;
  }
  if (best === null || best.share < 0.55) return [];
  const score = 0.8 * Math.min(1, best.share / 0.85) * Math.exp(-0.5 * best.rmsPx ** 2);
  return referenceFrom(context, best, score);
};

export const coinKind: ReferenceFinder = {
  kind: 'coin',
  find,
  correct: (context, { handles }) => {
    const scale = context.work.photoPxPerWorkPx;
    const n = handles.length;
    if (n < 3) throw new RangeError('Put at least three points on the rim of the coin.');
    const x = handles.reduce((s, p) => s + p.x, 0) / n / scale;
    const y = handles.reduce((s, p) => s + p.y, 0) / n / scale;
    const radius = handles.reduce((s, p) => s + Math.hypot(p.x / scale - x, p.y / scale - y), 0) / n;
    const coin = refined(
      context,
      { x, y, major: radius, minor: radius, angle: 0 },
      Math.max(10, 0.15 * radius),
    );
    const [reference] = coin === null ? [] : referenceFrom(context, coin, Math.max(0.5, 0.8 * coin.share));
    if (reference === undefined)
      throw new RangeError('No round rim was found near these points; put them on the rim of the coin.');
    return reference;
  },
};
