import { cameraPose } from '../../src/domain/camera';
import { photoPoint } from '../../src/domain/coordinates';
import { usualFaceHeight } from '../../src/domain/faceHeight';
import type { ScaleReference } from '../../src/domain/measurement';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { patternFits } from '../../src/domain/rulerScale';
import { inFullPhoto, inOtherPlane } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { leantOn } from './level';
import { planeMapFrom } from './planeMap';
import { marksApartPx } from './rulerApart';
import { type Baseline, findBaselines } from './rulerBaseline';
import { baselinesAlongEdges } from './rulerEdges';
import { faintRows, type Side } from './rulerFaint';
import { fitMarks } from './rulerPlane';
import { type FittedRuler, fitTicks, printedContrast } from './rulerTicks';
import { inWorkPx, type RulerView, rulerView } from './rulerView';
import { unreadMarks } from './rulerWords';
import { sameThing } from './sameThing';
import { wantedAt } from './wantedAt';
import { workCamera } from './workCamera';

/** Steel rulers of the best class are good to about 0.05 mm in 150 mm; tapes are worse (common practice). */
const rulerTolerance = 0.0006;
const longTicks = (period: number | null): string => {
  if (period === null) return '';
  const meaning = period % 5 === 0 ? 'as on a millimetre scale' : 'as on an inch scale';
  return period === 2
    ? ` Every second mark is longer, ${meaning}.`
    : ` Every ${period}th mark is longer, ${meaning}.`;
};

/** What is left of the score where the longer marks do not come as often as they do on a scale of the stated spacing: too little to be trusted unasked. */
const contradicted = 0.3;
/** More than this left at the marks, px, and they lie on no plane: something among them is no mark, or is numbered wrongly. As little is left of the score then. */
const mostLeftPx = 0.3;
/** Single places on marks that are put together along themselves lie off by more, but not by so many steps where all are marks and numbered rightly. */
const mostLeftSteps = 0.06;

const mostLeftOf = ({ isFaint, stepPx }: FittedRuler): number =>
  isFaint ? Math.max(mostLeftPx, mostLeftSteps * stepPx) : mostLeftPx;

const referenceFrom = (context: ScaleContext, ruler: FittedRuler): ScaleReference[] => {
  const { work, photo } = context;
  const camera = workCamera(context);
  const { x, y } = wantedAt(context);
  const inWork = { x: x / work.photoPxPerWorkPx, y: y / work.photoPxPerWorkPx };
  const marks = fitMarks(ruler, camera, leantOn(context.level()), inWork);
  if (marks === null || cameraPose(marks.fit, camera).tiltRad > 0.7) return [];
  const fit = inFullPhoto(marks.fit, work.photoPxPerWorkPx);
  const tolerance = Math.hypot(rulerTolerance, marks.bowShare);
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
          tolerance,
          usualFaceHeight('ruler')?.heightMm ?? 0,
          { x, y },
        );
  return [
    {
      kind: 'ruler',
      score: worthOf(ruler, pitchMm) * (marks.leftPx > mostLeftOf(ruler) ? contradicted : 1),
      outline: [
        [at(ruler.first, 0), at(ruler.last, 0)],
        ...ruler.seen.map((k) => [at(k, 0), at(k, ruler.side * 1.6)]),
      ],
      handles: [at(ruler.first, 0), at(ruler.last, 0)],
      pitchMm,
      question: pitchMm === null ? 'tickPitch' : null,
      plane,
      unitPlane: planeMapFrom(fit, photo, tolerance, 0, { x, y }),
      sentence: `A ruler with ${ruler.last - ruler.first + 1} marks was found.${longTicks(ruler.longPeriod)} How far apart are neighbouring marks?`,
      longMarkEvery: ruler.longPeriod,
    },
  ];
};

type Place = Baseline['from'];

/** The line at the other end of a row's marks, to be read from there. */
const fromOtherEnd = (row: Baseline, reachPx: number): Baseline => {
  const { from, to, side } = row;
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [x, y] = [(-side * reachPx * (to.y - from.y)) / length, (side * reachPx * (to.x - from.x)) / length];
  return {
    ...row,
    from: { x: from.x + x, y: from.y + y },
    to: { x: to.x + x, y: to.y + y },
    side: -side,
  };
};

/**
 * Reads a row of marks as dark ones and as light ones and keeps what stands out more: the gaps between dark marks are light and as even as they, but none of them
 * is longer, however clear they are where marks stand near to each other. Printed marks of which none is longer may have been met at their inner ends, where the short ones are level with each other: they are read from the ruler's edge then.
 */
const marksOn = ({ image, factor }: RulerView, baseline: Baseline): FittedRuler | null => {
  const readings = (['dark', 'light'] as const).flatMap((polarity) => {
    const ruler = fitTicks(image, { ...baseline, polarity }, factor);
    return ruler === null ? [] : [{ ruler, polarity }];
  });
  const told = readings.filter(({ ruler }) => ruler.longPeriod !== null);
  const [best] = (told.length > 0 ? told : readings).sort((a, b) => b.ruler.contrast - a.ruler.contrast);
  if (best === undefined) return null;
  const { ruler, polarity } = best;
  if (ruler.longPeriod !== null || ruler.contrast < printedContrast) return ruler;
  const turned = fitTicks(image, fromOtherEnd({ ...baseline, polarity }, ruler.reachPx), factor);
  return turned !== null && turned.score > ruler.score ? turned : ruler;
};

