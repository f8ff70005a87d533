import { type KeyboardEvent, useMemo } from 'react';
import { type PhotoPoint, photoPoint } from '../../domain/coordinates';
import type { CountWindow, GridLine, StitchGrid } from '../../domain/grid';
import { linesOf } from '../../domain/lineGeometry';
import { type LineNumber, numbersOf } from '../../domain/lineNumbers';
import type { Swatch } from '../../domain/records';
import { pitchOnPhoto } from '../../store/measureSessionGrid';
import { currentReference } from '../../store/measureSessionState';
import type { Session } from '../../store/measureSessionTypes';
import type { Held } from '../../ui/marks/held';
import { useStitchTool } from '../../ui/marks/useStitchTool';
import type { PressOutcome } from '../../ui/stage/pressTool';
import { useScaleTool } from './scale/useScaleTool';
import type { Step } from './steps';
import { useCollectTool } from './stitches/useCollectTool';

const noPoints: readonly PhotoPoint[] = [];

/** The line that a correction under trial would add, to be drawn as a ghost. */
const ghostOf = (
  session: Session,
  at: PhotoPoint,
  family: 'wale' | 'course',
  grid: StitchGrid,
): GridLine | null => {
  const known = new Set(linesOf(grid, family).map((line) => line.id));
  const tried = session.derived({ kind: 'addLine', family, at })?.grid;
  return (tried && linesOf(tried, family).find((line) => !known.has(line.id))) ?? null;
};

/** Everything that acts on the photo: which tool has it, what is drawn, what has been derived from the corrections. */
export const useScreenTools = (session: Session, swatch: Swatch, step: Step) => {
  const settled = session.derived();
  const grid = settled?.grid ?? null;
  const hasLines = grid !== null && grid.wales.length + grid.courses.length > 0;
  const pitchPx = useMemo(() => (settled ? pitchOnPhoto(settled) : null), [settled]);
  const stitch = useStitchTool(session, hasLines ? grid : null, settled?.window ?? null, pitchPx);
  const shown = (stitch.preview && session.derived(stitch.preview)) || settled;
  const window: CountWindow | null = shown?.window ?? null;

  const current = currentReference(swatch);
  const reference = swatch.scale?.reference ?? current?.reference ?? null;
  const scale = useScaleTool(swatch.scale ? null : reference, (handles) => {
    if (current)
      void session.correctReference(current.index, { kind: current.reference.kind, handles }, null);
  });
  const collect = useCollectTool();

  const numbers = useMemo(() => {
    const of = (family: 'wale' | 'course'): LineNumber[] =>
      shown && window ? numbersOf(linesOf(shown.grid, family), window) : [];
    return { wale: of('wale'), course: of('course') };
  }, [shown, window]);

  const { mark } = stitch;
  const chosenLine =
    mark?.kind === 'line' && shown
      ? linesOf(shown.grid, mark.family).find(({ id }) => id === mark.id)
      : undefined;
  const ghost = useMemo(
    () => (mark?.kind === 'between' && grid ? ghostOf(session, mark.at, mark.family, grid) : null),
    [mark, grid, session],
  );

  const hitAt = (at: PhotoPoint, reach: number): Held | null => {
    if (collect.active) return null;
    if (step === 'scale') return scale.hitAt(at, reach);
    return step === 'stitches' ? stitch.hitAt(at, reach) : null;
  };
  const onOutcome = (outcome: NonNullable<PressOutcome<Held>>): void => {
    if (collect.active) collect.onOutcome(outcome);
    else if (step === 'scale') scale.onOutcome(outcome);
    else if (step === 'stitches') stitch.onOutcome(outcome);
  };
  const onKey = (event: KeyboardEvent<HTMLElement>): boolean => {
    if (collect.active) return collect.onKey(event);
    if (step === 'scale') return scale.onKey(event);
    return step === 'stitches' ? stitch.onKey(event) : false;
  };

  const middle = photoPoint((swatch.photoFacts?.widthPx ?? 0) / 2, (swatch.photoFacts?.heightPx ?? 0) / 2);
  return {
    stitch,
    scale,
    collect,
    shown,
    hasLines,
    window,
    pitchPx,
    reference,
    current,
    numbers,
    chosen: chosenLine && mark ? { family: mark.family, line: chosenLine } : null,
    ghost,
    middle,
    reveal: collect.cross ?? (step === 'stitches' ? (mark?.at ?? null) : null),
    focus:
      step === 'scale' || collect.active
        ? noPoints
        : (settled?.window?.corners ?? swatch.measurement?.stitches.region ?? noPoints),
    hitAt,
    onOutcome,
    onKey,
  };
};

export type ScreenTools = ReturnType<typeof useScreenTools>;
