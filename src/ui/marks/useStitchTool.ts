import { type KeyboardEvent, useCallback, useState } from 'react';
import { type PhotoPoint, photoPoint } from '../../domain/coordinates';
import type { GridEdit } from '../../domain/edits';
import type { CountWindow, LineFamily, StitchGrid } from '../../domain/grid';
import { linesOf } from '../../domain/lineGeometry';
import type { Session } from '../../store/measureSessionTypes';
import type { PressOutcome } from '../stage/pressTool';
import { midway, movedWindow, nearestOnLine } from './geometry';
import type { Held, HeldWindow } from './held';
import { commandOfKey, type KeyCommand, type KeyMode } from './keys';
import { type Correction, editFor, type Mark, markAfter, markAt, walkedMark } from './mark';

/** Corners first, then the middles of the sides, in the order of the window's corners. */
export const windowHandles = (window: CountWindow): PhotoPoint[] => [
  ...window.corners,
  ...window.corners.map((corner, index) =>
    midway(corner, window.corners[(index + 1) % window.corners.length] ?? corner),
  ),
];

const handleOf = (window: CountWindow, index: number): HeldWindow => {
  const count = window.corners.length;
  return index < count ? { kind: 'corner', index } : { kind: 'side', index: index - count };
};

export interface StitchTool {
  readonly family: LineFamily;
  readonly mark: Mark | null;
  readonly mode: KeyMode;
  /** The window handle that the arrow keys move, in the order of `windowHandles`. */
  readonly handle: number | null;
  /** A correction that is being tried and has not been made yet. */
  readonly preview: GridEdit | null;
  readonly showsKeys: boolean;
  readonly chooseFamily: (family: LineFamily) => void;
  readonly walk: (family: LineFamily, step: 1 | -1) => void;
  readonly correct: (correction: Correction) => void;
  readonly unmark: () => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly toggleKeys: () => void;
  readonly hitAt: (at: PhotoPoint, reachPhotoPx: number) => Held | null;
  readonly onOutcome: (outcome: NonNullable<PressOutcome<Held>>) => void;
  readonly onKey: (event: KeyboardEvent<HTMLElement>) => boolean;
}

/** One press of an arrow key moves a line or handle by this share of the mean line spacing. */
const STEP_SHARE = 0.25;
const FINE_SHARE = 0.05;
const FALLBACK_PITCH_PX = 20;

