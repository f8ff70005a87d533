import type { ScaleReference } from './measurement';
import { paperSize } from './paper';
import type { Homography, PlaneMap } from './plane';
import { multiply3, normalised } from './planeFitAlgebra';
import { type CellRun, markerSideMm, type SheetMarker, sheetMarkers, whiteRuns } from './sheetMarkers';

/** Paper that the sheet can be printed on; the printed frame is the same on both. */
export type SheetPaper = 'A4' | 'Letter';

/** A place in the frame, mm from its upper left corner, x to the right and y down. */
export interface FramePoint {
  readonly xMm: number;
  readonly yMm: number;
}

/** Everything printed lies in this frame; it leaves more than 10 mm free on A4 and on Letter, which desktop printers need (common practice). */
export const sheetFrame = { widthMm: 184, heightMm: 252 } as const;

/** Where the swatch goes, mm in the frame. */
export const swatchPlace = { xMm: 32, yMm: 24, widthMm: 128, heightMm: 196 } as const;

/** Length of either check ruler when the sheet is printed at true size; a caliper of 150 mm spans it. */
export const checkLengthMm = 140;

/** The two check rulers, from their first mark to their last. */
export const checkRulers: Readonly<
  Record<'across' | 'along', { readonly from: FramePoint; readonly to: FramePoint }>
> = {
  across: { from: { xMm: 22, yMm: 226 }, to: { xMm: 22 + checkLengthMm, yMm: 226 } },
  along: { from: { xMm: 26, yMm: 52 }, to: { xMm: 26, yMm: 52 + checkLengthMm } },
};

/** Upper left corner of the frame on the paper, mm: it lies in the middle. */
export const frameOrigin = (paper: SheetPaper): FramePoint => {
  const { shortMm, longMm } = paperSize(paper);
  return { xMm: (shortMm - sheetFrame.widthMm) / 2, yMm: (longMm - sheetFrame.heightMm) / 2 };
};

/** What is printed, in mm of the frame. */
export type SheetShape =
  | { readonly kind: 'area'; readonly white: boolean; readonly rectangles: readonly CellRun[] }
  | {
      readonly kind: 'line';
      readonly from: FramePoint;
      readonly to: FramePoint;
      readonly widthMm: number;
      /** 0 is black, 1 white. */
      readonly grey: number;
    }
  | { readonly kind: 'text'; readonly at: FramePoint; readonly sizeMm: number; readonly text: string };

const markShapes = ({ id, xMm, yMm }: SheetMarker): SheetShape[] => [
  {
    kind: 'area',
    white: false,
    rectangles: [{ xMm, yMm, widthMm: markerSideMm, heightMm: markerSideMm }],
  },
  {
    kind: 'area',
    white: true,
    rectangles: whiteRuns(id).map((run) => ({ ...run, xMm: xMm + run.xMm, yMm: yMm + run.yMm })),
  },
];

const rulerLineMm = 0.2;
const tickEveryMm = 10;

const rulerShapes = (direction: 'across' | 'along'): SheetShape[] => {
  const { from, to } = checkRulers[direction];
  const at = (t: number, side: number): FramePoint =>
    direction === 'across'
      ? { xMm: from.xMm + t, yMm: from.yMm + side }
      : { xMm: from.xMm + side, yMm: from.yMm + t };
  const line = (a: FramePoint, b: FramePoint): SheetShape => ({
    kind: 'line',
    from: a,
    to: b,
    widthMm: rulerLineMm,
    grey: 0,
  });
  const ticks = Array.from({ length: checkLengthMm / tickEveryMm + 1 }, (_, k) => {
    const reach = k === 0 || k === checkLengthMm / tickEveryMm ? 2.5 : 1;
    return line(at(k * tickEveryMm, -reach), at(k * tickEveryMm, reach));
  });
  return [line(from, to), ...ticks];
};

/** Corner marks round the place for the swatch. */
const placeShapes = (): SheetShape[] => {
  const { xMm, yMm, widthMm, heightMm } = swatchPlace;
  const arm = 6;
  return [
    [xMm, yMm, 1, 1],
    [xMm + widthMm, yMm, -1, 1],
    [xMm, yMm + heightMm, 1, -1],
    [xMm + widthMm, yMm + heightMm, -1, -1],
  ].flatMap(([x = 0, y = 0, dx = 0, dy = 0]): SheetShape[] =>
    [
      { xMm: x + arm * dx, yMm: y },
      { xMm: x, yMm: y + arm * dy },
    ].map((to) => ({ kind: 'line', from: { xMm: x, yMm: y }, to, widthMm: 0.3, grey: 0.55 })),
  );
};

