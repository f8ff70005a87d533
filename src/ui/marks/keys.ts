import type { LineFamily } from '../../domain/grid';
import type { Correction } from './mark';

/** What the arrow keys do at the moment. */
export type KeyMode = 'walk' | 'moveLine' | 'window';

/** What a key asks for. The owner of the grid carries it out; nothing is decided by the page. */
export type KeyCommand =
  | { readonly kind: 'walk'; readonly family: LineFamily; readonly step: 1 | -1 }
  | { readonly kind: 'correct'; readonly correction: Correction }
  /** Shifts what is being moved; unit steps, `fine` for a tenth of one. */
  | { readonly kind: 'shift'; readonly dx: number; readonly dy: number; readonly fine: boolean }
  | { readonly kind: 'enterMode'; readonly mode: KeyMode }
  | { readonly kind: 'nextHandle' }
  | { readonly kind: 'commit' }
  | { readonly kind: 'bail' }
  | { readonly kind: 'undo' }
  | { readonly kind: 'redo' }
  | { readonly kind: 'help' };

export interface KeyInput {
  readonly key: string;
  readonly ctrl: boolean;
  readonly shift: boolean;
}

const arrows: Readonly<Record<string, { readonly dx: number; readonly dy: number }>> = {
  ArrowLeft: { dx: -1, dy: 0 },
  ArrowRight: { dx: 1, dy: 0 },
  ArrowUp: { dx: 0, dy: -1 },
  ArrowDown: { dx: 0, dy: 1 },
};

const corrections: Readonly<Record<string, Correction>> = {
  insert: 'add',
  a: 'add',
  delete: 'remove',
  backspace: 'remove',
  s: 'split',
  j: 'join',
  g: 'gap',
};

/** Every key of the stitch step, for the help that `?` opens. */
export const keyHelp: readonly { readonly keys: string; readonly does: string }[] = [
  { keys: '← →', does: 'go from column to column' },
  { keys: '↑ ↓', does: 'go from row to row' },
  { keys: 'A or Insert', does: 'add a line after the marked one' },
  { keys: 'Delete', does: 'remove the marked line' },
  { keys: 'S', does: 'split the marked line into two' },
  { keys: 'J', does: 'join the marked line with the next' },
  { keys: 'G', does: 'mark the column as a needle gap, or as none' },
  {
    keys: 'M, then arrows',
    does: 'move the marked line; Shift for small steps, Enter to keep, Esc to leave it',
  },
  {
    keys: 'W, then arrows',
    does: 'move a corner of the counted window; W again for the next corner or side',
  },
  { keys: 'Ctrl or Cmd + Z', does: 'undo; with Shift, or Y, redo' },
  { keys: '+ − 0', does: 'zoom in, zoom out, whole photo' },
  { keys: '?', does: 'show or hide these keys' },
];

/** What a key means in a mode; null when it is not a key of this step (it then belongs to the view or the page). */
export const commandOfKey = (mode: KeyMode, { key, ctrl, shift }: KeyInput): KeyCommand | null => {
  const name = key.toLowerCase();
  if (ctrl) {
    if (name === 'z') return { kind: shift ? 'redo' : 'undo' };
    return name === 'y' ? { kind: 'redo' } : null;
  }
  if (key === '?') return { kind: 'help' };
  const arrow = arrows[key];
  if (mode !== 'walk') {
    if (arrow) return { kind: 'shift', ...arrow, fine: shift };
    if (key === 'Enter') return { kind: 'commit' };
    if (key === 'Escape') return { kind: 'bail' };
    return mode === 'window' && name === 'w' ? { kind: 'nextHandle' } : null;
  }
  if (arrow) {
    return arrow.dx !== 0
      ? { kind: 'walk', family: 'wale', step: arrow.dx > 0 ? 1 : -1 }
      : { kind: 'walk', family: 'course', step: arrow.dy > 0 ? 1 : -1 };
  }
  if (key === 'Escape') return { kind: 'bail' };
  if (name === 'm') return { kind: 'enterMode', mode: 'moveLine' };
  if (name === 'w') return { kind: 'enterMode', mode: 'window' };
  const correction = corrections[name];
  return correction ? { kind: 'correct', correction } : null;
};
