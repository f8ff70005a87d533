import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import { printUncertainty, sheetFrame, withPrintScale } from '../../src/domain/referenceSheet';
import { sheetMarkers } from '../../src/domain/sheetMarkers';
import { inFullPhoto } from './gridFit';
import type { ReferenceFinder, ScaleContext } from './kind';
import { shrunk } from './pictures';
import { planeMapFrom } from './planeMap';
import { type FittedSheet, fitSheet, markInWorkPx, readsRight, roughSheet } from './sheetFit';
import { readMarks } from './sheetMarks';
import { workCamera } from './workCamera';

/** Long side of the picture in which marks are read; their edges are then measured on the work image. */
const readingLongSidePx = 1000;
/** How surely it is the sheet, by the number of its marks: two may be chance or bent paper. */
const sureBy: readonly number[] = [0, 0, 0.5, 0.85];

const frameCorners = [
  { x: 0, y: 0 },
  { x: sheetFrame.widthMm, y: 0 },
  { x: sheetFrame.widthMm, y: sheetFrame.heightMm },
  { x: 0, y: sheetFrame.heightMm },
];

const referenceFrom = (context: ScaleContext, sheet: FittedSheet, leastScore: number): ScaleReference => {
  const scale = context.work.photoPxPerWorkPx;
  const toWork = invertHomography(sheet.fit.photoToPlane);
  const photo = (p: { x: number; y: number }) => photoPoint(p.x * scale, p.y * scale);
  const corners = frameCorners.map(({ x, y }) => {
    const [px, py] = mapPoint(toWork, x, y);
    return photo({ x: px, y: py });
  });
  const print = context.hints.sheetPrint ?? null;
  // The worst of a smooth deviation counts as a rectangular limit (JCGM 100:2008, 4.3.7).
  const tolerance = Math.hypot(printUncertainty(null), sheet.leftover / Math.sqrt(3));
  const plane = planeMapFrom(inFullPhoto(sheet.fit, scale), context.photo, tolerance, 0);
  const bent = Math.exp(-0.5 * Math.max(0, sheet.fit.residualPx - 0.7) ** 2);
  const reference: ScaleReference = {
    kind: 'sheet',
    score: Math.max(leastScore, (sureBy[sheet.marks.length] ?? 1) * bent),
    outline: sheet.marks.map((mark) => markInWorkPx(mark, toWork).map(photo)),
    handles: corners,
    pitchMm: null,
    question: 'checkRulers',
    plane,
    unitPlane: plane,
    sentence: `The printed sheet was found by ${sheet.marks.length} of its ${sheetMarkers.length} squares. What do its two check rulers measure?`,
  };
  return print === null ? reference : withPrintScale(reference, print);
};

const find = (context: ScaleContext): ScaleReference[] => {
  const { widthPx, heightPx } = context.work.image;
  const factor = Math.max(1, Math.round(Math.max(widthPx, heightPx) / readingLongSidePx));
  const seen = readMarks(shrunk(context.lightness(), factor));
  const found = roughSheet(
    seen.map(({ id, corners }) => ({
      id,
      corners: corners.map(({ x, y }) => ({ x: x * factor, y: y * factor })),
    })),
  );
  if (found === null) return [];
  const sheet = fitSheet(context.lightness(), found.rough, found.marks, workCamera(context), 2 * factor + 2);
  return sheet === null ? [] : [referenceFrom(context, sheet, 0)];
};

const noSheet =
  'The squares of the printed sheet are not where these four points say; put them on the outer corners of the four squares in its corners.';

export const sheetKind: ReferenceFinder = {
  kind: 'sheet',
  find,
  correct: (context, { handles }) => {
    const scale = context.work.photoPxPerWorkPx;
    if (handles.length !== 4) throw new RangeError('The printed sheet needs its four corners.');
    const rough = homographyFromPoints(
      handles.map(({ x, y }) => ({ x: x / scale, y: y / scale })),
      frameCorners,
    );
    if (rough === null) throw new RangeError(noSheet);
    const sheet = fitSheet(context.lightness(), rough, sheetMarkers, workCamera(context), 12);
    const light = context.lightness();
    const read = sheet?.marks.filter((mark) => readsRight(light, mark, sheet.fit.photoToPlane)) ?? [];
    if (sheet === null || read.length < Math.max(2, sheet.marks.length / 2)) throw new RangeError(noSheet);
    return referenceFrom(context, sheet, 0.5);
  },
};