const words: readonly SheetShape[] = [
  { kind: 'text', at: { xMm: 22, yMm: 5 }, sizeMm: 3.6, text: 'Walewright reference sheet' },
  { kind: 'text', at: { xMm: 22, yMm: 10 }, sizeMm: 2.8, text: 'Print at 100 %, not fitted to the page.' },
  { kind: 'text', at: { xMm: 105, yMm: 5 }, sizeMm: 2.8, text: 'Lay the swatch between the corners.' },
  { kind: 'text', at: { xMm: 105, yMm: 10 }, sizeMm: 2.8, text: 'Leave four or more squares uncovered.' },
  {
    kind: 'text',
    at: { xMm: 22, yMm: 238 },
    sizeMm: 2.8,
    text: 'Check rulers: 140 mm from end',
  },
  { kind: 'text', at: { xMm: 22, yMm: 242 }, sizeMm: 2.8, text: 'mark to end mark. Measure both' },
  { kind: 'text', at: { xMm: 22, yMm: 246 }, sizeMm: 2.8, text: 'and tell the app what you get.' },
  { kind: 'text', at: { xMm: 105, yMm: 238 }, sizeMm: 2.8, text: 'across: ______________ mm' },
  { kind: 'text', at: { xMm: 105, yMm: 246 }, sizeMm: 2.8, text: 'along:  ______________ mm' },
];

/** Everything that is printed on the sheet. */
export const sheetShapes = (): readonly SheetShape[] => [
  ...sheetMarkers.flatMap(markShapes),
  ...rulerShapes('across'),
  ...rulerShapes('along'),
  ...placeShapes(),
  ...words,
];

/** What the check rulers of a printed sheet really measure, over what they should: 1 for true size. */
export interface PrintScale {
  readonly across: number;
  readonly along: number;
}

/** A printer is hardly ever off by more than this once its scaling is off, and a page fitted to the paper is off by up to 10 % (common practice). */
const printLimits = { least: 0.85, most: 1.15 };

/**
 * The printer's scale from what the two check rulers measure.
 * @throws RangeError with a sentence for the user when that cannot be.
 */
export const printScaleFrom = (acrossMm: number, alongMm: number): PrintScale => {
  const scale = { across: acrossMm / checkLengthMm, along: alongMm / checkLengthMm };
  const { least, most } = printLimits;
  if (![scale.across, scale.along].every((s) => s >= least && s <= most)) {
    throw new RangeError(
      `The check rulers should measure about ${checkLengthMm} mm, from the first long mark to the last; measure them again.`,
    );
  }
  return scale;
};

/**
 * Office printers are off by 1 to 2 % of the size they were told, and not alike both ways (common practice; makers of laser engines have stated 2 % as what they
 * allow): a rectangular limit.
 */
const uncheckedShare = 0.02 / Math.sqrt(3);
/** A ruler laid along a check ruler is read to ± 0.15 mm (assumed): a rectangular limit. */
const checkedShare = 0.15 / checkLengthMm / Math.sqrt(3);

/** Relative standard uncertainty of the printed lengths (JCGM 100:2008, 4.3.7). */
export const printUncertainty = (print: PrintScale | null): number =>
  print === null ? uncheckedShare : checkedShare;

const stretched = (plane: PlaneMap, { across, along }: PrintScale): PlaneMap => {
  const change: Homography = [across, 0, 0, 0, along, 0, 0, 0, 1];
  const height = plane.cameraHeightMm;
  const mean = Math.sqrt(across * along);
  return {
    ...plane,
    photoToPlane: normalised(multiply3(change, plane.photoToPlane)),
    relativeUncertainty: Math.hypot(
      Math.sqrt(Math.max(0, plane.relativeUncertainty ** 2 - uncheckedShare ** 2)),
      checkedShare,
    ),
    cameraHeightMm: height && {
      value: height.value * mean,
      standardUncertainty: height.standardUncertainty * mean,
    },
  };
};

/** A printed sheet whose check rulers have been measured: its plane in true millimetres. Anything but a sheet is returned as it is. */
export const withPrintScale = (reference: ScaleReference, print: PrintScale): ScaleReference =>
  reference.kind !== 'sheet' || reference.unitPlane === null
    ? reference
    : { ...reference, question: null, printScale: print, plane: stretched(reference.unitPlane, print) };
