import { type KeyboardEvent, useMemo } from 'react';
import { gridOnSheet, mapped, type SheetPicture, windowOnSheet } from '../../../domain/compareViewFlat';
import type { PhotoPoint } from '../../../domain/coordinates';
import type { CountWindow, LineFamily, StitchGrid } from '../../../domain/grid';
import { linesOf } from '../../../domain/lineGeometry';
import { type LineNumber, numbersOf } from '../../../domain/lineNumbers';
import { pitchOnPhoto } from '../../../store/measureSessionGrid';
import type { Session } from '../../../store/measureSessionTypes';
import type { Held } from '../../../ui/marks/held';
import { gridPainter, type LineColours } from '../../../ui/marks/paintGrid';
import { type StitchTool, useStitchTool, windowHandles } from '../../../ui/marks/useStitchTool';
import type { Painter } from '../../../ui/stage/painter';
import type { PressOutcome } from '../../../ui/stage/pressTool';

/** Marking and correcting lines on a flat picture: the measuring screen's tool, with every place carried over to the photo. */
export interface SideTool {
  readonly stitch: StitchTool;
  /** As shown now, a correction under trial included; in photo px and on the sheet. */
  readonly grid: StitchGrid | null;
  readonly sheetWindow: CountWindow | null;
  readonly numbers: { readonly wale: readonly LineNumber[]; readonly course: readonly LineNumber[] };
  readonly sheetNumbers: { readonly wale: readonly LineNumber[]; readonly course: readonly LineNumber[] };
  readonly handles: readonly PhotoPoint[];
  readonly paint: Painter;
  readonly hitAt: (at: PhotoPoint, reach: number) => Held | null;
  readonly onOutcome: (outcome: NonNullable<PressOutcome<Held>>) => void;
  readonly onKey: (event: KeyboardEvent<HTMLElement>) => boolean;
}

const ghostOf = (session: Session, family: LineFamily, at: PhotoPoint, grid: StitchGrid) => {
  const known = new Set(linesOf(grid, family).map((line) => line.id));
  const tried = session.derived({ kind: 'addLine', family, at })?.grid;
  return (tried && linesOf(tried, family).find((line) => !known.has(line.id))) ?? null;
};

/** `correcting`: the lines answer to presses; otherwise they are only shown. */
export const useSideTool = (
  session: Session,
  picture: SheetPicture,
  colours: LineColours,
  correcting: boolean,
): SideTool => {
  const settled = session.derived();
  const grid = settled?.grid ?? null;
  const pitchPx = useMemo(() => (settled ? pitchOnPhoto(settled) : null), [settled]);
  const stitch = useStitchTool(session, grid, settled?.window ?? null, pitchPx);
  const shown = (stitch.preview && session.derived(stitch.preview)) || settled;
  const window = shown?.window ?? null;

  const numbers = useMemo(() => {
    const of = (family: LineFamily): LineNumber[] =>
      shown && window ? numbersOf(linesOf(shown.grid, family), window) : [];
    return { wale: of('wale'), course: of('course') };
  }, [shown, window]);
  const sheet = useMemo(
    () => ({
      grid: shown && gridOnSheet(shown.grid, picture),
      window: window && windowOnSheet(window, picture),
    }),
    [shown, window, picture],
  );
  const sheetNumbers = useMemo(() => {
    const put = ({ line, number, at }: LineNumber): LineNumber => ({
      line,
      number,
      at: mapped(picture.photoToSheet, at),
    });
    return { wale: numbers.wale.map(put), course: numbers.course.map(put) };
  }, [numbers, picture]);

  const { mark } = stitch;
  const paint = useMemo<Painter>(() => {
    if (!sheet.grid) return () => undefined;
    const line =
      correcting && mark?.kind === 'line'
        ? linesOf(sheet.grid, mark.family).find(({ id }) => id === mark.id)
        : undefined;
    const added =
      correcting && mark?.kind === 'between' && grid ? ghostOf(session, mark.family, mark.at, grid) : null;
    const perUnit = 1 / picture.pxPerUnit;
    return gridPainter({
      grid: sheet.grid,
      window: sheet.window,
      active: correcting ? stitch.family : null,
      chosen: line && mark ? { family: mark.family, line } : null,
      ghost: added && { ...added, points: added.points.map((p) => mapped(picture.photoToSheet, p)) },
      pitchPx: pitchPx && { wale: pitchPx.wale * perUnit, course: pitchPx.course * perUnit },
      colours,
    });
  }, [sheet, correcting, mark, stitch.family, grid, session, picture, pitchPx, colours]);

  const back = (p: PhotoPoint): PhotoPoint => mapped(picture.sheetToPhoto, p);
  return {
    stitch,
    grid: shown?.grid ?? null,
    sheetWindow: sheet.window,
    numbers,
    sheetNumbers,
    handles: window && correcting ? windowHandles(window).map((p) => mapped(picture.photoToSheet, p)) : [],
    paint,
    hitAt: (at, reach) => (correcting ? stitch.hitAt(back(at), reach * picture.pxPerUnit) : null),
    onOutcome: (outcome) => {
      if (outcome.kind === 'bail') stitch.onOutcome(outcome);
      else if (outcome.kind === 'tap') stitch.onOutcome({ ...outcome, at: back(outcome.at) });
      else stitch.onOutcome({ ...outcome, from: back(outcome.from), to: back(outcome.to) });
    },
    onKey: (event) => correcting && stitch.onKey(event),
  };
};