/** A ruler that is not read stands last among all that is found. */
const unreadScore = 0.1;

/** What stands less for a ruler is not offered: rows of stitches are many. */
const leastScore = 0.3;
/** While nothing stands for more, marks are put together along themselves. */
const enoughAsRead = 0.6;
/** A row of marks this good is looked at no further. */
const beyondDoubt = 0.8;

/** How much a row stands for a ruler with the spacing that was said. */
const worthOf = (ruler: FittedRuler, pitchMm: number | null): number =>
  patternFits(ruler.longPeriod, pitchMm) ? ruler.score : ruler.score * contradicted;

/** The row that stands most for a ruler; the first beyond doubt ends the search. */
const surest = (
  view: RulerView,
  rows: readonly Baseline[],
  pitchMm: number | null,
  known: FittedRuler | null = null,
): FittedRuler | null => {
  let best = known;
  for (const row of rows) {
    if (best !== null && worthOf(best, pitchMm) >= beyondDoubt) break;
    const ruler = marksOn(view, row);
    if (ruler !== null && (best === null || worthOf(ruler, pitchMm) > worthOf(best, pitchMm))) best = ruler;
  }
  return best;
};

/** About how far apart even marks stand along a line of a view, work px; null where nothing even is seen. */
const apartAlong = ({ image, factor }: RulerView, line: Omit<Side, 'side'>): number | null => {
  const apartPx = marksApartPx(image, line);
  return apartPx && apartPx / factor;
};

/** A ruler that she says is there and whose marks show but cannot be read: it gives no lengths, only what to change. */
const unread = (context: ScaleContext, view: RulerView, line: Omit<Side, 'side'>): ScaleReference[] => {
  const apartPx = apartAlong(view, line);
  if (apartPx === null) return [];
  const { photoPxPerWorkPx } = context.work;
  const toPhoto = photoPxPerWorkPx / view.factor;
  const ends = [line.from, line.to].map(({ x, y }) => photoPoint(x * toPhoto, y * toPhoto));
  return [
    {
      kind: 'ruler',
      score: unreadScore,
      outline: [ends],
      handles: ends,
      pitchMm: context.hints.tickPitchMm ?? null,
      question: null,
      plane: null,
      unitPlane: null,
      sentence: unreadMarks(apartPx, photoPxPerWorkPx),
    },
  ];
};

const find = (context: ScaleContext): ScaleReference[] => {
  const view = rulerView(context);
  const { image } = view;
  const pitchMm = context.hints.tickPitchMm ?? null;
  const alongEdges = surest(view, baselinesAlongEdges(image, view.edges()), pitchMm);
  const clear =
    alongEdges !== null && worthOf(alongEdges, pitchMm) >= beyondDoubt
      ? alongEdges
      : surest(view, findBaselines(view.lines()), pitchMm, alongEdges);
  const isClear = clear !== null && worthOf(clear, pitchMm) >= enoughAsRead;
  const faint = isClear ? [] : faintRows(image, view.edges());
  const best = surest(view, faint, pitchMm, clear);
  const found = best === null || best.score < leastScore ? [] : referenceFrom(context, inWorkPx(best, view));
  const [likeliest] = faint;
  return found.length > 0 || context.hints.reference !== 'ruler' || likeliest === undefined
    ? found
    : unread(context, view, likeliest);
};

/** Fingers lay the line that far beside where the marks begin, shares of the picture's long side: on it, then further and further to either side. */
const besideShares = [0, 0.005, -0.005, 0.01, -0.01];

/** The ruler whose marks begin on a line laid by hand, or else nearest to it; one that is contradicted by its own marks gives way to the next. */
const nearestRuler = (
  context: ScaleContext,
  view: RulerView,
  from: Place,
  to: Place,
): ScaleReference | undefined => {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const long = Math.max(view.image.widthPx, view.image.heightPx);
  let best: ScaleReference | undefined;
  for (const share of besideShares) {
    const [x, y] = [(-share * long * (to.y - from.y)) / length, (share * long * (to.x - from.x)) / length];
    const line = { from: { x: from.x + x, y: from.y + y }, to: { x: to.x + x, y: to.y + y } };
    for (const side of [1, -1]) {
      const ruler = marksOn(view, {
        ...line,
        side,
        polarity: 'dark',
        tickPx: 8 * view.factor,
        spacingPx: null,
      });
      if (ruler === null || ruler.score <= (best?.score ?? 0)) continue;
      const [reference] = referenceFrom(context, inWorkPx(ruler, view));
      if (reference !== undefined && reference.score > (best?.score ?? 0)) best = reference;
    }
    if (best !== undefined && best.score >= beyondDoubt) break;
  }
  return best;
};

export const rulerKind: ReferenceFinder = {
  kind: 'ruler',
  sameWithin: sameThing,
  find,
  correct: (context, { handles }) => {
    const view = rulerView(context);
    const scale = context.work.photoPxPerWorkPx / view.factor;
    const [a, b] = handles;
    if (a === undefined || b === undefined)
      throw new RangeError('Put two points on the edge of the ruler where its marks begin.');
    const from = { x: a.x / scale, y: a.y / scale };
    const to = { x: b.x / scale, y: b.y / scale };
    const reference = nearestRuler(context, view, from, to);
    if (reference === undefined)
      throw new RangeError(unreadMarks(apartAlong(view, { from, to }), context.work.photoPxPerWorkPx));
    return reference;
  },
};