/** Marking, moving and correcting lines on the photo, by finger, mouse and keys alike. */
export const useStitchTool = (
  session: Session,
  grid: StitchGrid | null,
  window: CountWindow | null,
  pitchPx: { readonly wale: number; readonly course: number } | null,
): StitchTool => {
  const [family, setFamily] = useState<LineFamily>('wale');
  const [mark, setMark] = useState<Mark | null>(null);
  const [mode, setMode] = useState<KeyMode>('walk');
  const [handle, setHandle] = useState<number | null>(null);
  const [preview, setPreview] = useState<GridEdit | null>(null);
  const [showsKeys, setShowsKeys] = useState(false);

  const settle = useCallback((next: Mark | null) => {
    setMark(next);
    setPreview(null);
    setMode('walk');
    setHandle(null);
  }, []);

  /** After a change of the grid the mark goes to whatever stands there now. */
  const remark = useCallback(
    (from: Mark | null) => {
      const now = session.derived()?.grid;
      settle(from && now ? markAfter(now, from) : null);
    },
    [session, settle],
  );

  const make = useCallback(
    (edit: GridEdit, from: Mark | null) => {
      session.edit(edit);
      remark(from);
    },
    [session, remark],
  );

  const correct = useCallback(
    (correction: Correction) => {
      const edit = grid && mark ? editFor(grid, mark, correction) : null;
      if (!edit) return;
      const at = 'at' in edit ? edit.at : mark?.at;
      const follows: Mark | null =
        mark && at && (correction === 'add' || correction === 'join')
          ? { kind: 'between', family: mark.family, at }
          : mark;
      make(edit, follows);
    },
    [grid, mark, make],
  );

  const shift = (command: Extract<KeyCommand, { kind: 'shift' }>): void => {
    const pitch = pitchPx ? Math.min(pitchPx.wale, pitchPx.course) : FALLBACK_PITCH_PX;
    const step = pitch * (command.fine ? FINE_SHARE : STEP_SHARE);
    const by = { dx: command.dx * step, dy: command.dy * step };
    if (mode === 'moveLine' && mark?.kind === 'line') {
      const moved = preview?.kind === 'moveLine' ? preview.to : mark.at;
      const to = photoPoint(moved.x + by.dx, moved.y + by.dy);
      setPreview({ kind: 'moveLine', family: mark.family, from: mark.at, to });
    }
    const current = preview?.kind === 'setWindow' ? preview.window : window;
    if (mode === 'window' && handle !== null && current) {
      setPreview({ kind: 'setWindow', window: movedWindow(current, handleOf(current, handle), by) });
    }
  };

  const commit = (): void => {
    if (preview) make(preview, preview.kind === 'moveLine' && mark ? { ...mark, at: preview.to } : mark);
    else settle(mark);
  };

  const obey = (command: KeyCommand): void => {
    switch (command.kind) {
      case 'walk':
        walk(command.family, command.step);
        return;
      case 'correct':
        correct(command.correction);
        return;
      case 'shift':
        shift(command);
        return;
      case 'enterMode':
        if (command.mode === 'moveLine' && mark?.kind !== 'line') return;
        setMode(command.mode);
        setHandle(command.mode === 'window' ? 0 : null);
        return;
      case 'nextHandle':
        setHandle((index) => ((index ?? -1) + 1) % (2 * (window?.corners.length ?? 4)));
        return;
      case 'commit':
        commit();
        return;
      case 'bail':
        settle(mode === 'walk' ? null : mark);
        return;
      case 'undo':
        session.undo();
        remark(mark);
        return;
      case 'redo':
        session.redo();
        remark(mark);
        return;
      case 'help':
        setShowsKeys((shown) => !shown);
    }
  };

  const walk = (toFamily: LineFamily, step: 1 | -1): void => {
    if (!grid) return;
    setFamily(toFamily);
    settle(walkedMark(grid, window, mark, toFamily, step));
  };

  const onKey = (event: KeyboardEvent<HTMLElement>): boolean => {
    const ctrl = event.ctrlKey || event.metaKey;
    if (event.altKey || !grid) return false;
    const command = commandOfKey(mode, { key: event.key, ctrl, shift: event.shiftKey });
    if (!command) return false;
    obey(command);
    return true;
  };

  const hitAt = (at: PhotoPoint, reachPhotoPx: number): Held | null => {
    if (!grid) return null;
    const handles = window ? windowHandles(window) : [];
    const near = handles
      .map((point, index) => ({ index, distancePx: Math.hypot(point.x - at.x, point.y - at.y) }))
      .sort((a, b) => a.distancePx - b.distancePx)[0];
    if (window && near && near.distancePx <= reachPhotoPx) return handleOf(window, near.index);
    const line = mark?.kind === 'line' && linesOf(grid, mark.family).find((l) => l.id === mark.id);
    const foot = line && nearestOnLine(line.points, at);
    if (mark && foot && foot.distancePx <= reachPhotoPx * 0.7) {
      return { kind: 'line', family: mark.family, from: foot.point };
    }
    return null;
  };

  const tried = (outcome: { target: Held; from: PhotoPoint; to: PhotoPoint }): GridEdit | null => {
    const { target, from, to } = outcome;
    const by = { dx: to.x - from.x, dy: to.y - from.y };
    if (target.kind === 'handle') return null;
    if (target.kind !== 'line') {
      return window && { kind: 'setWindow', window: movedWindow(window, target, by) };
    }
    const moved = photoPoint(target.from.x + by.dx, target.from.y + by.dy);
    return { kind: 'moveLine', family: target.family, from: target.from, to: moved };
  };

  const onOutcome = (outcome: NonNullable<PressOutcome<Held>>): void => {
    if (outcome.kind === 'bail') {
      settle(mark);
      return;
    }
    if (outcome.kind === 'tap') {
      settle(grid ? markAt(grid, family, outcome.at) : null);
      return;
    }
    const edit = tried(outcome);
    if (!edit) return;
    if (outcome.kind === 'drag') setPreview(edit);
    else make(edit, edit.kind === 'moveLine' && mark ? { ...mark, at: edit.to } : mark);
  };

  const chooseFamily = useCallback(
    (next: LineFamily) => {
      setFamily(next);
      settle(null);
    },
    [settle],
  );

  return {
    family,
    mark,
    mode,
    handle,
    preview,
    showsKeys,
    chooseFamily,
    walk,
    correct,
    unmark: () => settle(null),
    undo: () => obey({ kind: 'undo' }),
    redo: () => obey({ kind: 'redo' }),
    toggleKeys: () => setShowsKeys((shown) => !shown),
    hitAt,
    onOutcome,
    onKey,
  };
};
