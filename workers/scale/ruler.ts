import { type CameraFacts, cameraPose } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import { type CameraLevel, looseLevel, slopesOf } from '../../src/domain/cameraLevel';
import { photoPoint } from '../../src/domain/coordinates';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { ScaleReference } from '../../src/domain/measurement';
import { invertHomography } from '../../src/domain/plane';
import { jacobianAt, mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import type { GreyImage } from '../image';
import { inFullPhoto, inOtherPlane } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { planeMapFrom } from './planeMap';
import { type Baseline, findBaselines } from './rulerBaseline';
import { type FittedRuler, fitTicks } from './rulerTicks';

/** Steel rulers of the best class are good to about 0.05 mm in 150 mm; tapes are worse (common practice). */
const rulerTolerance = 0.0006;
/** A tick's place on its own, px. */
const tickPx = 0.5;

/** A place on a mark that lies off by more than so many times the middle of all, and by more than so many px, belongs to something else. */
const outlier = { times: 4, px: 0.8 };

const offPx = (fit: PlaneFit, s: LineSighting): number => {
  const [ux, uy, vx, vy] = jacobianAt(fit.photoToPlane, s.x, s.y);
  const off = mapPoint(fit.photoToPlane, s.x, s.y)[s.axis] - s.index;
  return Math.abs(off) / (s.axis === 0 ? Math.hypot(ux, uy) : Math.hypot(vx, vy));
};

/** Marks that fit one plane this well, px, and that go with the rest of the photo this far, show the tilt themselves. */
const clean = { residualPx: 0.4, slopes: 0.15 };

/** The camera's pose over the marks: from them alone where all of them fit, else without those places that lie off and leaning on the photo's level. */
const fitMarks = (ruler: FittedRuler, camera: CameraFacts, level: CameraLevel): PlaneFit | null => {
  const alone = fitCameraToLines(ruler.sightings, ruler.toSteps, camera, tickPx);
  if (alone !== null && alone.residualPx < clean.residualPx) {
    const [x, y] = slopesOf(alone.photoToPlane, camera);
    if (Math.hypot(x - level.slopeX, y - level.slopeY) < clean.slopes) return alone;
  }
  const rough = fitCameraToLines(ruler.near, ruler.toSteps, camera, tickPx, level);
  if (rough === null) return null;
  const offs = ruler.near.map((s) => offPx(rough, s));
  const middle = [...offs].sort((a, b) => a - b)[offs.length >> 1] ?? 0;
  const limit = Math.max(outlier.px, outlier.times * middle);
  const kept = ruler.near.filter((_, i) => (offs[i] ?? 0) < limit);
  return fitCameraToLines(kept, rough.photoToPlane, camera, tickPx, level);
};

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
  const pose = fitMarks(ruler, camera, looseLevel(context.level()));
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
          usualFaceHeight('ruler')?.heightMm ?? 0,
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

/** Reads a row of marks as dark ones and as light ones and keeps what stands out more: the gaps between dark marks are light and as even as they. */
const marksOn = (image: GreyImage, baseline: Baseline): FittedRuler | null => {
  const readings = (['dark', 'light'] as const).flatMap((polarity) => {
    const ruler = fitTicks(image, { ...baseline, polarity });
    return ruler === null ? [] : [ruler];
  });
  return readings.sort((a, b) => b.contrast - a.contrast)[0] ?? null;
};

const find = (context: ScaleContext): ScaleReference[] => {
  let best: FittedRuler | null = null;
  for (const baseline of findBaselines(context.looseLines())) {
    const ruler = marksOn(context.lightness(), baseline);
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
    const tries = [1, -1].map((side) =>
      marksOn(context.lightness(), { from, to, side, polarity: 'dark', tickPx: 8 }),
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
