import { cameraPose } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { inFullPhoto, inOtherPlane } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { planeMapFrom } from './planeMap';
import { findBaselines } from './rulerBaseline';
import { type FittedRuler, fitTicks } from './rulerTicks';

/** Steel rulers of the best class are good to about 0.05 mm in 150 mm; tapes are worse (common practice). */
const rulerTolerance = 0.0006;
/** Usual thickness of a ruler's face above the table, mm. */
const rulerHeightMm = 0.6;
/** A tick's place on its own, px. */
const tickPx = 0.5;

const longTicks = (period: number | null): string => {
  if (period === null) return '';
  const meaning = period % 5 === 0 ? 'as on a millimetre scale' : 'as on an inch scale';
  return ` Every ${period}th mark is longer, ${meaning}.`;
};

const referenceFrom = (context: ScaleContext, ruler: FittedRuler): ScaleReference[] => {
  const { work, photo } = context;
  const camera = {
    widthPx: work.image.widthPx,
    heightPx: work.image.heightPx,
    focalLength35Mm: photo.focalLength35Mm,
  };
  const pose = fitCameraToLines(ruler.sightings, ruler.toSteps, camera, tickPx);
  if (pose === null || cameraPose(pose, camera).tiltRad > 0.7) return [];
  const fit = inFullPhoto(pose, work.photoPxPerWorkPx);
  const toPhoto = invertHomography(fit.photoToPlane);
  const at = (u: number, v: number) => {
    const [x, y] = mapPoint(toPhoto, u, v);
    return photoPoint(x, y);
  };
  const pitchMm = context.hints.tickPitchMm ?? null;
  const plane =
    pitchMm === null
      ? null
      : planeMapFrom(
          inOtherPlane(fit, [pitchMm, 0, 0, 0, pitchMm, 0, 0, 0, 1]),
          photo,
          rulerTolerance,
          rulerHeightMm,
        );
  return [
    {
      kind: 'ruler',
      score: ruler.score,
      outline: [
        [at(ruler.first, 0), at(ruler.last, 0)],
        ...ruler.seen.map((k) => [at(k, 0), at(k, ruler.side * 1.6)]),
      ],
      handles: [at(ruler.first, 0), at(ruler.last, 0)],
      pitchMm,
      question: pitchMm === null ? 'tickPitch' : null,
      plane,
      unitPlane: planeMapFrom(fit, photo, rulerTolerance, 0),
      sentence: `A ruler with ${ruler.last - ruler.first + 1} marks was found.${longTicks(ruler.longPeriod)} How far apart are neighbouring marks?`,
    },
  ];
};

const find = (context: ScaleContext): ScaleReference[] => {
  let best: FittedRuler | null = null;
  for (const baseline of findBaselines(context.looseLines())) {
    const ruler = fitTicks(context.lightness(), baseline);
    if (ruler !== null && (best === null || ruler.score > best.score)) best = ruler;
  }
  return best === null || best.score < 0.25 ? [] : referenceFrom(context, best);
};

export const rulerKind: ReferenceFinder = {
  kind: 'ruler',
  find,
  correct: (context, { handles }) => {
    const scale = context.work.photoPxPerWorkPx;
    const [a, b] = handles;
    if (a === undefined || b === undefined)
      throw new RangeError('Put two points on the edge of the ruler where its marks begin.');
    const from = { x: a.x / scale, y: a.y / scale };
    const to = { x: b.x / scale, y: b.y / scale };
    const tries = (['dark', 'light'] as const).flatMap((polarity) =>
      [1, -1].map((side) => fitTicks(context.lightness(), { from, to, side, polarity, tickPx: 8 })),
    );
    const best = tries.reduce<FittedRuler | null>(
      (x, y) => (y !== null && (x === null || y.score > x.score) ? y : x),
      null,
    );
    const [reference] = best === null ? [] : referenceFrom(context, best);
    if (reference === undefined)
      throw new RangeError(
        'No row of marks was found between these points; put them where the marks begin, far apart.',
      );
    return reference;
  },
};
