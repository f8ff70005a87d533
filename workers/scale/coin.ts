import { priorFocalPx } from '../../src/domain/camera';
import { type CirclePlane, type Ellipse, ellipsePoint, planesOfCircle } from '../../src/domain/cameraCircle';
import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';
import { localScale, multiply3, normalised } from '../../src/domain/planeFitAlgebra';
import { circleCentres, fitEllipse, rimPlaces } from './ellipses';
import type { ReferenceFinder, ScaleContext } from './kind';

/** Mints hold diameters to a few hundredths of a mm (common practice); rims wear and coins vary: 0.05 mm on about 23 mm. */
const coinTolerance = 0.002;
/** Usual thickness of a coin, mm; its face is what the rim shows. */
const coinHeightMm = 1.8;
const coinHeightUncertaintyMm = 0.4;
/** Tilt read off an ellipse is this uncertain for a rim placed to about a pixel, rad. */
const tiltUncertaintyRad = 0.02;

interface FoundCoin {
  readonly ellipse: Ellipse;
  readonly share: number;
  readonly rmsPx: number;
}

const refined = (context: ScaleContext, rough: Ellipse, searchPx: number): FoundCoin | null => {
  let ellipse = rough;
  let result: FoundCoin | null = null;
  for (const search of [searchPx, 4]) {
    const places = rimPlaces(context.lightness(), ellipse, search);
    const fit = fitEllipse(places, 1);
    if (fit === null || fit.ellipse.minor < 0.7 * fit.ellipse.major) return null;
    ellipse = fit.ellipse;
    result = { ellipse, share: fit.kept / 240, rmsPx: fit.rmsPx };
  }
  return result;
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
  const plane: CirclePlane | undefined = planesOfCircle(ellipse, photo, focal.value)[0];
  if (plane === undefined) return null;
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
      0.3 / e.major,
      (away / focal.value) * tiltUncertaintyRad,
      0.002,
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
  const height = unit.cameraHeightMm;
  const scaled = height && {
    value: height.value * diameterMm,
    standardUncertainty: height.standardUncertainty * diameterMm,
  };
  return {
    ...unit,
    photoToPlane: normalised(multiply3([diameterMm, 0, 0, 0, diameterMm, 0, 0, 0, 1], unit.photoToPlane)),
    relativeUncertainty: Math.hypot(
      unit.relativeUncertainty,
      scaled ? coinHeightUncertaintyMm / scaled.value : 0,
    ),
    cameraHeightMm: scaled,
    referenceHeightMm: coinHeightMm,
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
  for (const c of circleCentres(map, Math.round(0.014 * long), Math.round(0.13 * long), 4)) {
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
